"""Which tests are left to `scripts/test --all`, and that a renamed one is not left out by mistake, nor run by mistake."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from long_tests import LongTests

LIST = """# Why these.
house/test_whole.py
house/test_part.py::test_drawn
but house/test_part.py::test_drawn[1]
house/test_part.py::test_every[b]
"""
LEFT_OUT = {
    "house/test_whole.py::test_any": True,
    "house/test_whole.py::TestRounds::runTest": True,
    "house/test_part.py::test_drawn[0]": True,
    "house/test_part.py::test_drawn[1]": False,
    "house/test_part.py::test_every[a]": False,
    "house/test_part.py::test_every[b]": True,
    "house/test_other.py::test_drawn[0]": False,
}


@pytest.fixture
def few(tmp_path: Path) -> LongTests:
    """A short list."""
    file = tmp_path / "long_tests.txt"
    file.write_text(LIST, "utf-8")
    return LongTests.read(file)


@pytest.mark.parametrize("test", LEFT_OUT)
def test_a_file_a_test_and_one_of_its_parameters(few: LongTests, test: str) -> None:
    assert few.holds(test) is LEFT_OUT[test]


def test_a_name_that_no_test_of_its_file_has_is_told(few: LongTests) -> None:
    there = {"house/test_part.py::test_drawn[0]", "house/test_part.py::test_every[b]", "house/test_other.py::test_any"}
    assert few.unknown(there) == ["house/test_part.py::test_drawn[1]"]
    assert few.unknown(there | {"house/test_part.py::test_drawn[1]"}) == []
    assert few.unknown({"house/test_other.py::test_any"}) == [], "files that were not asked for are nobody's business"


ASKED = ("stock/test_two_years.py", "stock/test_restock.py")


def test_pytest_leaves_them_out_and_runs_them_when_it_is_told_to() -> None:
    without, alone = _told("not long"), _told("long")
    assert without and without.isdisjoint(alone)
    assert "tests/stock/test_restock.py::test_the_stated_chance_is_kept" in alone


def _told(mark: str) -> set[str]:
    root = Path(__file__).resolve().parent.parent
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--collect-only", "-m", mark]
    said = subprocess.run([*command, *(f"tests/{file}" for file in ASKED)], cwd=root, check=True, capture_output=True, text=True).stdout
    return {line for line in said.splitlines() if "::" in line}
