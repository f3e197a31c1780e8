"""Runs every check of the project, one after the other, and closes with one line that counts them.

Called by scripts/test. A failing check does not stop the ones behind it; the exit code is 0 only when none failed.
`--quick`: the linters, the types and the tests that answer within a breath, in less than a minute: before a commit.
`--all`: the long tests too (`tests/long_tests.txt`): before a release.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parent.parent
BIN = ROOT / ".venv" / ("Scripts" if os.name == "nt" else "bin")
RESULTS = ROOT / ".setup"
PYTHON_FOLDERS = ("server", "tests", "demo_seed", "scripts")
CACHED = ("--cache", "--cache-strategy", "content", "--cache-location")
"""What was found right is not read again until it, or what it is held to, is another; by content, for a clone's files are all of today."""
BROWSER_TYPES = ("-p", "web", "--incremental", "--tsBuildInfoFile", str(RESULTS / "types-of-the-browser.json"))
BROWSER_LINTED = ("--config", "web/eslint.config.js", "--max-warnings", "0", *CACHED, str(RESULTS / "lint-of-the-browser.json"), "web")
BROWSER_FORMATTED = (
    "--config", "web/.prettierrc.json", "--ignore-path", "web/.prettierignore",
    *CACHED, str(RESULTS / "format-of-the-browser.json"), "web/**/*.{js,ts,css}",
)  # fmt: skip
NO_TESTS = 5
"""What pytest ends with when its selection holds no test at all."""
VERDICTS = {0: "right", NO_TESTS: "none there yet"}
LONGEST_S, STOPPED = 45 * 60, 124
"""A part that takes longer hangs: when a worker of the tests is lost, the others may wait for it without an end."""
MINUTES_WISHED, MINUTES_WISHED_QUICK, MINUTES_WISHED_ALL = 8, 1, 20
HANDS = min(2, os.cpu_count() or 1)
TEST_HANDS = HANDS + 1
"""One more: a page, a server or a database that is waited for leaves a fifth of two cores idle. Two more were no quicker."""
TESTS = {
    "tests": ("tests", "--ignore", "tests/browser", "-n", str(TEST_HANDS), "--dist", "worksteal"),
    "browser tests": ("tests/browser", "-n", str(TEST_HANDS), "--dist", "loadfile", "--no-loadscope-reorder"),
}
"""By folder: each hand reads all that it may be given before its first test, seconds for the one and the other."""
NOT_LONG = ("-m", "not long")
"""Another `-m` after it takes its place."""
NOT_EVEN_READ = tuple(word for part in ("browser", "outside", "storm", "store") for word in ("--ignore", f"tests/{part}"))
QUICK_TESTS = {"quick tests": ("-m", "not slow and not long", *NOT_EVEN_READ, "-n", str(HANDS), "--dist", "worksteal")}


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


def parts(long: bool) -> dict[str, tuple[str, ...]]:
    """The parts that the tests run in, each with pytest's words; the long ones with them or not."""
    return {name: (*words, *(() if long else NOT_LONG)) for name, words in TESTS.items()}


def python_scripts() -> list[Path]:
    """Scripts without an ending that are Python, which the linter would not find by itself."""
    candidates = (path for path in (ROOT / "scripts").iterdir() if path.is_file() and not path.suffix)
    return sorted(path for path in candidates if b"python" in path.read_bytes().partition(b"\n")[0])


def _run(name: str, command: list[str | Path]) -> int:
    print(f"\n== {name}", flush=True)
    began = time.monotonic()
    try:
        code = subprocess.run(_words(command), cwd=ROOT, check=False, stdin=subprocess.DEVNULL, timeout=LONGEST_S).returncode
    except subprocess.TimeoutExpired:
        code = STOPPED
    print(f"== {name}: {VERDICTS.get(code, 'WRONG')}, {time.monotonic() - began:.0f} s", flush=True)
    return code


def _words(command: list[str | Path]) -> list[str]:
    return [str(part) for part in command]


def read_without_running(quick: bool) -> Count:
    """Linters, types, format and sizes: each reads the code by itself, so they go by as many hands as there are.

    The tests are read in too, where all of them are to run: what Python compiles on the way is kept, and each hand would do all of it, at
    the same time as the others.
    """
    node = ROOT / "web/node_modules"
    readers: dict[str, list[str | Path]] = {
        "types": [BIN / "mypy"],
        "lint": [BIN / "ruff", "check", *PYTHON_FOLDERS, *python_scripts()],
        "types of the browser's side": ["node", node / "typescript/bin/tsc", *BROWSER_TYPES],
        "lint of the browser's side": ["node", node / "eslint/bin/eslint.js", *BROWSER_LINTED],
        "format of the browser's side": ["node", node / "prettier/bin/prettier.cjs", "--check", *BROWSER_FORMATTED],
        "sizes": [sys.executable, ROOT / "scripts/sizes"],
    }
    if not quick:
        readers["tests, read in"] = [BIN / "python", "-m", "pytest", "--collect-only", "-qqq", "tests"]
    total = Count()
    with ThreadPoolExecutor(HANDS) as hands:
        for name, said in zip(readers, hands.map(_read, readers.values()), strict=True):
            trouble = said.stdout if said.returncode else ""
            print(f"\n{trouble}== {name}: {VERDICTS.get(said.returncode, 'WRONG')}", flush=True)
            total.add(Count(failed=1) if said.returncode else Count(passed=1))
    return total


def _read(command: list[str | Path]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        _words(command), cwd=ROOT, check=False, text=True, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )


def main() -> int:
    """Every check; the last line is the sum."""
    quick, long = "--quick" in sys.argv[1:], "--all" in sys.argv[1:]
    began, total = time.monotonic(), Count()
    os.environ["PATH"] = f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}"  # node may live there
    total.add(read_without_running(quick))
    for name, options in (QUICK_TESTS if quick else parts(long)).items():
        total.add(tests(name, *options))
    minutes = (time.monotonic() - began) / 60
    wished = MINUTES_WISHED_ALL if long else MINUTES_WISHED_QUICK if quick else MINUTES_WISHED
    late = f", past the {wished} we wish for" if minutes > wished else ""
    print(f"\nIt took {minutes:.1f} minutes{late}.")
    look = "everything" if long else "a quick look" if quick else "every check but the long tests (scripts/test --all)"
    print(f"{look}: {total.passed} passed, {total.failed} failed, {total.skipped} skipped")
    return int(total.failed > 0 or total.passed == 0)


if __name__ == "__main__":
    sys.exit(main())
