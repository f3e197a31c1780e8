"""The browser's JavaScript for `scripts/mutants`: its places for a mistake, and which test reaches which function of it.

Reach is found by running the tests once on a copy of the tree in which every function says that it was reached (`mutants_of_web.mjs mark`);
`mutants_listening` hears it from pages and from Node. Workers have no line to it: what only they run counts as reached by `FOR_WORKERS`.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import ClassVar, Final

from mutants_planted import Planted
from mutants_reach import FOLDER, QUICK_S, Reach, failing, measurings, moved, next_of, times
from mutants_sites import Site, numbered, source

ROOT = Path(__file__).resolve().parent.parent
READER: Final = ROOT / "scripts" / "mutants_of_web.mjs"
COMPILER: Final = ROOT / "web" / "node_modules" / "typescript"
PACKAGES: Final = ("web/kernel", "web/parts", "web/rooms", "web/store")
HEARD: Final = FOLDER.parent / "reach-web"
TESTED: Final = ("tests/browser", "tests/contract", "tests/every_call", "tests/store", "tests/goods", "tests/screens", "tests/storm")
"""Where the browser's code is run: in Chromium, or in Node with a database of its own."""
PAGE_S: Final = 20.0
"""What a single test in Chromium costs beside its own time: a house that is begun for its file, and a page that wakes."""
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
    """Runs these tests, or all that run the browser's code, once on a marked copy; gives pytest's exit code. Without tests named, what was
    measured before is forgotten."""
    if not tests:
        shutil.rmtree(HEARD, ignore_errors=True)
    folder = next_of(HEARD)
    with Planted() as planted:
        files = [path for package in PACKAGES for path in files_of(package)]
        for path in files:
            kept = folder / "sources" / path
            kept.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(planted.folder / path, kept)
        _node("mark", files, planted.folder)
        environment = {
            **planted.environment, "PYTHONPATH": os.pathsep.join((str(planted.folder / "server"), str(planted.folder / "scripts"))),
            "HONEYHOLD_HEARD": str(folder),
        }  # fmt: skip
        command = [
            sys.executable, "-m", "pytest", "-p", "mutants_listening", "-n", "2", "--dist", "loadfile", "-p", "no:cacheprovider",
            f"--junit-xml={folder / 'times.xml'}", *(tests or TESTED),
        ]  # fmt: skip
        return subprocess.run(command, cwd=planted.folder, env=environment, check=False).returncode


@dataclass(frozen=True)
class Heard:
    """One measuring: who reached what, and the files as they were then."""

    tests: dict[str, set[str]]
    """By `web/store/log.js:812`, a file and where the function begins in it."""
    sources: dict[str, str]

    @classmethod
    def read(cls, folder: Path, spoken_for: set[str]) -> Heard:
        """What these tests reached, the only ones that it speaks for."""
        tests: dict[str, set[str]] = defaultdict(set)
        for part in folder.glob("*.json"):
            for test in (told := json.loads(part.read_text("utf-8"))).keys() & spoken_for:
                for key in told[test]:
                    tests[key].add(test)
        kept = folder / "sources"
        return cls(tests, {file.relative_to(kept).as_posix(): file.read_text("utf-8") for file in kept.rglob("*.js")})

    def of_file(self, path: str) -> Counter[str]:
        """How many functions of a file each test reaches."""
        return Counter(test for key, tests in self.tests.items() if key.startswith(f"{path}:") for test in tests)

    def of_function(self, path: str, at: int) -> set[str]:
        """Who reaches a function by where it begins today. What runs as a file is read in (`at` is 0) is reached by whoever reaches
        anything of it, since a page that goes through many tests reads it in during one of them; so is a function changed since."""
        before = moved_back(self.sources[path], source(path), at) if path in self.sources else at
        return self.tests.get(f"{path}:{before}", set()) if before else set(self.of_file(path))


@dataclass
class WebReach(Reach):
    """Who reaches which function of the browser's code."""

    tests_in_one_run: ClassVar[int] = 8
    heard: list[Heard] = field(default_factory=list)

    @classmethod
    def read(cls) -> WebReach:
        """What was measured; a test counts as it was measured last. Raises SystemExit with what to do when nothing was."""
        reach = cls({}, set())
        for folder in measurings(HEARD):
            if (record := folder / "times.xml").exists():
                fresh = {test: spent for test, spent in times(record).items() if test not in reach.seconds}
                reach.heard.append(Heard.read(folder, set(fresh)))
                reach.unsound |= failing(record) & set(fresh)
                reach.seconds |= fresh
        if not reach.seconds:
            raise SystemExit("Which test reaches the browser's code is not known yet: scripts/mutants --reach-web")
        return reach

    def tests(self, path: str, at: int) -> list[str]:
        """The tests that reach a function, those first that reach most of its file a second; those of the workers for a file that nobody
        heard of."""
        reached = sum((heard.of_file(path) for heard in self.heard), Counter[str]())
        found = {test for heard in self.heard for test in heard.of_function(path, at)}
        if not reached:
            found = {test for test in self.seconds if test.startswith(FOR_WORKERS)}
        return sorted(found - self.unsound, key=lambda name: (self._costs_s(name) / max(reached[name], 1), name))

    def _costs_s(self, name: str) -> float:
        return self.seconds.get(name, 1.0) + (PAGE_S if name.startswith(TESTED[0]) else QUICK_S)


def moved_back(before: str, today: str, at: int) -> int | None:
    """Where in the text as it was the character of today stood; None when its line came since."""
    number, column = today.count("\n", 0, at), at - (today.rfind("\n", 0, at) + 1)
    old, new = before.splitlines(keepends=True), today.splitlines(keepends=True)
    had = moved(old, new)[number] - 1
    return sum(map(len, old[:had])) + column if old[had] == new[number] else None


def _node(task: str, files: list[str], folder: Path) -> str:
    command = ["node", str(READER), str(COMPILER), task, *files]
    return subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stdout
