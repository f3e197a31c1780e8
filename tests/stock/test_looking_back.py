"""A season beside the one before, worked by hand; and its sums are those of the books."""

from __future__ import annotations

from datetime import date
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.ledger import balances, journal
from honeyhold.stock.looking_back import _before, looking_back, weeks_of
from honeyhold.stock.looking_back_picture import round_up, weeks_picture

Json = dict[str, Any]
GOODS = [{"id": "bar", "name": "wax bar", "plural": "wax bars"}, {"id": "jar", "name": "jar", "plural": "jars"}]


def order(id: str, gone_on: str | None, **more: Any) -> Json:
    return {
        "id": id, "number": id, "state": "gone" if gone_on else "promised", "taken_on": (gone_on or "2026-07-01"), "gone_on": gone_on,
        "way": "post", "posting_cents": 0, "tax_cents": 0, "free_for": "", "replaces": None, **more,
    }  # fmt: skip


def line(order_id: str, good: str, units: int, cents: int) -> Json:
    return {"id": f"{order_id}-{good}", "order": order_id, "good": good, "units": units, "price_cents": 0, "total_cents": cents}


def asked(season: int, orders: list[Json], lines: list[Json], **more: Any) -> Json:
    gone = {row["id"] for row in orders if row["gone_on"]}
    movements = [{"line": row["id"], "units": -row["units"]} for row in lines if row["order"] in gone]
    rows: Json = {"order": orders, "line": lines, "movement": movements, "payment": [], "adjustment": []}
    return {"season": season, "goods": GOODS, **rows, **more}


def two_seasons() -> Json:
    """2025: ten bars for $25. 2026: five bars in two weeks, a jar picked up; one order waits unpaid, one gave up, one was sent again."""
    orders = [
        order("a", "2025-07-14"), order("b", "2026-07-13"), order("c", "2026-07-20", way="pick_up", tax_cents=60, posting_cents=0),
        order("d", "2026-07-21", posting_cents=900), order("e", None), order("f", None, state="let_go"),
        order("g", "2026-07-28", free_for="heat", replaces="b", taken_on="2026-07-27"),
    ]  # fmt: skip
    lines = [
        line("a", "bar", 10, 2500), line("b", "bar", 2, 600), line("c", "jar", 1, 1200), line("d", "bar", 3, 900),
        line("e", "bar", 10, 2500), line("f", "bar", 5, 1500), line("g", "bar", 2, 0),
    ]  # fmt: skip
    money = [("a", 2500, "2026-01-03"), ("b", 600, "2026-07-13"), ("c", 1500, "2026-07-20"), ("d", 800, "2026-07-21")]
    payments = [
        {"id": f"p{name}", "order": name, "cents": cents, "how": "cash", "on": on, "corrects": None, "check_number": ""}
        for name, cents, on in money
    ]  # fmt: skip
    off = [{"id": "x", "order": "d", "cents": -250, "why": "heat", "on": "2026-07-25"}]
    waited = [{"order": "e", "units": 4, "cents": 1200}, {"order": "f", "units": 5, "cents": 1500}]
    return asked(2026, orders, lines, payment=payments, adjustment=off, waited=waited, held=["d", "nobody knows"])


def test_a_season_beside_the_one_before() -> None:
    told = looking_back(two_seasons())
    now = told["now"]
    assert (now["orders"], now["by_mail"], now["sold_cents"], now["mailing_cents"], now["tax_cents"]) == (4, 3, 2700, 900, 60)
    assert now["taken_off_cents"] == 250 and now["taken_off"] == [{"why": "heat", "orders": 1, "cents": 250}]
    assert now["received_cents"] == 2500 + 600 + 1500 + 800  # money counts on the day it came
    assert now["owed_cents"] == 900 + 900 - 250 - 800  # who paid too much (c) takes nothing off what others owe
    assert now["waited"] == {"calls": 2, "units": 9, "cents": 2700} and now["given_up"] == {"calls": 1, "units": 5, "cents": 1500}
    assert now["held"] == 1
    assert now["again"] == [{"why": "heat", "orders": 1, "cents": 600}]  # two bars at what they cost on the order they stand for
    assert (told["before"]["orders"], told["before"]["sold_cents"], told["before"]["received_cents"]) == (1, 2500, 0)
    assert [(row["name"], row["units"], row["cents"], row["before_units"], row["before_cents"]) for row in told["goods"]] == [
        ("wax bars", 7, 1500, 10, 2500), ("jars", 1, 1200, 0, 0),
    ]  # fmt: skip
    assert told["words"] == [
        "2026: 4 orders left, 3 of them by mail, for $27.00 without mailing and tax.",
        "2025: 1 order left, 1 of them by mail, for $25.00 without mailing and tax.",
        "$7.50 of what left in 2026 is still owed.",
        "2 calls had to wait, worth $27.00 and 1 call waited and gave up, worth $15.00.",
    ]


def test_weeks_stand_beside_the_same_weeks_a_year_before() -> None:
    """13 July 2026 and 14 July 2025 are both Mondays of week 29 (ISO 8601)."""
    weeks = looking_back(two_seasons())["weeks"]
    assert [week["week"] for week in weeks] == list(range(1, 54)) and weeks[0]["monday"] == "2025-12-29"
    told = {week["monday"]: week for week in weeks if week["cents"] or week["before_cents"]}
    assert told["2026-07-13"] == {
        "week": 29, "monday": "2026-07-13", "cents": 600, "before_cents": 2500, "units": [{"good": "bar", "units": 2}],
    }  # fmt: skip
    assert told["2026-07-20"]["cents"] == 2100 and told["2026-07-20"]["units"] == [{"good": "bar", "units": 3}, {"good": "jar", "units": 1}]
    assert set(told) == {"2026-07-13", "2026-07-20"}


@pytest.mark.parametrize(
    ("season", "week", "cents"), [(2020, 52, 4), (2021, 51, 1), (2021, 52, 2 + 3), (2026, 52, 7), (2026, 53, 0), (2027, 52, 8 + 9)]
)
def test_a_53rd_week_stands_beside_the_last_of_a_year_that_has_none(season: int, week: int, cents: int) -> None:
    """2020 and 2026 have one (ISO 8601)."""
    sold = {(2019, 52): 4, (2020, 51): 1, (2020, 52): 2, (2020, 53): 3, (2022, 53): 100, (2025, 52): 7, (2026, 52): 8, (2026, 53): 9}
    assert _before(sold, season, week) == cents


def test_iso_years_have_52_or_53_weeks() -> None:
    """The calendar of the standard library is the outside check: 71 of 400 years are long (ISO 8601)."""
    long = [year for year in range(2000, 2400) if weeks_of(year) == 53]
    assert len(long) == 71 and {2004, 2009, 2015, 2020, 2026, 2032} <= set(long)
    assert all(date.fromisocalendar(year, weeks_of(year), 7).year in (year, year + 1) for year in range(2000, 2400))


def test_the_picture_has_a_bar_for_each_week_with_sales_and_a_line_for_the_year_before() -> None:
    svg = ElementTree.fromstring(weeks_picture(looking_back(two_seasons()))["svg"])
    bars, legend = [one.get("d") or "" for one in svg.iter() if one.tag.endswith("path") and one.get("class") == "wax"]
    assert bars.count("z") == 2 and legend.count("z") == 1
    heights = [float(part.split("v")[1].split("h")[0]) for part in bars.split("z") if part]
    assert heights[1] / heights[0] == pytest.approx(2100 / 600, rel=0.01)
    assert any(one.get("stroke-dasharray") and (one.get("d") or "").count("h") == 53 for one in svg.iter())
    texts = [one.text for one in svg.iter() if one.tag.endswith("text")]
    assert {"$50", "$0", "2026", "2025", "Jul"} <= set(texts)
    said = next(one.text for one in svg.iter() if one.tag.endswith("desc"))
    assert said == "Something was sold in 2 of 53 weeks; the most, $21.00, in the week of 7/20."


@pytest.mark.parametrize(("cents", "top"), [(0, 1000), (1000, 1000), (1001, 2000), (2001, 5000), (5001, 10000), (123456, 200000)])
def test_the_picture_ends_at_a_round_sum(cents: int, top: int) -> None:
    assert round_up(cents) == top


def test_an_empty_season_says_so() -> None:
    told = looking_back(asked(2026, [], []))
    assert told["now"]["orders"] == 0 and told["goods"] == [] and weeks_picture(told)["words"] == "Nothing was sold in 2026 yet."
    assert told["words"] == ["2026: nothing was sold."]


def test_what_is_missing_is_named() -> None:
    with pytest.raises(UnreadableField, match="payment"):
        looking_back({name: value for name, value in two_seasons().items() if name != "payment"})


days = st.dates(date(2025, 1, 1), date(2026, 12, 31)).map(str)
an_order = st.tuples(days, st.integers(1, 20), st.integers(0, 9000), st.integers(0, 2000), st.booleans())


@given(st.lists(an_order, max_size=8), st.lists(st.tuples(st.integers(0, 7), st.integers(-900, 9000), days), max_size=8))
def test_the_sums_are_those_of_the_books(drawn: list[tuple[str, int, int, int, bool]], paid: list[tuple[int, int, str]]) -> None:
    """What both seasons sold is the books' account of sales; all weeks and all goods together come to it as well."""
    orders = [order(f"o{n}", on if gone else None, posting_cents=mail) for n, (on, _, _, mail, gone) in enumerate(drawn)]
    lines = [line(f"o{n}", "bar" if n % 2 else "jar", units, cents) for n, (_, units, cents, _, _) in enumerate(drawn)]
    payments = [
        {"id": f"p{at}", "order": f"o{n % len(drawn)}", "cents": cents, "how": "cash", "on": on, "corrects": None, "check_number": ""}
        for at, (n, cents, on) in enumerate(paid) if drawn
    ]  # fmt: skip
    request = asked(2026, orders, lines, payment=payments)
    told = looking_back(request)
    sums = balances(journal({**request, "till": []}))
    assert told["now"]["sold_cents"] + told["before"]["sold_cents"] == -sums["sales"]
    assert told["now"]["mailing_cents"] + told["before"]["mailing_cents"] == -sums["mailing"]
    assert told["now"]["received_cents"] + told["before"]["received_cents"] == sums["cash"]
    assert sum(row["cents"] + row["before_cents"] for row in told["goods"]) == -sums["sales"]
    assert sum(week["cents"] + week["before_cents"] for week in told["weeks"]) == -sums["sales"]
