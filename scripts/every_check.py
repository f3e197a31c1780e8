"""Runs every check of the project, one after the other, and closes with one line that counts them.

Called by scripts/test. A failing check does not stop the ones behind it; the exit code is 0 only when none failed.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parent.parent
BIN = ROOT / ".venv" / ("Scripts" if os.name == "nt" else "bin")
RESULTS = ROOT / ".setup"
PYTHON_FOLDERS = ("server", "tests", "demo_seed", "scripts")
BROWSER_FORMATTED = ("--config", "web/.prettierrc.json", "--ignore-path", "web/.prettierignore", "web/**/*.{js,ts,css}")
BROWSER_LINTED = ("--config", "web/eslint.config.js", "--max-warnings", "0", "web")
NO_TESTS = 5
"""What pytest ends with when its selection holds no test at all."""
VERDICTS = {0: "right", NO_TESTS: "none there yet"}
MINUTES_WISHED = 10


@dataclass
class Count:
    """How many checks passed, failed and were skipped."""

    passed: int = 0
    failed: int = 0
    skipped: int = 0

    def add(self, other: Count) -> None:
        """Add another count to this one."""
        self.passed += other.passed
        self.failed += other.failed
        self.skipped += other.skipped


def check(name: str, command: list[str | Path]) -> Count:
    """Run one check that is right or wrong as a whole."""
    return Count(passed=1) if _run(name, command) == 0 else Count(failed=1)


def tests(name: str, *options: str) -> Count:
    """Run a part of the tests, and count them from pytest's own record."""
    record = RESULTS / f"{name.replace(' ', '-')}.xml"
    record.unlink(missing_ok=True)
    code = _run(name, [BIN / "python", "-m", "pytest", f"--junit-xml={record}", *options])
    if code == NO_TESTS:
        return Count()
    count = read_record(record) if record.exists() else Count()
    if code and not count.failed:
        count.failed = 1  # pytest itself broke down: that is no success
    return count


def read_record(record: Path) -> Count:
    """The sums of a JUnit record: errors are failures."""
    count = Count()
    for suite in ElementTree.parse(record).getroot().iter("testsuite"):
        tests_run, skipped = int(suite.get("tests", 0)), int(suite.get("skipped", 0))
        failed = int(suite.get("failures", 0)) + int(suite.get("errors", 0))
        count.add(Count(tests_run - skipped - failed, failed, skipped))
    return count


def python_scripts() -> list[Path]:
    """Scripts without an ending that are Python, which the linter would not find by itself."""
    candidates = (path for path in (ROOT / "scripts").iterdir() if path.is_file() and not path.suffix)
    return sorted(path for path in candidates if b"python" in path.read_bytes().partition(b"\n")[0])


def _run(name: str, command: list[str | Path]) -> int:
    print(f"\n== {name}", flush=True)
    began = time.monotonic()
    code = subprocess.run(
        [str(part) for part in command], cwd=ROOT, check=False, stdin=subprocess.DEVNULL
    ).returncode
    print(
        f"== {name}: {VERDICTS.get(code, 'WRONG')}, {time.monotonic() - began:.0f} s",
        flush=True,
    )
    return code


def main() -> int:
    """Every check; the last line is the sum."""
    began, total = time.monotonic(), Count()
    os.environ["PATH"] = f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}"  # node may live there
    total.add(check("lint", [BIN / "ruff", "check", *PYTHON_FOLDERS, *python_scripts()]))
    total.add(check("types", [BIN / "mypy"]))
    if (ROOT / "web/tsconfig.json").exists():
        compiler = ROOT / "web/node_modules/typescript/bin/tsc"
        total.add(check("types of the browser's side", ["node", compiler, "-p", "web"]))
        formatter = ROOT / "web/node_modules/prettier/bin/prettier.cjs"
        total.add(check("format of the browser's side", ["node", formatter, "--check", *BROWSER_FORMATTED]))
        linter = ROOT / "web/node_modules/eslint/bin/eslint.js"
        total.add(check("lint of the browser's side", ["node", linter, *BROWSER_LINTED]))
    total.add(check("sizes", [sys.executable, ROOT / "scripts/sizes"]))
    hands = str(min(2, os.cpu_count() or 1))
    total.add(tests("tests", "-m", "not browser", "-n", hands))
    total.add(tests("browser tests", "-m", "browser", "-n", hands, "--dist", "loadfile"))
    minutes = (time.monotonic() - began) / 60
    late = f", past the {MINUTES_WISHED} we wish for" if minutes > MINUTES_WISHED else ""
    print(f"\nIt took {minutes:.1f} minutes{late}.")
    print(f"everything: {total.passed} passed, {total.failed} failed, {total.skipped} skipped")
    return int(total.failed > 0 or total.passed == 0)


if __name__ == "__main__":
    sys.exit(main())
