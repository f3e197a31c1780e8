"""Two devices pour on one day without signal and write the same code on their labels: both pours land, and each keeps its bars."""

from __future__ import annotations

from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.records.models import Lot, LotBalance
from replication.houses import DAY, device, on_hand

CODE = "W26-201-1"


def pour(hand: DeviceClient, units: int) -> None:
    """Bars under the code that both take for free."""
    hand.make([{"id": CODE, "good": "bar", "made_on": DAY, "note": "third pour"}], [("bar", CODE, units, "poured")])


def lots(house: House) -> dict[str, int]:
    """Bars by lot."""
    with house.records.read():
        return {row["lot"]: row["units"] for row in house.records.dicts(LotBalance.select().where(LotBalance.good == "bar"))}


def test_both_land_under_codes_of_their_own_and_what_was_taken_from_each_stays_its_own(house: House) -> None:
    phone, tablet = device(house, bars=5), device(house, "Wall tablet", bars=5)
    pour(phone, 10)
    pour(tablet, 20)
    tablet.sell([("bar", 4)], lots={"bar": [(CODE, 4)]})
    tablet.note_lot(CODE, measures={"wax_c": 72})
    tablet.make([{"id": "W26-201-2", "good": "bar", "made_on": DAY, "sources": [CODE]}], [("bar", "W26-201-2", 1, "poured")])
    phone.exchange()
    tablet.exchange()
    assert phone.needs_you == tablet.needs_you == []
    mark = tablet.identity["mark"]
    own = f"{CODE}-{mark}1"
    assert lots(house) == {"": 40, CODE: 10, own: 16, "W26-201-2": 1} and on_hand(house) == 67
    with house.records.read():
        first, second, third = (house.records.row(Lot, code) for code in (CODE, own, "W26-201-2"))
    assert first and second and third
    assert first["note"] == "third pour" and first["measures"] == {} and second["measures"] == {"wax_c": 72}
    assert CODE in second["note"] and second["note"].startswith("third pour") and third["sources"] == [own]
    assert tablet.mirror.on_hand("bar", own) == 16 and tablet.mirror.on_hand("bar", CODE) == 10 and house.check() == []


def test_a_note_that_grows_by_the_label_stays_as_long_as_a_note_may_be(house: House) -> None:
    phone, tablet = device(house, bars=5), device(house, "Wall tablet", bars=5)
    pour(phone, 10)
    long = "n" * 1980
    tablet.make([{"id": CODE, "good": "bar", "made_on": DAY, "note": long}], [("bar", CODE, 20, "poured")])
    phone.exchange()
    tablet.exchange()
    with house.records.read():
        other = house.records.row(Lot, f"{CODE}-{tablet.identity['mark']}1")
    assert other and other["note"] == f"{long} Its label says W26-" and len(other["note"]) == 2000 and tablet.needs_you == []


def test_after_it_heard_the_code_means_the_other_lot(house: House) -> None:
    phone, tablet = device(house, bars=5), device(house, "Wall tablet", bars=5)
    pour(phone, 10)
    pour(tablet, 20)
    phone.exchange()
    tablet.exchange()
    tablet.sell([("bar", 3)], lots={"bar": [(CODE, 3)]})
    tablet.exchange()
    assert tablet.needs_you == [] and lots(house)[CODE] == 7


def test_its_undoing_takes_its_own_bars_away(house: House) -> None:
    phone, tablet = device(house), device(house, "Wall tablet")
    pour(phone, 10)
    pour(tablet, 20)
    tablet.undo(tablet.log[-1])
    phone.exchange()
    tablet.exchange()
    assert tablet.needs_you == [] and {lot: units for lot, units in lots(house).items() if units} == {"": 40, CODE: 10}


def test_three_times_the_same_is_three_lots(house: House) -> None:
    hands = [device(house, name) for name in ("One", "Two", "Three")]
    for hand in hands:
        pour(hand, 10)
    pour(hands[2], 5)
    for hand in hands:
        hand.exchange()
    assert sorted(lots(house).values()) == [5, 10, 10, 10, 40] and all(hand.needs_you == [] for hand in hands)
