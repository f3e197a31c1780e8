"""Telephone numbers by one rule on both sides; tests/browser/test_addresses.py holds the browser to the same list of cases."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.importing.phones import read_phone
from honeyhold.stock.errors import UnreadableField, UnreadableText

ROOT = Path(__file__).resolve().parents[2]
CASES = json.loads((ROOT / "tests/telephone_cases.json").read_text(encoding="utf-8"))["cases"]
AREA = "715"


@pytest.mark.parametrize("case", CASES, ids=[case["said"] or "nothing" for case in CASES])
def test_python_reads_the_shared_cases(case: dict[str, str | None]) -> None:
    """What is kept is kept in one form; what nobody can be reached at is refused with the value and what to do."""
    if case["kept"] is not None:
        assert read_phone(str(case["said"]), AREA) == case["kept"]
        return
    with pytest.raises(UnreadableText) as caught:
        read_phone(str(case["said"]), AREA)
    assert repr(case["said"])[:20] in str(caught.value) and "area code" in caught.value.remedy


def test_what_is_kept_reads_back_as_itself() -> None:
    """A number in its kept form is the same number, whatever the local area code."""
    for case in CASES:
        if case["kept"]:
            assert read_phone(case["kept"], "218") == case["kept"]


def test_seven_digits_without_an_area_code_are_no_number() -> None:
    """The trap: the library would take "555-0123" for possible, and keep a number that rings nowhere."""
    with pytest.raises(UnreadableText):
        read_phone("555-0123")
    with pytest.raises(UnreadableField):
        read_phone("555-0123", "15")


@given(st.integers(0, 9_999_999_999))
def test_no_number_of_the_north_american_plan_breaks_its_own_form(number: int) -> None:
    """NXX-NXX-XXXX with N from 2 to 9, area codes not ending in 11 (NANPA; ATIS-0300119): nothing else is ever kept."""
    said = f"{number:010}"
    try:
        kept = read_phone(said)
    except UnreadableText:
        return
    assert kept == f"+1{said}"
    assert said[0] in "23456789" and said[3] in "23456789" and said[1:3] != "11"
