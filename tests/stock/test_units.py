"""Measures, numbers, days and addresses: read as they are said, said as they are read."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import ceil

import holidays
import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.packing.postage.quote import quote
from honeyhold.stock.days import date_words, day_words, days_later, parse_day
from honeyhold.stock.errors import UnreadableField, UnreadableText
from honeyhold.stock.mailing_days import next_posting_days
from honeyhold.stock.people import address_lines, phone_words, zip_text
from honeyhold.stock.units import (
    OUNCE_G,
    mailing_weight_words,
    money_words,
    weight_words,
)


@pytest.mark.parametrize(
    ("mass_g", "words"),
    [
        (0, "0 oz"),
        (28.35, "1 oz"),
        (42.5, "1.5 oz"),
        (112.9, "4 oz"),
        (340, "12 oz"),
        (453.59237, "1 lb"),
        (453, "1 lb"),
        (1077, "2 lb 6 oz"),
        (-907.18, "−2 lb"),
        (27216, "60 lb"),
    ],
)
def test_weight_words(mass_g: float, words: str) -> None:
    assert weight_words(mass_g) == words


@given(st.integers(1, 453_000))
def test_a_mailed_weight_is_what_is_charged(gross_mg: int) -> None:
    """Up to a pound the post charges by the ounce: the words agree, but within half a gram of an ounce's edge."""
    charged = quote({"outer_mm": [150, 100, 100], "gross_g": gross_mg / 1000, "posting": {"on": "2026-11-25"}})["charged_oz"]
    edge = min(abs(gross_mg / 1000 - float(whole * OUNCE_G)) for whole in (charged - 1, charged))
    assert mailing_weight_words(ceil(gross_mg / 1000)) == ("1 lb" if charged == 16 else f"{charged} oz") or edge <= 0.5


@pytest.mark.parametrize(
    ("read", "said"),
    [
        (zip_text, 4609),
        (zip_text, "4609"),
        (zip_text, "04609-12"),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_remedy(read: Callable[[object], object], said: object) -> None:
    with pytest.raises(UnreadableText) as caught:
        read(said)
    assert repr(said)[:20] in str(caught.value) and caught.value.remedy


def test_money() -> None:
    assert money_words(3750) == "$37.50"
    assert money_words(120_400) == "$1,204.00"
    assert money_words(-5) == "−$0.05"
    with pytest.raises(UnreadableField):
        money_words(37.5)  # type: ignore[arg-type]


def test_phone() -> None:
    assert phone_words("+17155550123") == "715-555-0123"


@pytest.mark.parametrize(("number", "said"), [
    ("+495550123", "+495-550-123"), ("+49555012", "+495-550-12"), ("+4955501", "+495-5501"), ("+4955501234", "+495-550-1234"),
])  # fmt: skip
def test_a_number_from_elsewhere_is_read_by_threes_and_no_last_digit_stands_alone(number: str, said: str) -> None:
    assert phone_words(number) == said


def test_zip_keeps_its_zero() -> None:
    assert zip_text("04609") == "04609"
    assert zip_text(" 046091234 ") == "04609-1234"


FIELDS = ("name", "street", "unit", "city", "state", "zip")
ADDRESSES = {
    ("Dez Maravall", "906 E. Larkwater Ln.", "Apartment 3", "Tempe", "az", "85281"): [
        "DEZ MARAVALL",
        "906 E LARKWATER LN APT 3",
        "TEMPE AZ  85281",
    ],
    ("Hollis Ambrey", "12 Kelp Stair", "", "Bar Harbor", "ME", "04609-1234"): [
        "HOLLIS AMBREY",
        "12 KELP STAIR",
        "BAR HARBOR ME  04609-1234",
    ],
    ("Wren O'Strava", "PO Box 99318", "", "Marquette", "MI", "49855"): [
        "WREN OSTRAVA",
        "PO BOX 99318",
        "MARQUETTE MI  49855",
    ],
    ("Sgt. A. Reed", "Unit 2050", "Box 4190", "APO", "AP", "96522"): [
        "SGT A REED",
        "UNIT 2050 BOX 4190",
        "APO AP  96522",
    ],
    ("A B", "5 Spruce Tine Way", "4c", "", "", ""): ["A B", "5 SPRUCE TINE WAY # 4C"],
    (): [],
}


@pytest.mark.parametrize(("said", "lines"), ADDRESSES.items())
def test_address_block_as_publication_28(said: tuple[str, ...], lines: list[str]) -> None:
    """USPS Publication 28, chapter 2: capitals, unit at the end of the delivery line, two spaces before the
    ZIP code.
    """
    assert address_lines(dict(zip(FIELDS, said, strict=False))) == lines


def test_days() -> None:
    today = "2026-07-21"
    said = {
        "2026-07-20": "yesterday",
        today: "today",
        "2026-07-22": "tomorrow",
        "2026-07-27": "Monday",
        "2026-07-28": "Tuesday, Jul 28",
    }
    assert {day: day_words(day, today) for day in said} == said
    assert day_words("2027-01-04", today) == "Monday, Jan 4, 2027"
    assert day_words("2026-07-18", today) == "Saturday, Jul 18"
    assert date_words(date(2026, 7, 20)) == "Mon, Jul 20"
    assert days_later("2028-02-28", 2) == date(2028, 3, 1)


@pytest.mark.parametrize(
    "day", ["2026-7-20", "2026-02-30", "today", None, 20260720, "", "2026-07-20T10:00:00"]
)
def test_bad_days_are_refused(day: object) -> None:
    with pytest.raises(UnreadableField):
        parse_day(day)


def test_posting_days_pass_over_holidays() -> None:
    """Labor Day is Monday, September 7, 2026 (python-holidays)."""
    closed = [day.isoformat() for day in holidays.US(years=2026)]
    request = {"from": "2026-09-05", "weekdays": [0, 1, 2], "holidays": closed, "count": 4}
    assert next_posting_days(request)["days"] == ["2026-09-08", "2026-09-09", "2026-09-14", "2026-09-15"]
    assert next_posting_days({"from": "2026-07-22", "weekdays": [0, 1, 2]})["days"][0] == "2026-07-22"
    for wrong in ([], [7], "Monday", None):
        with pytest.raises(UnreadableField, match="weekdays"):
            next_posting_days({"from": "2026-07-22", "weekdays": wrong})
