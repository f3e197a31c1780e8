"""Which test reaches which line of the server, and how long each takes: coverage with the test's name as its context, kept in `.setup`."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parent.parent
FOLDER: Final = ROOT / ".setup" / "reach"
SETTINGS: Final = "[run]\nsource = honeyhold\nrelative_files = True\ndata_file = {data}\n"


def measure() -> int:
    """Runs the tests that need no browser once with coverage; gives pytest's exit code."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.iterdir():
        old.unlink()
    settings = FOLDER / "settings"
    settings.write_text(SETTINGS.format(data=FOLDER / "data"), "utf-8")
    options = ["--cov", f"--cov-config={settings}", "--cov-context=test", "--cov-report=", f"--junit-xml={FOLDER / 'times.xml'}"]
    return subprocess.run([sys.executable, "-m", "pytest", "-m", "not browser", "-n", "2", *options], cwd=ROOT, check=False).returncode


@dataclass
class Reach:
    """Who reaches what."""

    data: Path
    seconds: dict[str, float] = field(default_factory=dict)
    """By the test's name without its parameters: the longest of them."""

    @classmethod
    def read(cls, folder: Path = FOLDER) -> Reach:
        """What was measured last. Raises SystemExit with what to do when nothing was."""
        if not (folder / "data").exists():
            raise SystemExit("Which test reaches which line is not known yet: scripts/mutants --reach")
        seconds: dict[str, float] = {}
        for case in ElementTree.parse(folder / "times.xml").getroot().iter("testcase"):
            name = f"{case.get('classname', '').replace('.', '/')}.py::{case.get('name', '').partition('[')[0]}"
            seconds[name] = seconds.get(name, 0.0) + float(case.get("time", 0))
        return cls(folder / "data", seconds)

    def tests(self, path: str, line: int) -> list[str]:
        """The tests that reach a line of `stock/lots.py`, quickest first. What only runs while the file is read in (a constant) is
        reached by whoever reaches anything of the file."""
        query = (
            "SELECT context.context, line_bits.numbits FROM line_bits JOIN context ON context.id = line_bits.context_id "
            "JOIN file ON file.id = line_bits.file_id WHERE file.path LIKE ?"
        )
        with closing(sqlite3.connect(self.data)) as base:
            rows = [(_test(context), _holds(bits, line)) for context, bits in base.execute(query, (f"%server/honeyhold/{path}",))]
        found = {test for test, holds in rows if test and holds}
        if not found and any(holds for _, holds in rows):
            found = {test for test, _ in rows if test}
        return sorted(found, key=lambda name: (self.seconds.get(name, 1.0), name))


def _test(context: str) -> str:
    """`tests/a.py::test_b` of `tests/a.py::test_b[c]|setup`; empty for what ran outside of every test."""
    return context.partition("|")[0].partition("[")[0]


def _holds(bits: bytes, line: int) -> bool:
    """Whether a line is in coverage's packed set of them (coverage.py documents it: bit n of the bytes is line n)."""
    return line // 8 < len(bits) and bool(bits[line // 8] & 1 << line % 8)
