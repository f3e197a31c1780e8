"""Which test reaches which line of the server, and how long each takes: coverage with the test's name as its context, kept in `.setup`.

Every measuring is kept beside those before it, with the sources as they were: a test counts as it was measured last, and lines that moved
since are found again.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from typing import ClassVar, Final
from xml.etree import ElementTree

from coverage import CoverageData

ROOT = Path(__file__).resolve().parent.parent
SERVER: Final = Path("server") / "honeyhold"
FOLDER: Final = ROOT / ".setup" / "reach"
SETTINGS: Final = "[run]\nsource = honeyhold\nrelative_files = True\ndata_file = {data}\n"
STARTED: Final = SETTINGS + "parallel = True\ncontext = ${{PYTEST_CURRENT_TEST}}\n"
"""For what a test starts besides, a server or a command: what runs in there counts for that test."""
AT_ITS_START: Final = """import os


def measured():
    import coverage
    import threading
    import time
    from contextlib import suppress

    before = getattr(coverage.process_startup, "coverage", None)
    if before is not None:
        before.stop()
    os.environ["COVERAGE_PROCESS_START"] = {settings!r}
    now = coverage.process_startup(force=True)

    def kept():
        while True:
            time.sleep(0.3)
            with suppress(coverage.CoverageException):  # the process ends, or forks, in the midst of it
                now.save()

    threading.Thread(target=kept, daemon=True).start()


if "PYTEST_CURRENT_TEST" in os.environ:
    measured()
"""
"""For each process that a test starts. Most of them are killed in the end: what they ran is kept while they run. A copy of a process that
has read the program (`tests/begun.py`) calls it once more, for the test that it is begun for."""


def measure(tests: list[str], copy: Path, environment: dict[str, str]) -> int:
    """Runs these tests, or all that need no browser, once with coverage on a copy of the tree; gives pytest's exit code. Without tests
    named, what was measured before is forgotten."""
    if not tests and FOLDER.exists():
        shutil.rmtree(FOLDER)
    folder = next_of(FOLDER)
    folder.mkdir(parents=True)
    shutil.copytree(copy / SERVER, folder / "sources", ignore=lambda _, names: [name for name in names if not _read_in(name)])
    settings = folder / "settings"
    settings.write_text(SETTINGS.format(data=folder / "data"), "utf-8")
    (folder / "settings-started").write_text(STARTED.format(data=folder / "data"), "utf-8")
    (copy / "server" / "sitecustomize.py").write_text(AT_ITS_START.format(settings=str(folder / "settings-started")), "utf-8")
    options = ["--cov", f"--cov-config={settings}", "--cov-context=test", "--cov-report=", f"--junit-xml={folder / 'times.xml'}"]
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-m", "not browser", "-n", "2", *options, *(tests or ["tests"])]
    return subprocess.run(command, cwd=copy, env=environment, check=False).returncode


def _read_in(name: str) -> bool:
    return name.endswith(".py") or "." not in name


HOLDS_ALL: Final = "/test_as_before.py::"
NARROW_FIRST, WIDE_FIRST = 3, 6
"""Tests that hold all that comes of a line, not one thing about it, are asked soon: after so many others, so many of them."""
NEAREST: Final = 10_000
"""Lines that count for a test that is about a file, though it may reach none of them."""
NEAREST_S: Final = 5.0
"""So much of such tests comes before all others: what a thousand tests run through is looked at by those that are about it."""
STAGE: Final = re.compile(r"(\|| \()(setup|call|run|teardown)\)?$")
QUICK_S: Final = 0.3
"""Tests that take less cost the same: to begin a run takes longer."""


@dataclass(frozen=True)
class Run:
    """One measuring."""

    folder: Path

    def tests_by_line(self, path: str) -> dict[int, set[str]]:
        """Who reaches each line of `stock/lots.py`, by its number today; a line that only ran outside of every test has nobody."""
        reached = _data(self.folder / "data")
        contexts: dict[int, set[str]] = {}
        for name in reached.measured_files():  # by its whole address, too, where a test started something in another folder
            for line, tests in reached.contexts_by_lineno(name).items() if name.endswith((SERVER / path).as_posix()) else ():
                contexts.setdefault(line, set()).update(tests)
        before, today = _lines(self.folder / "sources" / path), _lines(ROOT / SERVER / path)
        found: dict[int, set[str]] = {}
        for number, at in enumerate(moved(before, today), 1):
            if at in contexts:
                found[number] = {test for test in map(_test, contexts[at]) if test}
        return found


@cache
def _data(file: Path) -> CoverageData:
    reached = CoverageData(str(file))
    reached.read()
    return reached


def _lines(file: Path) -> list[str]:
    return file.read_text("utf-8").splitlines() if file.exists() else []


def moved(before: list[str], today: list[str]) -> list[int]:
    """For each line of today the number that it had; a new one has that of the line before it."""
    had: list[int] = []
    for kind, start, _, begin, end in SequenceMatcher(None, before, today, autojunk=False).get_opcodes():
        if kind == "equal":
            had += range(start + 1, start + 1 + end - begin)
        else:
            had += [had[-1] if had else 1] * (end - begin)
    return had


def _runs() -> list[Run]:
    """What was measured, the last first."""
    return [Run(folder) for folder in measurings(FOLDER)]


def measurings(kept: Path) -> list[Path]:
    """The folders of all that was measured, the last first."""
    return sorted(kept.iterdir(), reverse=True) if kept.exists() else []


def next_of(kept: Path) -> Path:
    """The folder for one more measuring."""
    return kept / f"{1 + max((int(one.name) for one in measurings(kept)), default=0):03}"


@dataclass
class Reach:
    """Who reaches what."""

    tests_in_one_run: ClassVar[int] = 25

    seconds: dict[str, float]
    """By the test's name with its parameters: of a test with many, one or two may be all that is needed."""
    unsound: set[str]
    """Tests that fail with no mistake planted: their failing would say nothing, and they are left out."""
    measured: list[tuple[Run, set[str]]] = field(default_factory=list)
    """The last first, each with the tests that it speaks for."""
    _files: dict[str, dict[int, set[str]]] = field(default_factory=dict)

    @classmethod
    def read(cls) -> Reach:
        """What was measured. Raises SystemExit with what to do when nothing was."""
        reach = cls({}, set())
        for run in _runs():
            record = run.folder / "times.xml"
            fresh = {test: spent for test, spent in (times(record) if record.exists() else {}).items() if test not in reach.seconds}
            reach.measured.append((run, set(fresh)))
            reach.unsound |= failing(record) & set(fresh) if fresh else set()
            reach.seconds |= fresh
        if not reach.seconds:
            raise SystemExit("Which test reaches which line is not known yet: scripts/mutants --reach")
        return reach

    def tests(self, path: str, line: int) -> list[str]:
        """The tests that reach a line of `stock/lots.py`, those first that reach most of the file a second, a file's tests
        turn about with those of others.

        What only runs while the file is read in (a constant, a table) is reached by whoever reaches anything of the file, or of those
        that import it. Tests that are about it come first."""
        lines = self._lines(path)
        found = lines.get(line, set())
        if found and found == lines[min(lines)]:  # the tests in the midst of which the file happened to be read in
            found = set()
        reached = self._anything(path, removes=0 if found else 2)
        own = {test for test in self.seconds if test.partition("::")[0] in tests_about(path)}
        if not found and line in lines:
            found = set(reached) | own
        reached.update(dict.fromkeys(own, NEAREST))

        def costs_s(name: str) -> float:
            return max(self.seconds.get(name, 1.0), QUICK_S) / reached[name]

        ordered = sorted(found - self.unsound, key=lambda name: (costs_s(name), name))
        nearest = list(self._within([name for name in ordered if name in own], NEAREST_S))
        wide = [name for name in ordered if HOLDS_ALL in name and name not in nearest][:WIDE_FIRST]
        others = _turn_about([name for name in ordered if name not in wide and name not in nearest])
        return [*nearest, *others[:NARROW_FIRST], *wide, *others[NARROW_FIRST:]]

    def _within(self, names: list[str], seconds: float) -> Iterator[str]:
        """The first of them, as long as they take no more together."""
        for name in names:
            seconds -= self.seconds.get(name, 1.0)
            if seconds < 0:
                return
            yield name

    def _lines(self, path: str) -> dict[int, set[str]]:
        if path not in self._files:
            self._files[path] = self._file(path)
        return self._files[path]

    def _anything(self, path: str, removes: int) -> Counter[str]:
        """How many lines each test reaches of a file and of those that import it; from further off only where nobody else does."""
        found = Counter(test for tests in self._lines(path).values() for test in tests)
        if removes == 0 or (removes == 1 and found):
            return found
        return sum((self._anything(one, removes - 1) for one in importers(path)), found)

    def _file(self, path: str) -> dict[int, set[str]]:
        found: dict[int, set[str]] = {}
        for run, spoken_for in self.measured:
            for line, tests in run.tests_by_line(path).items():
                found.setdefault(line, set()).update(tests & spoken_for)
        return found


def _turn_about(tests: list[str]) -> list[str]:
    """The first of every file in their order, then the second of each: who looks at the same thing looks at it in one file. So, within a
    file, do the parameters of one test."""
    for part in ("[", "::"):
        turns, seen = [], Counter[str]()
        for place, name in enumerate(tests):
            shared = name.partition(part)[0]
            turns.append((seen[shared], place, name))
            seen[shared] += 1
        tests = [name for _, _, name in sorted(turns)]
    return tests


@cache
def importers(path: str) -> tuple[str, ...]:
    """The files of the server that import `operations/rows.py`, named from the package's root."""
    package, _, name = path.removesuffix(".py").replace("/", ".").rpartition(".")
    asks = re.compile(rf"^\s*from honeyhold\.{package}(\.{name} import|\b import .*\b{name}\b)", re.M)
    files = sorted((ROOT / SERVER).rglob("*.py"))
    return tuple(file.relative_to(ROOT / SERVER).as_posix() for file in files if asks.search(file.read_text("utf-8")))


@cache
def tests_about(path: str) -> frozenset[str]:
    """The files of tests that import `operations/kinds/notes.py`, or anything of its package by the package's own name, or bear its name:
    `test_notes.py` is about it, though it may speak to it through the house alone."""
    package, _, name = path.removesuffix(".py").replace("/", ".").rpartition(".")
    asks = re.compile(rf"^\s*from honeyhold\.{package}(\.{name})? import", re.M)
    about = (file for file in (ROOT / "tests").rglob("*.py") if file.stem == f"test_{name}" or asks.search(file.read_text("utf-8")))
    return frozenset(file.relative_to(ROOT).as_posix() for file in about)


def times(record: Path) -> dict[str, float]:
    """Seconds of each test in a JUnit record, by its name."""
    seconds: dict[str, float] = {}
    for case in ElementTree.parse(record).getroot().iter("testcase"):
        seconds[_named(case)] = seconds.get(_named(case), 0.0) + float(case.get("time", 0))
    return seconds


def failing(record: Path) -> set[str]:
    """The tests of a JUnit record that failed."""
    cases = ElementTree.parse(record).getroot().iter("testcase")
    return {_named(case) for case in cases if case.find("failure") is not None or case.find("error") is not None}


def _named(case: ElementTree.Element) -> str:
    return f"{case.get('classname', '').replace('.', '/')}.py::{case.get('name', '')}"


def _test(context: str) -> str:
    """`tests/a.py::test_b[c]` of `tests/a.py::test_b[c]|setup`, and of what pytest says in the environment, `tests/a.py::test_b[c] (call)`;
    empty for what ran outside of every test."""
    return STAGE.sub("", context)
