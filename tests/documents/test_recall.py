"""The recall sheet says whom to ring, what with, and how complete it is."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.documents.doors import recall_html
from honeyhold.errors import BadRequest
from honeyhold.stock.lots import trace

GOODS = [{"id": "bar", "name": "wax bar", "plural": "wax bars", "unit": "each"}]
LOTS = [{"id": "K26-181", "good": "cappings", "made_on": "2026-06-30"},
        {"id": "W26-197-1", "good": "bar", "made_on": "2026-07-16", "sources": ["K26-181"]}]  # fmt: skip
MOVEMENTS = [
    {"good": "bar", "lot": "W26-197-1", "units": 30, "reason": "poured", "order": None, "on": "2026-07-16"},
    {"good": "bar", "lot": "W26-197-1", "units": -10, "reason": "gone", "order": "o1", "on": "2026-07-27"},
    {"good": "bar", "lot": "W26-197-1", "units": -1, "reason": "sold", "order": "o2", "on": "2026-07-28"},
]
ORDERS = [{"id": "o1", "number": "A-6", "person": "wren"}, {"id": "o2", "number": "A-7", "person": None}]
WREN = {"id": "wren", "name": "Wren <Ostrava>", "phone": "+19065550163", "street": "PO Box 99318", "unit": "", "city": "Marquette",
        "state": "MI", "zip": "49855"}  # fmt: skip


def sheet(**change: Any) -> str:
    """The sheet of K26-181, whose bars went to Wren and to somebody."""
    traced = trace({"lot": "K26-181", "lots": LOTS, "movements": MOVEMENTS, "orders": ORDERS, "people": [WREN]})
    request = {"house": {"name": "Nine Lindens"}, "trace": traced, "goods": GOODS, "day": "2026-07-29", "since": None, **change}
    return str(recall_html(request)["html"])


def test_a_name_a_number_an_address_and_what_they_have() -> None:
    page = sheet()
    for words in ("Recall K26-181", "Wren &lt;Ostrava&gt;", "906-555-0163", "PO BOX 99318", "MARQUETTE MI  49855",
                  "10 wax bars, lot W26-197-1, order A-6", "1 wax bar, lot W26-197-1, order A-7",
                  "19 wax bars, lot W26-197-1: take it off"):  # fmt: skip
        assert words in page
    assert "every order there ever was" in page


def test_what_is_not_known_of_somebody_is_said_or_left_out_and_never_printed_as_none() -> None:
    bare = {"id": "wren", "name": "Wren", "phone": None, "street": None, "unit": None, "city": None, "state": None, "zip": None}
    lots = [{**lot, "note": None} for lot in LOTS]
    traced = trace({"lot": "K26-181", "lots": lots, "movements": MOVEMENTS, "orders": ORDERS, "people": [bare]})
    for since in (None, "2024-07-28"):
        page = sheet(trace=traced, since=since)
        assert "Wren" in page and "None" not in page


def test_a_device_alone_says_from_when_on_it_knows() -> None:
    page = sheet(since="2024-07-28")
    assert "orders since Sunday, July 28, 2024" in page and "Complete only once the main computer is in reach" in page


def test_an_odd_address_leaves_nobody_out() -> None:
    odd = {**WREN, "state": "Michigan", "zip": "?"}
    traced = trace({"lot": "W26-197-1", "lots": LOTS, "movements": MOVEMENTS, "orders": ORDERS, "people": [odd]})
    assert traced["who_has"][0]["address"] == ["PO Box 99318", "Marquette Michigan ?"]


@pytest.mark.parametrize("change", [{"day": "soon"}, {"day": None}, {"trace": None}, {"trace": {"lots": []}}, {"house": {}}])
def test_what_cannot_be_read_is_named(change: dict[str, Any]) -> None:
    with pytest.raises(BadRequest):
        sheet(**change)
