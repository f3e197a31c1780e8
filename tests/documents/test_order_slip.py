"""The slip from the rows of an order: drawn where it can be, printed all the same where it cannot."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows

from honeyhold.documents.order_slip import slip

GOODS = {row["id"]: row for row in good_rows()}


@pytest.fixture
def rows() -> dict[str, Any]:
    """Ten bars by post, in a house with cartons."""
    return {
        "house": SETTINGS,
        "order": {"number": "A-1", "way": "post", "dressing": "plain", "leave_on": "2027-07-26", "heat": "Dented, 1 in 8."},
        "person": {"name": "Zoë Åström", "street": "41 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"},
        "lines": [{"good": GOODS["bar"], "units": 10, "sure": 10, "price_cents": 300, "lots": [{"lot": "W27-204-1", "units": 10}]}],
        "parcels": [],
        "cartons": [{**row, "in_stock": 3} for row in carton_rows()[1]],
        "size": "letter",
        "today": "2027-07-24",
    }


def test_the_parcel_is_worked_out_and_drawn(rows: dict[str, Any]) -> None:
    html = slip(rows)["html"]
    for words in ("Zoë Åström", "6×4×4", "<svg", "Dented, 1 in 8.", "W27-204-1", "Ten bars"):
        assert words in html
    assert "1. 1." not in html


def test_the_scale_knows_better_than_the_plan(rows: dict[str, Any]) -> None:
    rows["parcels"] = [{"part": 1, "scale_g": 907}]
    assert "2 lb" in slip(rows)["html"]


@pytest.mark.parametrize("change", ["never measured", "no carton", "no name"])
def test_it_prints_all_the_same(rows: dict[str, Any], change: str) -> None:
    rows = deepcopy(rows)
    if change == "never measured":
        rows["lines"][0]["good"]["length_mm"] = 0
    elif change == "no carton":
        rows["cartons"] = []
    else:
        rows["house"] = {}
    html = slip(rows)["html"]
    assert "Zoë Åström" in html and "W27-204-1" in html
    assert ("<svg" in html) == (change == "no name")


def test_what_was_done_against_heat_stands_on_the_slip(rows: dict[str, Any]) -> None:
    for dressing, words in (("lined", "Heat-packed: padded."), ("chilled", "cold pack inside"), ("plain", "")):
        told = slip({**rows, "order": {**rows["order"], "dressing": dressing}})["html"]
        assert ("Heat-packed" in told) is bool(words) and words in told
    assert "Held at the post office" in slip({**rows, "order": {**rows["order"], "hold_at_counter": True}})["html"]
