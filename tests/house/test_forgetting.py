"""What is emptied of somebody who is forgotten, and of nobody else: in the rows, and in every entry that is kept."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from honeyhold.house.forgetting import FORGOTTEN, ORDER_FORGOTTEN, STANDING_FORGOTTEN, TEXTS, _emptied, emptied_rows, scrub
from honeyhold.house.house import House
from honeyhold.records.models import LateEntry, Operation, Parcel, PendingEntry, Person, Standing
from replication.houses import device, small_house

PERSON = {"table": "person", "id": "p1", "name": "Orla", "phone": "555"}
GONE = {"table": "person", "id": "p1", "name": "(forgotten)", "phone": ""}


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = small_house(tmp_path)
    yield made
    made.close()


@pytest.mark.parametrize(
    ("value", "emptied"),
    [
        ([PERSON, {**PERSON, "id": "p2"}], [GONE, {**PERSON, "id": "p2"}]),
        ({"rows": [PERSON], "kind": "x"}, {"rows": [GONE], "kind": "x"}),
        ([{**PERSON, "was": {"name": "Ora"}}], [{**GONE, "was": {}}]),
        ([{"table": "line", "id": "p1", "name": "x"}],) * 2,
        ([{"id": "p1", "name": "x"}],) * 2, ([7, None, "p1", ["p1"]],) * 2, ("p1",) * 2, (None,) * 2,
        ({"rows": "p1"},) * 2, ({"p1": 1},) * 2,
        ([{"table": "order", "id": "p1", "note": "by the lake", "number": "A-1"}],
         [{"table": "order", "id": "p1", "note": "", "number": "A-1"}]),
        ([{"table": "parcel", "id": "p1", "tracking": "1Z"}], [{"table": "parcel", "id": "p1", "tracking": ""}]),
    ],
)  # fmt: skip
def test_of_what_was_said_only_the_texts_of_the_forgotten_are_emptied(value: Any, emptied: Any) -> None:
    """What a row did not say it does not say afterwards; what it was before is gone with it."""
    assert _emptied(deepcopy(value), {"p1"}) == emptied


def test_which_texts_a_row_has() -> None:
    assert TEXTS.keys() == {"person", "order", "standing", "parcel"}
    assert FORGOTTEN["hidden"] is STANDING_FORGOTTEN["hidden"] is True and "hidden" not in ORDER_FORGOTTEN
    assert {*ORDER_FORGOTTEN.values(), *(text for name, text in FORGOTTEN.items() if name not in ("name", "hidden"))} == {""}


def test_everything_of_a_person_and_of_who_is_the_same_is_emptied(house: House) -> None:
    """Their orders, their standing orders, and the numbers of parcels that were sent; a parcel without one has nothing to empty."""
    hand = device(house, bars=10)
    people = [hand.note_person(name=name) for name in ("Orla", "Ora", "Pell")]
    orders = [hand.promise([("bar", 1)], person=one).order for one in people]
    hand.exchange()
    with house.records.write():
        house.records.change(Person, people[1], {"same_as": people[0]})
        for number, (order, tracking) in enumerate([(orders[0], "1Z"), (orders[0], ""), (orders[1], "2Z"), (orders[2], "3Z")]):
            house.records.add(Parcel, {"id": f"parcel{number}", "order": order, "part": number + 1, "tracking": tracking})
        found = emptied_rows(house.records, people[1])
    assert sorted((row["table"], row["id"]) for row in found) == sorted([
        *(("person", one) for one in people[:2]), *(("order", one) for one in orders[:2]), ("parcel", "parcel0"), ("parcel", "parcel2"),
    ])  # fmt: skip
    for row in found:
        assert {name: value for name, value in row.items() if name not in ("table", "id")} == TEXTS[row["table"]]
    assert Standing._meta.table_name == "standing"


def test_every_entry_that_is_kept_is_emptied_whether_it_landed_or_not(house: House) -> None:
    def entry(seq: int, person: str) -> dict[str, Any]:
        return {"rows": [{**PERSON, "id": person}], "seq": seq}

    with house.records.write():
        for seq, person in ((1, "p1"), (2, "p2")):
            house.records.add(LateEntry, {
                "device": "d", "seq": seq, "hash": "h", "received_at": "", "reason": "lost", "body": entry(seq, person),
            })  # fmt: skip
            house.records.add(PendingEntry, {
                "device": "d", "seq": seq, "id": f"e{seq}", "hash": "h", "received_at": "", "heard": 1, "place": seq,
                "body": entry(seq, person),
            })  # fmt: skip
        before = house.records.dicts(Operation.select())
        scrub(house.records, {"p1"})
        for model in (LateEntry, PendingEntry):
            rows = house.records.dicts(model.select().order_by(model.seq))
            assert [row["body"]["rows"] for row in rows] == [[GONE], [{**PERSON, "id": "p2"}]]
        assert house.records.dicts(Operation.select()) == before, "nobody else's"
