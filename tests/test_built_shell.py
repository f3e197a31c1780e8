"""The app as it is built: how much the first screen needs, that nothing is left out, and that it is the same each time."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
WEB, BUILT = ROOT / "web", ROOT / "web/built"
FIRST_SCREEN_BYTES_MAX = 100_000
ASKED_IN_A_PAGE = re.compile(r"""import\(['"]/((?:kernel|parts|rooms|store)/[\w./-]+\.js)['"]\)""")
IMPORTED = re.compile(r"""(?:from|import)\s*\(?\s*["'](\.{1,2}/[^"']+)["']""")


@pytest.fixture(scope="module")
def made() -> dict[str, dict[str, str]]:
    """What the build says of itself, of the sources as they are."""
    node = shutil.which("node", path=f"{ROOT / '.venv/bin'}{os.pathsep}{os.environ.get('PATH', '')}") or "node"
    subprocess.run([node, str(ROOT / "scripts/build_shell")], check=True, stdout=subprocess.DEVNULL)
    return dict(json.loads((BUILT / "shell.json").read_text("utf-8")))


@pytest.mark.parametrize("ending", [".br", ".gz"])
def test_what_the_first_screen_needs_is_small(made: dict[str, list[str]], ending: str) -> None:
    """Over the line, without typeface and kernel. Bytes are the same on every machine, so this may hold a change back."""
    files = [BUILT / name for name in made["first"]]
    pressed = [one.with_name(one.name + ending) for one in files]
    sizes = [(other if other.exists() else one).stat().st_size for one, other in zip(files, pressed, strict=True)]
    assert len(files) >= 4 and sum(sizes) < FIRST_SCREEN_BYTES_MAX, dict(zip(made["first"], sizes, strict=True))


def test_every_module_still_has_its_address(made: dict[str, list[str]]) -> None:
    own = {path.relative_to(WEB).as_posix() for folder in ("store", "rooms", "parts") for path in (WEB / folder).rglob("*.js")}
    assert len(own) > 200 and own <= set(made["served"])


def test_all_that_a_kept_file_asks_for_is_kept(made: dict[str, dict[str, str]]) -> None:
    """Otherwise a room would not open without the main computer."""
    kept = set(made["files"])
    asked = {
        (BUILT / name).parent.joinpath(target).resolve().relative_to(BUILT).as_posix()
        for name in kept if name.endswith(".js") and not name.startswith("lib/")
        for target in IMPORTED.findall((BUILT / name).read_text("utf-8"))
    }  # fmt: skip
    assert {"shell/first.js", "rooms/bench/bench-room.js", "shell/metadata.js"} <= asked
    assert asked <= kept


def test_what_the_browser_tests_ask_for_is_kept(made: dict[str, dict[str, str]]) -> None:
    """They pull the network at any time; a module they look into is named among the doors of `scripts/build_shell`."""
    asked = {name for path in (ROOT / "tests/browser").rglob("*.py") for name in ASKED_IN_A_PAGE.findall(path.read_text("utf-8"))}
    assert "store/house.js" in asked
    assert asked <= set(made["files"]), sorted(asked - set(made["files"]))
