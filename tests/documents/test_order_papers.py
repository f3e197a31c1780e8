"""All papers of one order from its rows: the parcels are worked out once, and a plan told before is not made again."""

from __future__ import annotations

from typing import Any

import pytest
from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows

from honeyhold.documents import order_slip
from honeyhold.documents.doors import label_of, order_papers, slip
from honeyhold.documents.order_papers import _boxes
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest
from honeyhold.heat.words import packing

Json = dict[str, Any]
GOODS = {row["id"]: row for row in good_rows()}


def rows(**changes: Any) -> Json:
    lines = [{"good": GOODS["bar"], "units": 10, "sure": 10, "price_cents": 300, "lots": [{"lot": "W27-204-1", "units": 10}]}]
    person = {"name": "Zoë Åström", "street": "41 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
    return {
        "house": SETTINGS, "person": person, "lines": lines, "parcels": [], "cartons": [{**row, "in_stock": 3} for row in carton_rows()[1]],
        "order": {"number": "A-1", "way": "post", "dressing": "plain", "leave_on": "2027-07-26"}, "size": "letter", "today": "2027-07-24",
        **changes,
    }  # fmt: skip


def test_slip_label_and_parcels_tell_the_same_carton() -> None:
    made = order_papers(rows())
    (parcel,) = made["parcels"]
    assert made["slip"] == slip(rows())["html"]
    assert parcel["carton_name"] in made["slip"] and parcel["gross_words"] in made["label"] and "ZOË ÅSTRÖM" in made["label"]
    assert made["no_label"] == ""


def test_what_was_told_of_an_order_alike_is_not_planned_again(monkeypatch: pytest.MonkeyPatch) -> None:
    made = order_papers(rows())
    monkeypatch.setattr(order_slip, "_planned", lambda _asked: pytest.fail("planned again"))
    again = order_papers(rows(told=made["parcels"]))
    assert (again["slip"], again["label"], again["parcels"]) == (made["slip"], made["label"], made["parcels"])


def test_a_pick_up_has_no_label_and_a_missing_street_says_why() -> None:
    picked = order_papers(rows(order={"number": "A-2", "way": "pick_up"}))
    assert picked["label"] is None and picked["no_label"] == "" and "A-2" in picked["slip"]
    lost = order_papers(rows(person={"name": "Zoë Åström"}))
    assert lost["label"] is None and "street" in lost["no_label"] and "A-1" in lost["slip"]


def test_what_has_no_parcel_yet_is_one_box() -> None:
    bare = {**GOODS["bar"], "length_mm": 0}
    lines = [{"good": bare, "units": 10, "sure": 10, "price_cents": 300, "lots": []}]
    assert "Box <strong>1 of 1" in label_of(rows(lines=lines, cartons=[]))["html"]
    with pytest.raises(BadRequest, match="street"):
        label_of(rows(person={"name": "Zoë Åström"}))


@pytest.mark.parametrize(("order", "dressing"), [({"dressing": "lined"}, "lined"), ({"dressing": None}, "plain"), ({}, "plain")])
def test_a_box_that_nobody_packed_yet_is_dressed_as_the_order_says(order: Json, dressing: str) -> None:
    (box,) = _boxes(Reader({"order": order}), ())
    assert (box.dressing_id, box.dressing) == (dressing, packing(dressing))


def test_the_label_is_asked_for_on_any_paper() -> None:
    assert "carrier’s own label" in label_of(rows(label_size="a4"))["html"]
    assert "carrier’s own label" not in order_papers(rows(label_size="label"))["label"]
