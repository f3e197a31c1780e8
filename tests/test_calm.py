"""scripts/calm names the tests that are not the same each time, and is content with none."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

CALM = Path(__file__).resolve().parents[1] / "scripts/calm"
MOODY = """
from pathlib import Path

def test_steady():
    assert True

def test_moody():
    seen = Path(__file__).with_suffix(".seen")
    seen.write_text(seen.read_text() + "." if seen.exists() else ".")
    assert len(seen.read_text()) != 2, "the second time"
"""


def calm(file: Path, *more: str, busy: int = 0) -> tuple[int, dict[str, Any], str]:
    """Its exit code, its record and what it said meanwhile. One busy loop is as much as all else: beside one test alone."""
    command = [sys.executable, CALM, "--json", "--busy", str(busy), *more, "-p", "no:cacheprovider", file]
    said = subprocess.run(command, check=False, capture_output=True, text=True)
    return said.returncode, json.loads(said.stdout), said.stderr


def test_a_moody_test_is_named_with_why_and_a_steady_one_is_not(tmp_path: Path) -> None:
    file = tmp_path / "test_of_two_minds.py"
    file.write_text(MOODY)
    code, told, said = calm(file, "--runs", "3", busy=1)
    [(name, seen)] = told["unlike"].items()
    assert name.endswith("::test_moody") and seen == {"passed": 2, "failed": 1}
    assert "the second time" in told["why"][name]
    first, second, third = (said.index(f"run {number}: 2 tests, {failed} failed") for number, failed in ((1, 0), (2, 1), (3, 0)))
    assert first < second < said.index(f"{name}\n") < said.index('>       assert len(seen.read_text()) != 2, "the second time"') < third
    assert (code, told["green"], told["tests"], told["runs"], told["busy"]) == (1, 2, 2, 3, 1)
    assert calm(file, "--runs", "1")[0] == 0  # the fourth time it passes, and all runs were green


def test_a_run_that_breaks_down_is_not_green(tmp_path: Path) -> None:
    file = tmp_path / "test_nothing_there.py"
    code, told, _ = calm(file, "--runs", "1")
    assert code == 1 and told["green"] == 0


def test_what_a_run_said_that_did_not_begin_is_told(tmp_path: Path) -> None:
    code, told, said = calm(tmp_path, "--runs", "1", "--no-such-word")
    assert (code, told["green"], list(told["failed"])) == (1, 0, ["pytest itself, these"])
    assert "run 1: 1 tests, 1 failed" in said and "unrecognized arguments: --no-such-word" in said


@pytest.mark.parametrize("trouble", [0, 1])
def test_a_fresh_clone_is_set_up_first_as_for_the_tests(tmp_path: Path, trouble: int) -> None:
    for name in ("calm", "own_python.py", "every_check.py"):
        shutil.copy(CALM.parent / name, tmp_path)
    (tmp_path / "set_up.py").write_text(f"def main(words):\n    print('Setting up', *words)\n    return {trouble}\n")
    said = subprocess.run([sys.executable, tmp_path / "calm", "--json", "--runs", "0"], check=False, capture_output=True, text=True)
    assert (said.returncode, said.stderr) == (trouble, "Setting up --tests\n")
    assert not said.stdout if trouble else json.loads(said.stdout)["runs"] == 0, "what stops is told, and no record written"


OF_A_DAY = """
import os
from datetime import UTC, datetime, timedelta

def test_of_a_leap_day():
    told = datetime.now(UTC) + timedelta(seconds=float(os.environ["HONEYHOLD_TESTS_AHEAD_S"]))
    assert told.date().isoformat() == "2028-02-29"
"""


def test_the_tests_are_told_on_which_day_they_run(tmp_path: Path) -> None:
    file = tmp_path / "test_of_a_day.py"
    file.write_text(OF_A_DAY)
    assert calm(file, "--runs", "1", "--at", "2028-02-29T12:00")[0] == 0
    assert calm(file, "--runs", "1", "--at", "2028-03-01T12:00")[0] == 1
