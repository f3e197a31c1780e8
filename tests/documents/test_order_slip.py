"""The slip from the rows of an order: drawn where it can be, printed all the same where it cannot."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows

from honeyhold.documents.doors import slip
from honeyhold.errors import BadRequest
from honeyhold.kernel import work

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


def packed(rows: dict[str, Any]) -> dict[str, Any]:
    """The same rows when the planned parcels were packed as they were planned: all that is kept of them, and nothing besides."""
    order = rows["order"]
    lines = [{"good": line["good"]["id"], "units": line["sure"]} for line in rows["lines"]]
    asked = {"goods": [line["good"] for line in rows["lines"]], "cartons": rows["cartons"], "house": rows["house"], "lines": lines}
    planned = work("quoting.parcel", {**asked, "way": "post", "dressing": order["dressing"], "to": {"zip": "55811"},
                                      "leave_on": order["leave_on"], "today": rows["today"]})["parcel"]["parcels"]  # fmt: skip
    kept = [
        {"part": one["part"], "carton": one["carton"], "dressing": order["dressing"], "plan": one["kept"], "gross_g": one["gross_g"],
         "scale_g": None, "packed_on": rows["today"]}
        for one in planned
    ]  # fmt: skip
    return {**rows, "order": {**order, "state": "packed"}, "parcels": kept}


def test_the_scale_knows_better_than_the_plan(rows: dict[str, Any]) -> None:
    weighed = packed(rows)
    weighed["parcels"][0]["scale_g"] = 907
    assert "2 lb" in slip(weighed)["html"]


def test_what_is_packed_is_read_whatever_stock_measures_and_cartons_have_become(rows: dict[str, Any]) -> None:
    small = next(row for row in rows["cartons"] if "6×4×4" in row["name"])
    rows["cartons"] = [{**small, "in_stock": 2}]
    rows["lines"][0] = {**rows["lines"][0], "units": 38, "sure": 38, "lots": [{"lot": "W27-204-1", "units": 38}]}
    full = packed(rows)
    assert len(full["parcels"]) == 2
    then = slip(full)["html"]
    assert then.count("<svg") == 2 and "box 2 of 2" in then.lower().replace("parcel", "box")
    large = {**small, "id": "large", "name": "14×12×10", "inner": [356, 305, 254], "outer": [362, 311, 260], "in_stock": 9}
    measured_anew = {**full["lines"][0]["good"], "length_mm": 99}
    later = {**full, "cartons": [{**small, "in_stock": 0}, large], "lines": [{**full["lines"][0], "good": measured_anew}]}
    assert slip(later)["html"] == then


def test_what_was_packed_by_eye_has_its_carton_and_no_drawing(rows: dict[str, Any]) -> None:
    carton = rows["cartons"][0]
    by_eye = {"part": 1, "carton": carton["id"], "dressing": "plain", "plan": {}, "gross_g": 0, "scale_g": None, "packed_on": "2027-07-24"}
    html = slip({**rows, "parcels": [by_eye]})["html"]
    assert carton["name"] in html and "<svg" not in html


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
    for dressing, words in (("lined", "Against heat: padded."), ("chilled", "Against heat: cold pack; it may sweat."), ("plain", "")):
        told = slip({**rows, "order": {**rows["order"], "dressing": dressing}})["html"]
        assert ("Against heat" in told) is bool(words) and words in told
    assert "Held at the post office" in slip({**rows, "order": {**rows["order"], "hold_at_counter": True}})["html"]


ELSEWHERE = {"goes_to": "other", "to_street": "9 Larch Rd", "to_unit": "", "to_city": "Bar Harbor", "to_state": "ME", "to_zip": "04609"}


def test_it_goes_to_the_orders_own_address(rows: dict[str, Any]) -> None:
    rows["order"].update(ELSEWHERE)
    html = slip(rows)["html"]
    assert "Zoë Åström" in html and "9 Larch Rd" in html and "Bar Harbor, ME 04609" in html
    assert "Heron Sill" not in html and "A present" not in html


def test_a_present_says_who_sends_it_and_the_words_and_no_price(rows: dict[str, Any]) -> None:
    rows["house"] = {**rows["house"], "slip_prices": True}
    assert "$30.00" in slip(rows)["html"]
    rows["order"].update({**ELSEWHERE, "to_name": "Bob Lind", "gift_note": "Happy <birthday>"})
    html = slip(rows)["html"]
    assert "Bob Lind" in html and "A present from Zoë Åström" in html and "Happy &lt;birthday&gt;" in html
    assert "$" not in html


def test_the_gathering_sheet_and_the_label_have_the_receiver(rows: dict[str, Any]) -> None:
    rows["order"].update({**ELSEWHERE, "to_name": "Bob Lind"})
    gathering = work("quoting.gathering", {"house": rows["house"], "day": "2027-07-26", "orders": [rows], "cartons": rows["cartons"],
                                           "size": "letter", "today": rows["today"]})["html"]  # fmt: skip
    assert "Bob Lind" in gathering and "Bar Harbor" in gathering and "Duluth" not in gathering
    boxed = {**rows, "parcels": [{"part": 1, "of": 1}]}
    label = work("documents.label", boxed)["html"]
    assert "BOB LIND" in label and "BAR HARBOR ME  04609" in label.replace("&nbsp;", " ") and "DULUTH" not in label


@pytest.mark.parametrize(("field", "value"), [("to_zip", 4609), ("to_name", ["Bob"])])
def test_an_address_that_is_no_text_is_refused_by_its_name(rows: dict[str, Any], field: str, value: object) -> None:
    rows["order"].update({**ELSEWHERE, field: value})
    with pytest.raises(BadRequest, match=field):
        slip(rows)
