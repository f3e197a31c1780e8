"""Entries of an app that was not updated: carried forward step by step, kept as they were written, their chain unharmed."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.house.house import House
from honeyhold.operations import upgrade
from replication.houses import device, entry, movement, on_hand, said

Rows = list[dict[str, Any]]


def dozens_to_units(rows: Rows) -> Rows:
    """An invented first version that counted in dozens."""
    return [{**{key: value for key, value in row.items() if key != "dozens"}, "units": 12 * row["dozens"]} for row in rows]


def stock_to_bought(rows: Rows) -> Rows:
    """An invented second version with another word for a reason."""
    return [{**row, "reason": "bought"} for row in rows]


@pytest.fixture
def third_version(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """A house that was updated since it was furnished: buying has had three versions."""
    assert on_hand(house) == 40
    monkeypatch.setitem(upgrade.NEWEST, "buy", 3)
    monkeypatch.setitem(upgrade.STEPS, ("buy", 1), dozens_to_units)
    monkeypatch.setitem(upgrade.STEPS, ("buy", 2), stock_to_bought)


@pytest.mark.usefixtures("third_version")
def test_old_entries_land_beside_new_ones_in_one_chain(house: House) -> None:
    hand = device(house)
    first = {key: value for key, value in movement("bar", 1, "stock").items() if key != "units"} | {"dozens": 2}
    for version, rows in ((1, [first]), (2, [movement("bar", 3, "stock")]), (3, [movement("bar", 1, "bought")])):
        hand.log.append(entry(hand, "buy", rows, version=version))
    answer = said(house, hand, *hand.log)
    assert answer["refused"] == [] and len(answer["landed"]) == 3 and on_hand(house) == 40 + 24 + 3 + 1
    with house.records.read():
        (body,) = house.records.sql("SELECT body FROM operation WHERE id = ?", hand.log[0]["id"]).fetchone()
    assert '"dozens":2' in body  # kept as it was written: its hash must still fit
    assert said(house, hand, *hand.log)["landed"] == answer["landed"]


@pytest.mark.usefixtures("third_version")
def test_a_version_from_the_future_is_refused_and_names_both(house: House) -> None:
    hand = device(house)
    (refusal,) = said(house, hand, entry(hand, "buy", [movement("bar", 1, "bought")], version=4))["refused"]
    assert "version 4" in refusal["why"] and "version 3" in refusal["why"] and "Update the main computer" in refusal["remedy"]


@pytest.mark.usefixtures("third_version")
@pytest.mark.parametrize("row", [{"dozens": "two"}, {}, {"dozens": None}])
def test_an_old_entry_that_no_step_can_carry_is_refused_and_does_not_stop_the_queue(house: House, row: dict[str, Any]) -> None:
    hand = device(house)
    old = {key: value for key, value in movement("bar", 1, "stock").items() if key != "units"} | row
    hand.log.append(entry(hand, "buy", [old], version=1))
    good = entry(hand, "buy", [movement("bar", 1, "bought")], version=3)
    answer = said(house, hand, hand.log[0], good)
    assert answer["refused"][0]["remedy"] and len(answer["landed"]) == 1 and on_hand(house) == 41


@pytest.mark.usefixtures("third_version")
def test_the_house_and_its_hands_write_the_newest_version(house: House) -> None:
    house.write("buy", [movement("bar", 2, "bought")])
    hand = device(house)
    hand.buy([("bar", None, 3, "bought")])
    hand.exchange()
    assert hand.log[-1]["version"] == 3 and hand.needs_you == [] and on_hand(house) == 45


def test_every_version_but_the_newest_has_a_step() -> None:
    assert {(kind, number) for kind, newest in upgrade.NEWEST.items() for number in range(1, newest)} == set(upgrade.STEPS)
