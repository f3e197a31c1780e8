"""A day's gathering sheet from the rows of its orders: summed by lot, and every parcel that goes by post drawn with its steps."""

from __future__ import annotations

from typing import Any

import pytest
from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows

from honeyhold.errors import BadRequest
from honeyhold.kernel import work

GOODS = {row["id"]: row for row in good_rows()}
Json = dict[str, Any]


def one_order(number: str, way: str, dressing: str, lots: dict[str, dict[str, int]]) -> Json:
    """An order of `{good: {lot: units}}`."""
    lines = []
    for good, by in lots.items():
        units = sum(by.values())
        lines.append({"good": GOODS[good], "units": units, "sure": units, "lots": [{"lot": lot, "units": n} for lot, n in by.items()]})
    person = {"name": f"Caller {number}", "city": "Duluth", "state": "MN", "zip": "55811"}
    order = {"number": number, "way": way, "dressing": dressing, "leave_on": "2027-07-26"}
    return {"order": order, "person": person, "lines": lines, "parcels": []}


def sheet(*orders: Json, **changes: Any) -> str:
    """The sheet's page."""
    cartons = [{**row, "in_stock": 3} for row in carton_rows()[1]]
    asked = {"house": SETTINGS, "day": "2027-07-26", "orders": list(orders), "cartons": cartons, "size": "letter", "today": "2027-07-24"}
    return str(work("quoting.gathering", {**asked, **changes})["html"])


MIXED = one_order("A-1", "post", "chilled", {"bar": {"W27-1": 10}, "jar_12": {"J27-1": 2}})


def test_what_goes_by_post_is_drawn_and_what_is_fetched_is_not() -> None:
    fetched = one_order("A-2", "pick_up", "plain", {"bar": {"W27-1": 5, "W27-2": 5}})
    html = sheet(MIXED, fetched)
    assert html.count("<svg") == 1 and "Two 12 oz jars standing" in html and "One cold pack" in html and "should weigh" in html
    shelf = html.split("Take from the shelf")[1].split("Parcel by parcel")[0]
    assert ">15<" in shelf and "W27-1" in shelf and ">5<" in shelf and "W27-2" in shelf
    assert "Caller A-2" in html


def test_a_carton_chosen_by_hand_is_the_one_that_is_set_up() -> None:
    bars = one_order("A-3", "post", "plain", {"bar": {"W27-1": 10}})
    assert "12×12×8" not in sheet(bars) and "12×12×8" in sheet({**bars, "carton": "carton_12x12x8"})


def test_without_cartons_and_without_a_name_it_prints_all_the_same() -> None:
    html = sheet(MIXED, cartons=[], house={})
    assert "Caller A-1" in html and "<svg" not in html and "Our honey house" in html


def test_a_day_that_is_none_is_refused() -> None:
    with pytest.raises(BadRequest, match="day"):
        sheet(MIXED, day="someday")
