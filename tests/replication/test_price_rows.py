"""Prices told: a line keeps what it was promised at, whoever changes it and whatever the good costs by then."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.documents.doors import slip
from honeyhold.house.house import House
from honeyhold.kernel import atlas, work
from honeyhold.records.models import Line, Order
from records.test_store import old_house
from reference import inspection
from replication.houses import device

Json = dict[str, Any]
TAX = {"on": True, "rate": 5500}


def priced(house: House, bars: int = 40) -> DeviceClient:
    """A keeper's phone in a house where ten bars cost $25 and tax is due on them."""
    hand = device(house, bars=bars)
    hand.set_good([{"id": "bar", "price_cents": 300, "steps": [[10, 2500]], "taxed": True}])
    hand.set_house({"sales_tax": TAX, "state": "WI"})
    hand.exchange()
    return hand


def row_of(house: House, model: type[Line] | type[Order], **fields: Any) -> Json:
    with house.records.read():
        (row,) = house.records.dicts(model.select().where(*(getattr(model, name) == value for name, value in fields.items())))
    return row


def papers_of(house: House, order: str) -> list[str]:
    """Slip (in a house that wants prices on it) and receipt, as text."""
    asked = house.slip_request(order)
    asked["house"] = {**asked["house"], "slip_prices": True}
    html = [slip(asked, atlas())["html"], work("documents.receipt", asked)["html"]]
    return [" ".join(re.sub(r"<[^>]+>", " ", page[page.index("<body>") :]).split()) for page in html]


def test_a_price_changed_at_nine_leaves_the_order_of_a_minute_before(house: House) -> None:
    """Promised at 8:59 at ten for $25, changed at 9:00 by another device: line, sums on both devices and in the house stay."""
    early, owner = priced(house), device(house, "Tablet")
    taken = early.promise([("bar", 12)], person=early.note_person(name="Ruth", state="WI"), way="post", posting_cents=610)
    owner.set_good([{"id": "bar", "price_cents": 400, "steps": []}])  # lands before the order is even heard of
    owner.exchange()
    early.exchange()
    late = early.promise([("bar", 12)], person=early.note_person(name="Noor", state="WI"), way="post", posting_cents=610)
    early.exchange()
    owner.exchange()
    line = row_of(house, Line, id=taken.lines["bar"])
    assert (line["price_cents"], line["steps"], line["total_cents"], line["taxed"]) == (300, [[10, 2500]], 3100, True)
    tax = 171  # 5.5 % of $31.00 is 170.5 cents
    assert inspection.owed_cents(house.records, taken.order) == 3100 + 610 + tax
    assert row_of(house, Order, id=taken.order)["tax_cents"] == tax
    assert owner.view.rows["line"][taken.lines["bar"]]["total_cents"] == 3100
    assert inspection.owed_cents(house.records, late.order) == 4800 + 610 + 264
    told = {taken.order: ("$3.00 each, 10 for $25.00", "$31.00", "$1.71", "$38.81"), late.order: ("$4.00", "$48.00", "$2.64", "$56.74")}
    for order, words in told.items():
        said = papers_of(house, order)
        assert [one for one in words if any(one not in paper for paper in said)] == []
    assert house.check() == []


def test_units_change_at_the_price_told_and_a_new_good_has_its_own_day(house: House) -> None:
    hand = priced(house)
    taken = hand.promise([("bar", 10)], person=hand.note_person(name="Ruth", state="WI"), way="pick_up")
    hand.set_good([{"id": "bar", "price_cents": 500, "steps": []}, {"id": "jar", "price_cents": 900}])
    hand.exchange()
    hand.amend(taken.order, lines=[("bar", 20), ("jar", 1)])
    hand.exchange()
    assert inspection.owed_cents(house.records, taken.order) == 5000 + 900 + 275
    hand.amend(taken.order, lines=[("bar", 3)])
    hand.exchange()
    assert inspection.owed_cents(house.records, taken.order) == 900 + 900 + 50  # 49.5 cents
    assert hand.needs_you == []


def test_an_app_that_knows_no_totals_is_given_them(house: House) -> None:
    """Fewer bars written by an older app: no total, no tax in its entry; the house works both out by what was told."""
    hand = priced(house)
    taken = hand.promise([("bar", 12)], person=hand.note_person(name="Ruth", state="WI"), way="pick_up")
    hand.exchange()
    line = taken.lines["bar"]
    hand.write("amend", [{"table": "line", "id": line, "units": 10, "was": {"units": 12}}], {})
    hand.exchange()
    assert hand.needs_you == []
    assert row_of(house, Line, id=line)["total_cents"] == 2500
    assert inspection.owed_cents(house.records, taken.order) == 2500 + 138
    assert hand.view.rows["order"][taken.order]["tax_cents"] == 138, "the rows that landed say it to every device"


def test_two_devices_that_change_one_order_at_once_leave_a_tax_that_fits(house: House) -> None:
    """Each knows only of its own change; what lands is the tax on both."""
    hand, other = priced(house), device(house, "Tablet")
    hand.set_good([{"id": "jar", "price_cents": 900, "taxed": True}])
    taken = hand.promise([("bar", 12), ("jar", 3)], person=hand.note_person(name="Ruth", state="WI"), way="pick_up")
    hand.exchange()
    other.exchange()
    hand.amend(taken.order, lines=[("bar", 10)])
    other.amend(taken.order, lines=[("jar", 1)])
    for one in (hand, other, hand):
        one.exchange()
    assert hand.needs_you == other.needs_you == []
    assert inspection.owed_cents(house.records, taken.order) == 2500 + 900 + 187
    assert hand.view.rows["order"][taken.order]["tax_cents"] == other.view.rows["order"][taken.order]["tax_cents"] == 187


def test_an_order_of_before_there_was_tax_stays_without(house: House) -> None:
    hand = device(house, bars=20)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Ruth", state="WI"), way="pick_up")
    hand.set_house({"sales_tax": TAX, "state": "WI"})
    hand.set_good([{"id": "bar", "taxed": True}])
    hand.amend(taken.order, lines=[("bar", 6)])
    hand.exchange()
    assert inspection.owed_cents(house.records, taken.order) == 1800 and hand.needs_you == []


def test_a_sale_over_the_counter_is_paid_with_its_tax(house: House) -> None:
    hand = priced(house)
    taken = hand.sell([("bar", 10)])
    hand.exchange()
    assert inspection.owed_cents(house.records, taken.order) == 0
    assert row_of(house, Order, id=taken.order)["paid_cents"] == 2500 + 138


def test_what_is_settled_by_its_told_total_is_forgotten_and_what_is_not_stays(house: House) -> None:
    """A month later the mirror leaves out the order that was paid to the cent, tax and quantity price included."""
    hand = priced(house)
    ruth = hand.note_person(name="Ruth", state="WI")
    whole, part = hand.promise([("bar", 10)], person=ruth, way="pick_up"), hand.promise([("bar", 10)], person=ruth, way="pick_up")
    for order, cents in ((whole, 2638), (part, 2637)):
        hand.hand_over(order.order, payment=(cents, "cash"))
    hand.exchange()
    with house.records.write():
        house.records.sql("UPDATE \"order\" SET closed_on = '2026-01-01'")
    orders = {row["id"] for row in house.mirror(hand.identity["token"])["rows"] if row["table"] == "order"}
    assert orders == {part.order}
    assert hand.view.owed(whole.order) == 0 and hand.view.owed(part.order) == 1


@pytest.mark.parametrize("wrong", [
    [[1, 300]], [[10, 2500], [10, 2400]], [[20, 1], [10, 1]], [[10, -1]], [[True, 1]], "10 for 25", [[10]], None,
])  # fmt: skip
def test_steps_that_are_none_are_refused_with_a_remedy(house: House, wrong: object) -> None:
    hand = device(house)
    hand.set_good([{"id": "bar", "steps": wrong}])
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"] and "steps" in refused["why"]


@pytest.mark.parametrize("wrong", [{"place": "fair"}, {"since": "soon"}, {"cents": -1}, {"steps": [[1, 1]]}, {"more": 1}])
def test_prices_that_are_none_are_refused_with_a_remedy(house: House, wrong: Json) -> None:
    hand = device(house)
    hand.set_good([{"id": "bar", "prices": [{"place": "mail", "since": "", "cents": 1, "steps": [], **wrong}]}])
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"] and next(iter(wrong)) in refused["why"]


def test_orders_of_the_first_schema_owe_what_they_owed(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        orders = house.records.dicts(Order.select())
        lines = house.records.dicts(Line.select())
    assert lines and {(line["total_cents"], tuple(line["steps"]), line["taxed"]) for line in lines} == {(None, (), False)}
    for order in (one for one in orders if one["state"] in ("promised", "packed")):
        cents = sum(line["units"] * line["price_cents"] for line in lines if line["order"] == order["id"])
        assert inspection.owed_cents(house.records, order["id"]) == cents + order["posting_cents"] - order["paid_cents"]
    assert house.check() == []
    house.close()
