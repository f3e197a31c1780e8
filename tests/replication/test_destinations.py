"""A promised parcel goes where it was promised: whatever becomes of its person, whichever app wrote it, in whatever order it lands."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from goods.in_node import in_node
from honeyhold.house.house import House
from honeyhold.operations.canonical import entry_hash
from honeyhold.records.models import Order, Person
from honeyhold.stock.destination import destination
from records.test_store import old_house
from replication.houses import device

HOME = {"street": "4 Heron Sill Rd", "unit": "", "city": "Duluth", "state": "MN", "zip": "55811"}
NEW = {"street": "9 Larch Rd", "unit": "Apt 2", "city": "Bar Harbor", "state": "ME", "zip": "04609"}
GIFT = {"goes_to": "other", "to_name": "Bob Lind", **{f"to_{part}": value for part, value in NEW.items()}, "gift_note": "Happy birthday"}


def goes(house: House, order: str) -> dict[str, str]:
    """Where the records send an order."""
    return destination(row(house, order), person_of(house, order))


def is_asked_about(house: House, order: str) -> bool:
    """Whether a device asks if the order goes where its person lives now."""
    both = {"order": row(house, order), "person": person_of(house, order)}
    return bool(in_node("store/destination.js", "here.hasMoved(asked.order, asked.person)", both))


def row(house: House, order: str) -> dict[str, Any]:
    with house.records.read():
        found = house.records.row(Order, order)
    assert found is not None
    return found


def person_of(house: House, order: str) -> dict[str, Any] | None:
    with house.records.read():
        return house.records.row(Person, row(house, order)["person"])


def older(hand: DeviceClient, kind: str = "promise") -> None:
    """The last entry as an app writes it that knows nothing of addresses of orders."""
    for one in hand.log[-1]["rows"]:
        if one["table"] == "order":
            for name in [name for name in one if name == "goes_to" or name.startswith("to_")]:
                del one[name]
    assert hand.log[-1]["kind"] == kind
    del hand.log[-1]["hash"]
    hand.log[-1]["hash"] = entry_hash(hand.log[-1])


def test_a_later_edit_of_the_person_moves_nothing_and_is_asked_about(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    order = hand.promise([("bar", 2)], person=ann).order
    hand.note_person(ann, **NEW)
    hand.exchange()
    assert goes(house, order) == {"name": "Ann", **HOME}
    assert is_asked_about(house, order)
    hand.amend(order, goes_to="own", **{f"to_{part}": value for part, value in NEW.items()})
    hand.exchange()
    assert goes(house, order) == {"name": "Ann", **NEW} and not is_asked_about(house, order)
    assert hand.needs_you == []


def test_a_present_leaves_the_persons_own_address_alone(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    own, present = hand.promise([("bar", 1)], person=ann).order, hand.promise([("bar", 1)], person=ann, **GIFT).order
    hand.exchange()
    assert goes(house, present) == {"name": "Bob Lind", **NEW} and row(house, present)["gift_note"] == "Happy birthday"
    assert goes(house, own) == {"name": "Ann", **HOME}
    other = device(house, "B")
    assert destination(other.order(present), None)["city"] == "Bar Harbor"


def test_it_goes_where_it_was_read_though_the_edit_landed_first(house: House) -> None:
    hand, other = device(house, bars=10), device(house, "B")
    ann = hand.note_person(name="Ann", **HOME)
    hand.exchange()
    other.exchange()
    order = hand.promise([("bar", 1)], person=ann).order  # read to the caller, out of reach
    other.note_person(ann, **NEW)
    other.exchange()
    hand.exchange()
    assert goes(house, order) == {"name": "Ann", **HOME}


def test_an_order_that_followed_its_person_gets_a_copy_when_they_move(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    order = hand.promise([("bar", 1)], person=ann).order
    hand.exchange()
    with house.records.write():
        house.records.sql("UPDATE \"order\" SET goes_to = '', to_street = '', to_city = '', to_state = '', to_zip = ''")  # as it was before
    assert goes(house, order)["street"] == HOME["street"]
    hand.note_person(ann, **NEW)
    hand.exchange()
    assert goes(house, order) == {"name": "Ann", **HOME} and is_asked_about(house, order)
    assert hand.order(order)["to_street"] == HOME["street"], "every device hears of the copy"
    hand.undo(hand.log[-1], {ann: {"name": "Ann", **HOME}})
    hand.exchange()
    assert hand.needs_you == [] and not is_asked_about(house, order)


def test_a_note_or_a_name_makes_no_copies(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann")
    order = hand.promise([("bar", 1)], person=ann).order
    hand.note_person(ann, name="Anna", note="rings twice")
    hand.note_person(ann, **HOME)  # nothing was known before: it follows
    hand.exchange()
    assert row(house, order)["goes_to"] == "" and goes(house, order) == {"name": "Anna", **HOME}


@pytest.mark.parametrize("way", ["post", "pick_up"])
def test_an_older_apps_order_gets_its_copy_as_it_lands(house: House, way: str) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    order = hand.promise([("bar", 1)], person=ann, way=way, goes_to="").order
    older(hand)
    hand.exchange()
    assert hand.needs_you == []
    assert row(house, order)["goes_to"] == ("own" if way == "post" else "")
    assert hand.order(order).get("to_city", "") == ("Duluth" if way == "post" else "")


def test_an_address_that_an_older_app_was_told_is_the_orders_and_moves_no_other(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    first = hand.promise([("bar", 1)], person=ann).order
    second = hand.promise([("bar", 1)], person=ann, goes_to="").order
    hand.log[-1]["rows"].append({"table": "person", "id": ann, **NEW})  # it wrote what was typed to the person
    older(hand)
    hand.exchange()
    assert hand.needs_you == []
    assert goes(house, second)["city"] == "Bar Harbor" and goes(house, first)["city"] == "Duluth"
    hand.write("amend", [{"table": "person", "id": ann, "city": "Castine"}, {"table": "order", "id": second, "note": "moved again"}])
    hand.exchange()
    assert goes(house, second)["city"] == "Castine" and goes(house, first)["city"] == "Duluth"


def test_an_older_app_moves_a_promised_order_only_with_an_address(house: House) -> None:
    """What it writes to the person as it changes the order: their name leaves the order where it was promised, a whole address does not."""
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    order = hand.promise([("bar", 1)], person=ann).order
    hand.note_person(ann, **{**NEW, "city": "Castine"})
    hand.write("amend", [{"table": "person", "id": ann, "name": "Anna"}, {"table": "order", "id": order, "note": "rings twice"}])
    hand.exchange()
    assert goes(house, order) == {"name": "Anna", **HOME}
    hand.write("amend", [{"table": "person", "id": ann, **NEW}, {"table": "order", "id": order, "note": "to the new place"}])
    hand.exchange()
    assert goes(house, order) == {"name": "Anna", **NEW} and hand.needs_you == []


def test_a_pick_up_that_is_mailed_after_all_gets_its_copy(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    order = hand.promise([("bar", 1)], person=ann, way="pick_up").order
    hand.amend(order, way="post")
    hand.exchange()
    assert row(house, order)["goes_to"] == "own" and goes(house, order) == {"name": "Ann", **HOME}


def test_forgetting_somebody_empties_the_copies_too(house: House) -> None:
    hand = device(house, bars=10)
    ann = hand.note_person(name="Ann", **HOME)
    hand.promise([("bar", 1)], person=ann, **GIFT)
    hand.exchange()
    house.forget_person(ann)
    hand.exchange()
    with house.records.read():
        written = str(house.records.sql("SELECT body, rows FROM operation").fetchall())
    for words in ("Bob Lind", "Larch", "Happy birthday", "Heron"):
        assert words not in written
    assert "Bob Lind" not in str(hand.view.rows["order"])


@pytest.mark.parametrize("wrong", [{"goes_to": "else"}, {"goes_to": "own", "to_zip": 55811}, {"gift_note": "x" * 501}])
def test_nonsense_is_refused_with_a_remedy(house: House, wrong: dict[str, Any]) -> None:
    hand = device(house, bars=10)
    hand.promise([("bar", 1)], person=hand.note_person(name="Ann", **HOME), **wrong)
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"]


def test_orders_of_the_first_schema_follow_their_person(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        found = house.records.database.execute_sql('SELECT DISTINCT goes_to || to_name || to_city || gift_note FROM "order"').fetchall()
    assert found == [("",)] and house.check() == []
    house.close()
