"""The browser's JavaScript for `scripts/mutants`: its places for a mistake, and which test reaches which function of it.

Reach is found by running the tests once on a copy of the tree in which every function says that it was reached (`mutants_of_web.mjs mark`);
`mutants_listening` hears it from pages and from Node. Workers have no line to it: what only they run counts as reached by `FOR_WORKERS`.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import ClassVar, Final

from mutants_planted import Planted
from mutants_reach import FOLDER, Reach, failing, times
from mutants_sites import Site, numbered

ROOT = Path(__file__).resolve().parent.parent
READER: Final = ROOT / "scripts" / "mutants_of_web.mjs"
COMPILER: Final = ROOT / "web" / "node_modules" / "typescript"
PACKAGES: Final = ("web/kernel", "web/parts", "web/rooms", "web/store")
HEARD: Final = FOLDER.parent / "reach-web"
TESTED: Final = ("tests/browser", "tests/contract", "tests/store", "tests/goods", "tests/storm")
"""Where the browser's code is run: in Chromium, or in Node with a database of its own."""
FOR_WORKERS: Final = ("tests/browser/test_kernel.py", "tests/browser/test_offline.py")


def files_of(package: str) -> list[str]:
    """The modules of one package, from the tree's root."""
    found = sorted((ROOT / package).rglob("*.js"))
    return [path.relative_to(ROOT).as_posix() for path in found if "built" not in path.parts]


@cache
def sites_of(package: str) -> list[Site]:
    """Every place of one package, in the order of its files."""
    said = _node("sites", files_of(package), ROOT)
    return numbered(Site(**json.loads(line)) for line in said.splitlines())


def measure(tests: list[str]) -> int:
    """Runs these tests, or all that run the browser's code, once on a marked copy; gives pytest's exit code."""
    HEARD.mkdir(parents=True, exist_ok=True)
    for old in HEARD.iterdir():
        old.unlink()
    with Planted() as planted:
        _node("mark", [path for package in PACKAGES for path in files_of(package)], planted.folder)
        environment = {
            **planted.environment, "PYTHONPATH": os.pathsep.join((str(planted.folder / "server"), str(planted.folder / "scripts"))),
            "HONEYHOLD_HEARD": str(HEARD),
        }  # fmt: skip
        command = [
            sys.executable, "-m", "pytest", "-p", "mutants_listening", "-n", "2", "--dist", "loadfile", "-p", "no:cacheprovider",
            f"--junit-xml={HEARD / 'times.xml'}", *(tests or TESTED),
        ]  # fmt: skip
        return subprocess.run(command, cwd=planted.folder, env=environment, check=False).returncode


@dataclass
class WebReach(Reach):
    """Who reaches which function of the browser's code."""

    tests_in_one_run: ClassVar[int] = 8
    heard: dict[str, set[str]] = field(default_factory=dict)
    """Tests by `web/store/log.js:812`, a file and where the function begins in it."""

    @classmethod
    def read(cls, folder: Path = HEARD) -> WebReach:
        """What was measured last. Raises SystemExit with what to do when nothing was."""
        if not (folder / "times.xml").exists():
            raise SystemExit("Which test reaches the browser's code is not known yet: scripts/mutants --reach-web")
        heard: dict[str, set[str]] = defaultdict(set)
        for part in folder.glob("*.json"):
            for test, keys in json.loads(part.read_text("utf-8")).items():
                for key in keys:
                    heard[key].add(test)
        return cls(times(folder / "times.xml"), failing(folder / "times.xml"), heard=heard)

    def tests(self, path: str, at: int) -> list[str]:
        """The tests that reach a function, quickest first; those of the workers for a file that nobody heard of."""
        found = self.heard.get(f"{path}:{at}") or set()
        if not found and not any(key.startswith(f"{path}:") for key in self.heard):
            found = set(FOR_WORKERS)
        return sorted(set(found) - self.unsound, key=lambda name: (self.seconds.get(name, 1.0), name))


def _node(task: str, files: list[str], folder: Path) -> str:
    command = ["node", str(READER), str(COMPILER), task, *files]
    return subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stdout
