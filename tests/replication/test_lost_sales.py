"""What callers went without: it counts as wanted, holds nothing, is undone once, and is looked back on."""

from __future__ import annotations

import pytest

from honeyhold.house.house import House
from honeyhold.queries.looking_back import of_season
from honeyhold.records.models import LostSale
from replication.houses import DAY, device


def demand(house: House) -> list[tuple[str, int, int]]:
    """By good: units wanted and callers, of all devices."""
    with house.records.read():
        found = house.records.sql("SELECT good, SUM(units), SUM(callers) FROM demand GROUP BY good").fetchall()
    return [(str(good), int(units), int(callers)) for good, units, callers in found]


def test_it_counts_as_wanted_and_holds_nothing(house: House) -> None:
    hand = device(house, bars=10)
    before = hand.share("bar")
    hand.go_without("bar", 12)
    hand.exchange()
    assert demand(house) == [("bar", 12, 1)]
    assert hand.share("bar") >= before and hand.view.promised["bar"] == 0
    told = of_season(house.records, int(DAY[:4]))
    assert told["now"]["went_without"] == {"calls": 1, "units": 12, "cents": 12 * 300}
    assert told["words"][-1] == "1 call went without, worth $36.00."


def test_it_is_undone_by_a_row_that_names_it_and_only_once(house: House) -> None:
    hand = device(house)
    hand.go_without("bar", 5)
    entry = hand.log[-1]
    hand.exchange()
    hand.undo(entry)
    hand.exchange()
    with house.records.read():
        first, second = sorted(house.records.dicts(LostSale.select()), key=lambda row: row["position"])
    assert second["undoes"] == first["id"] and (second["units"], second["cents"], second["on"]) == (5, 1500, DAY)
    assert of_season(house.records, int(DAY[:4]))["now"]["went_without"]["calls"] == 0
    (row,) = entry["rows"]
    hand.write("undo", [{"table": "undoing", "id": entry["id"]}, {**row, "id": hand.new_id(), "undoes": row["id"]}])
    hand.exchange()
    with house.records.read():
        assert len(house.records.dicts(LostSale.select())) == 2


@pytest.mark.parametrize("wrong", [{"units": 0}, {"units": -3}, {"cents": -1}, {"good": "moon"}, {"undoes": "x"}])
def test_what_is_none_is_refused(house: House, wrong: dict[str, object]) -> None:
    hand = device(house)
    row = {"table": "lost_sale", "id": hand.new_id(), "good": "bar", "units": 5, "cents": 1500, "on": DAY, **wrong}
    hand.write("note_lost_sale", [row])
    hand.exchange()
    with house.records.read():
        assert house.records.dicts(LostSale.select()) == []


def test_what_had_to_wait_is_worth_what_it_cost_by_the_ten(house: House) -> None:
    """Fifteen were asked for and five lay there: the ten that waited cost $25.00, and not ten times $3.00."""
    hand = device(house, bars=5)
    hand.set_good([{"id": "bar", "price_cents": 300, "steps": [[10, 2500]]}])
    hand.exchange()
    hand.promise([("bar", hand.share("bar") + 10)], person=hand.note_person(name="Orla"))
    hand.exchange()
    assert of_season(house.records, int(DAY[:4]))["now"]["waited"] == {"calls": 1, "units": 10, "cents": 2500}
