"""The pages and the shape of the tree: pictures that are named are there, every package opens with its own page."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "pyproject.toml", "server", "web", "tests", "demo_seed", "scripts",
             "requirements.lock", "requirements-test.lock", "requirements-setup.lock", "requirements-knock.lock"}  # fmt: skip


def tracked() -> list[Path]:
    """Files that git keeps."""
    listed = subprocess.check_output(["git", "ls-files", "-z"], cwd=ROOT).decode().split("\0")
    return [ROOT / name for name in listed if name and (ROOT / name).is_file()]


def test_the_top_of_the_tree_is_as_agreed() -> None:
    top = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


def test_the_pictures_of_the_readme_are_there() -> None:
    named = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", (ROOT / "README.md").read_text("utf-8"))
    assert named
    assert [path for path in named if not (ROOT / path).is_file()] == []


def test_every_package_opens_with_its_own_page() -> None:
    packages = [path for path in (ROOT / "server/honeyhold").iterdir() if (path / "__init__.py").is_file()]
    assert [path.name for path in packages if not (path / "README.md").is_file()] == []


def test_telephone_numbers_of_the_demo_are_set_aside_for_fiction() -> None:
    people = (ROOT / "demo_seed/people.py").read_text("utf-8") + (ROOT / "demo_seed/nine_lindens.py").read_text("utf-8")
    numbers = re.findall(r'"\+1(\d{10})"', people)
    assert numbers
    assert all(re.fullmatch(r"\d{3}55501\d\d", number) for number in numbers)


NAMED = re.compile(r"`([\w./-]+\.(?:py|js|d\.ts|md|sql|html))`")
SERVED = {"/service-worker.js", "/shell-list.js", "shell/begin.js", "shell/first.js"}
"""Addresses of the server and files that are built, not files of the tree."""


def test_every_file_that_a_page_names_is_there() -> None:
    """A page that names a file by an old name sends whoever is new here astray."""
    there = {path.relative_to(ROOT).as_posix() for path in tracked()}
    pages = [path for path in tracked() if path.suffix == ".md" and path.name != "CHANGELOG.md"]
    named = [(page, name) for page in pages for name in NAMED.findall(page.read_text("utf-8")) if name not in SERVED]
    assert named
    lost = [
        f"{page.relative_to(ROOT)}: {name}" for page, name in named
        if not any(f"/{path}".endswith(f"/{name.removeprefix('../')}") for path in there)
    ]  # fmt: skip
    assert lost == []
