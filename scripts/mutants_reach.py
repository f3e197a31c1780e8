"""Which test reaches which line of the server, and how long each takes: coverage with the test's name as its context, kept in `.setup`."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar, Final
from xml.etree import ElementTree

from coverage import CoverageData

ROOT = Path(__file__).resolve().parent.parent
FOLDER: Final = ROOT / ".setup" / "reach"
SETTINGS: Final = "[run]\nsource = honeyhold\nrelative_files = True\ndata_file = {data}\n"


def measure(tests: list[str]) -> int:
    """Runs these tests, or all that need no browser, once with coverage; gives pytest's exit code."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.iterdir():
        old.unlink()
    settings = FOLDER / "settings"
    settings.write_text(SETTINGS.format(data=FOLDER / "data"), "utf-8")
    options = ["--cov", f"--cov-config={settings}", "--cov-context=test", "--cov-report=", f"--junit-xml={FOLDER / 'times.xml'}"]
    command = [sys.executable, "-m", "pytest", "-m", "not browser", "-n", "2", *options, *tests]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


@dataclass
class Reach:
    """Who reaches what."""

    tests_in_one_run: ClassVar[int] = 25

    data: Path
    """Where it was written down."""
    seconds: dict[str, float] = field(default_factory=dict)
    """By the test's name without its parameters, all of them together."""
    _lines: dict[str, dict[int, list[str]]] = field(default_factory=dict)

    @classmethod
    def read(cls, folder: Path = FOLDER) -> Reach:
        """What was measured last. Raises SystemExit with what to do when nothing was."""
        if not (folder / "data").exists():
            raise SystemExit("Which test reaches which line is not known yet: scripts/mutants --reach")
        return cls(folder / "data", times(folder / "times.xml"))

    def tests(self, path: str, line: int) -> list[str]:
        """The tests that reach a line of `stock/lots.py`, quickest first. What only runs while the file is read in (a constant) is
        reached by whoever reaches anything of the file."""
        lines = self._file(path)
        found = {test for test in map(_test, lines.get(line, ())) if test}
        if not found and line in lines:
            found = {test for contexts in lines.values() for test in map(_test, contexts) if test}
        return sorted(found, key=lambda name: (self.seconds.get(name, 1.0), name))

    def _file(self, path: str) -> dict[int, list[str]]:
        if path not in self._lines:
            reached = CoverageData(str(self.data))
            reached.read()
            measured = [name for name in reached.measured_files() if name.endswith(f"server/honeyhold/{path}")]
            self._lines[path] = reached.contexts_by_lineno(measured[0]) if measured else {}
        return self._lines[path]


def times(record: Path) -> dict[str, float]:
    """Seconds of each test in a JUnit record, by its name without parameters: all of them together."""
    seconds: dict[str, float] = {}
    for case in ElementTree.parse(record).getroot().iter("testcase"):
        name = f"{case.get('classname', '').replace('.', '/')}.py::{case.get('name', '').partition('[')[0]}"
        seconds[name] = seconds.get(name, 0.0) + float(case.get("time", 0))
    return seconds


def _test(context: str) -> str:
    """`tests/a.py::test_b` of `tests/a.py::test_b[c]|setup`; empty for what ran outside of every test."""
    return context.partition("|")[0].partition("[")[0]
