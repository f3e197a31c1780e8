"""Which days a standing order comes on, and which of them is to be confirmed; names of its orders as the main computer gives them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from goods.in_node import in_node
from honeyhold.operations.standing_names import line_id, order_id

Json = dict[str, Any]
DAYS = st.dates(date(2025, 1, 1), date(2030, 12, 31))


def days(standing: Json, since: str, count: int) -> list[str]:
    step = "((day) => new Date(Date.parse(day + 'T00:00:00Z') + 86400000).toISOString().slice(0, 10))"
    found: list[str] = in_node("store/recurring.js", f"""(() => {{ const found = []; let from = asked.since;
      for (let n = 0; n < asked.count; n += 1) {{ const day = here.dayFrom(asked.standing, from); found.push(day); from = {step}(day); }}
      return found; }})()""", {"standing": standing, "since": since, "count": count})  # fmt: skip
    return found


def due(standing: Json, today: str, orders: list[Json] | None = None) -> str | None:
    whole = {"paused": False, "hidden": False, "skipped_on": None, "ends_on": None, "interval": 1, **standing}
    asked = {"standing": whole, "today": today, "orders": orders or []}
    found: str | None = in_node("store/recurring.js", "here.dueDay(asked.standing, asked.orders, asked.today)", asked)
    return found


def test_the_last_of_a_month_stays_the_last() -> None:
    monthly = {"every": "month", "interval": 1, "first_on": "2027-01-31"}
    assert days(monthly, "2027-01-01", 4) == ["2027-01-31", "2027-02-28", "2027-03-31", "2027-04-30"]


@given(DAYS, st.integers(1, 6), st.sampled_from(["month", "week"]), st.integers(0, 900))
@settings(max_examples=12, deadline=None)
def test_days_are_those_of_the_calendar(first: date, interval: int, every: str, ahead: int) -> None:
    """Held to dateutil's own addition of months and weeks."""
    since = first + timedelta(days=ahead)
    step = (lambda n: relativedelta(months=n * interval)) if every == "month" else (lambda n: relativedelta(weeks=n * interval))
    wanted = [day for day in (first + step(n) for n in range(1000)) if day >= since][:3]
    told = days({"every": every, "interval": interval, "first_on": first.isoformat()}, since.isoformat(), 3)
    assert told == [day.isoformat() for day in wanted]


FIRST = {"every": "month", "first_on": "2027-08-01"}


@pytest.mark.parametrize(("more", "today", "orders", "day"), [
    ({}, "2027-07-24", [], None),
    ({}, "2027-07-25", [], "2027-08-01"),
    ({}, "2027-08-15", [], "2027-08-01"),
    ({}, "2027-08-16", [], None),
    ({"paused": True}, "2027-08-01", [], None),
    ({"hidden": True}, "2027-08-01", [], None),
    ({"ends_on": "2027-07-31"}, "2027-08-01", [], None),
    ({"skipped_on": "2027-08-01"}, "2027-08-01", [], None),
    ({"skipped_on": "2027-08-01"}, "2027-08-30", [], "2027-09-01"),
    ({}, "2027-08-01", [{"standing_on": "2027-08-01", "state": "gone"}], None),
    ({}, "2027-08-01", [{"standing_on": "2027-08-01", "state": "let_go"}], "2027-08-01"),
    ({}, "2027-08-01", [{"standing_on": "2027-07-01", "state": "gone"}], "2027-08-01"),
], ids=str)  # fmt: skip
def test_when_it_is_to_be_confirmed(more: Json, today: str, orders: list[Json], day: str | None) -> None:
    assert due({**FIRST, **more}, today, orders) == day


def test_both_sides_name_an_order_and_its_lines_alike() -> None:
    told = in_node("store/recurring.js", "await Promise.all([here.orderId('s1', '2027-08-01', 2), here.lineId('o1', 'bar')])")
    assert told == [order_id("s1", "2027-08-01", 2), line_id("o1", "bar")]
