"""A copy of the tree in which one mistake at a time is planted, and the tests that are to catch it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from pathlib import Path
from types import TracebackType
from typing import Final

from mutants_reach import NARROW_FIRST, Reach
from mutants_seen import Seen
from mutants_sites import Site, place, source
from mutants_stories import LISTENING_FILE, LISTENING_S, functions_around, listening_to, stories_of

ROOT = Path(__file__).resolve().parent.parent
EQUIVALENT: Final = ROOT / "tests" / "equivalent_mutants.txt"
COPIED: Final = ("server", "tests", "demo_seed", "scripts", "web", "pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md")
LINKED: Final = (".venv", "web/node_modules", "web/kernel/built")
SLACK_S: Final = 60
"""A mistake may make a loop endless: a run that takes this much longer than its tests take is stopped, and counts as caught; the sum tells
how many were."""
LONGEST_OF_THE_LIST_S: Final = 120
BEFORE_LISTENING: Final = 15
"""To listen to a file of tests takes longer than so many of them."""
FEW_FIRST: Final = 9
"""Most are caught by the first few tests, and each file of tests takes its time to be read in."""
PATIENT: Final = {"HONEYHOLD_PATIENT_S": "8"}
"""With a mistake planted much never comes to a page, and a test that waits a minute for it says no more than one that waits so long.
What comes later than that without the mistake, too, is found out by the run without it."""
OF_TABLES: Final = "tests/test_figures.py::test_no_figure_is_another_by_mistake"
"""What stands outside of every function: tables, fields."""
SLOW_TO_COME: Final = "tests/browser"
READERS: Final = {
    re.compile(r".*\b0o[67]00\b"): "tests/test_private.py::test_nobody_else_may_look",
    re.compile(r"@dataclass\("): "tests/test_frozen.py::test_every_dataclass_is_frozen_that_is_not_made_to_be_changed",
    re.compile(r"[A-Z][A-Z0-9_]+(: [^=]+)? = |(async )?def |\w+: \w+ = |(self|cls), "):
        OF_TABLES,
}  # fmt: skip
"""Tests that read the code, or what it holds, instead of running it, by how a line begins that they look at: no line reaches them."""
READER_OF_WEB: Final = "tests/every_call/test_every_call.py::test_no_figure_is_another_by_mistake"
"""So of the browser's code, for what stands outside of functions, and for figures: some are what a parameter is that is not given."""
BUSY: Final = 4
"""A shared machine: tests may take so many times what they took when they were measured."""


class Verdict(Enum):
    """What became of a mistake."""

    CAUGHT = "caught"
    ENDLESS = "endless"
    """Caught, too: the tests that reach it came to no end in the time that they are given."""
    SURVIVED = "survived"
    UNREACHED = "unreached"
    EQUIVALENT = "equivalent"
    UNKNOWN = "unknown"
    """The tests did not run, or ran out of memory: that says nothing of the mistake."""


CAUGHT: Final = (Verdict.CAUGHT, Verdict.ENDLESS)
TESTS_FAILED, INTERRUPTED, WRONG_USE = 1, 2, 4
"""Of pytest's exit codes (its reference, *Exit codes*) those that a test or the reading in of one can be behind: 3 is an error of its own,
5 that no test was found. Where a file cannot be read in, a test that is asked for in it is not found, which is a wrong use."""
NO_MEMORY: Final = ("MemoryError", "Cannot allocate memory")


@dataclass(frozen=True)
class Outcome:
    """What became of one mistake, and what told."""

    verdict: Verdict
    by: str = ""
    """The test that failed first, or how else it was noticed."""


def outcome_of(code: int, said: str) -> Outcome:
    """What a run of tests with a mistake planted says of it, by pytest's exit code and what it printed."""
    if code == 0:
        return Outcome(Verdict.SURVIVED)
    told = [line for line in said.splitlines() if line.startswith(("FAILED ", "ERROR "))]
    if code not in (TESTS_FAILED, INTERRUPTED, WRONG_USE) or not told:
        return Outcome(Verdict.UNKNOWN, f"the tests did not run: pytest ended with {code}")
    if any(word in told[0] for word in NO_MEMORY):
        return Outcome(Verdict.UNKNOWN, f"no memory: {told[0].split()[1]}")
    return Outcome(Verdict.CAUGHT, told[0].split()[1])


def equivalents() -> set[str]:
    """The keys of mistakes that change nothing anybody could notice; each is followed by a line that says why."""
    if not EQUIVALENT.exists():
        return set()
    return {line.strip() for line in EQUIVALENT.read_text("utf-8").splitlines() if line.strip() and not line.startswith((" ", "#"))}


def _readers(site: Site) -> list[str]:
    if site.path.startswith("web/"):
        return [READER_OF_WEB] if site.reached_at == 0 or site.what == "constant" else []
    readers = [test for begins, test in READERS.items() if begins.match(site.told)]
    return readers if OF_TABLES in readers or functions_around(site.path, site.line) else [*readers, OF_TABLES]


def _costs_s(reach: Reach, name: str) -> float:
    return reach.seconds.get(name, LISTENING_S if name.startswith(LISTENING_FILE) else 1.0)


class Planted:
    """The copy; gone at the end."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="mutants-"))
        self._sound: dict[tuple[str, ...], bool] = {}
        self._last: tuple[list[str], float] | None = None
        self.environment = {**os.environ, "PYTHONPATH": str(self.folder / "server"), "PYTHONDONTWRITEBYTECODE": "1"}

    def __enter__(self) -> Planted:
        ignored = shutil.ignore_patterns("node_modules", "built", "__pycache__")
        for name in COPIED:
            given, copy = ROOT / name, self.folder / name
            shutil.copytree(given, copy, ignore=ignored) if given.is_dir() else shutil.copy2(given, copy)
        for name in LINKED:
            if (ROOT / name).exists():
                (self.folder / name).symlink_to(ROOT / name)
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)

    @cached_property
    def names(self) -> set[str]:
        """The tests that there are: one that is gone, or cannot be read in, would fail whatever is planted."""
        command = [sys.executable, "-m", "pytest", "--collect-only", "-p", "no:cacheprovider", "tests"]
        done = subprocess.run(command, cwd=self.folder, env=self.environment, check=False, capture_output=True, text=True)
        names = {line for line in done.stdout.splitlines() if "::" in line}
        if not names:
            raise SystemExit(f"No test was found in the copy of the tree. pytest said:\n{done.stdout}")
        return names

    def tried(self, site: Site, reach: Reach, patience_s: float) -> Outcome:
        """Plants it, runs the tests that reach it until one fails, and takes it out again."""
        tests = [name for name in reach.tests(site.path, site.reached_at) if name in self.names or name in self._whole_files]
        stories = listening_to(site.path) if site.path.startswith("web/") else stories_of(site.path, site.reached_at)
        listening = [one for one in stories if one.startswith(LISTENING_FILE) and self.is_sound((one,))]
        stories = [one for one in stories if not one.startswith(LISTENING_FILE)]
        tests = [test for test in tests if test not in (*stories, *listening)]
        others = [*tests[NARROW_FIRST:BEFORE_LISTENING], *listening, *tests[BEFORE_LISTENING:]]
        tests = [*_readers(site), *tests[:NARROW_FIRST], *stories, *others]
        if not tests:
            return Outcome(Verdict.UNREACHED)
        file = self.folder / place(site.path)
        file.write_text(site.mutated(), "utf-8")
        try:
            found = self._tried(tests, reach, patience_s)
        finally:
            file.write_text(source(site.path), "utf-8")
        return self._looked_at_without(found)

    @cached_property
    def _whole_files(self) -> set[str]:
        return {name.partition("::")[0] for name in self.names}

    def is_sound(self, tests: tuple[str, ...]) -> bool:
        """Whether these tests pass in the copy while nothing is planted: else their failing would say nothing."""
        if tests not in self._sound:
            self._sound[tests] = self._ran(list(tests), LONGEST_OF_THE_LIST_S).verdict is Verdict.SURVIVED
        return self._sound[tests]

    def tried_again(self, seen: Seen) -> Verdict:
        """Plants one of the list, runs its tests until one fails, and takes it out again; unknown where they fail without it, too."""
        if not self.is_sound(seen.by):
            return Verdict.UNKNOWN
        file, kept = self.folder / seen.path, (ROOT / seen.path).read_text("utf-8")
        file.write_text(seen.mutated(), "utf-8")
        try:
            return self._ran(list(seen.by), LONGEST_OF_THE_LIST_S).verdict
        finally:
            file.write_text(kept, "utf-8")

    def _looked_at_without(self, found: Outcome) -> Outcome:
        """What came to no end, or waited in vain for a page, on a machine with much else to do, may do so without the mistake, too: then it
        is unknown."""
        if found.verdict is Verdict.ENDLESS and self._last and self._ran(*self._last).verdict is not Verdict.SURVIVED:
            return Outcome(Verdict.UNKNOWN, "it came to no end, nor did its tests without it")
        if found.verdict is Verdict.CAUGHT and found.by.startswith(SLOW_TO_COME):
            without = self._ran([found.by.partition("[")[0]], LONGEST_OF_THE_LIST_S)
            if without.verdict is not Verdict.SURVIVED:
                return Outcome(Verdict.UNKNOWN, f"it fails without it, too: {found.by}")
        return found

    def _tried(self, tests: list[str], reach: Reach, patience_s: float) -> Outcome:
        spent_s, begin, many = 0.0, 0, FEW_FIRST
        found = Outcome(Verdict.SURVIVED)
        while begin < len(tests):
            some = tests[begin : begin + many]
            wanted_s = sum(_costs_s(reach, name) for name in some)
            if begin and spent_s + wanted_s > patience_s:
                break
            self._last = (some, wanted_s)
            one = self._ran(some, wanted_s)
            if one.verdict in CAUGHT:
                return one
            if one.verdict is Verdict.UNKNOWN:
                found = one  # others may catch it still; if none does, it was not let by either
            spent_s, begin, many = spent_s + wanted_s, begin + many, min(2 * many, reach.tests_in_one_run)
        return found

    def _ran(self, tests: list[str], wanted_s: float) -> Outcome:
        """What these tests say; they end with the first that fails."""
        command = [sys.executable, "-m", "pytest", "-x", "-q", "-rfE", "-p", "no:cacheprovider", "--no-header", "--tb=no", *tests]
        try:
            done = subprocess.run(
                command, cwd=self.folder, env={**self.environment, **PATIENT}, check=False, capture_output=True, stdin=subprocess.DEVNULL,
                text=True, timeout=BUSY * wanted_s + SLACK_S,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            return Outcome(Verdict.ENDLESS, "it came to no end")
        return outcome_of(done.returncode, done.stdout)
