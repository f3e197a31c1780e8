"""Making by weight: what is passed on comes to the next stage to the gram, and what was a mistake is taken back whole."""

from __future__ import annotations

from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from replication.houses import DAY, device, entry, movement, on_hand, said

BULK = [
    {"table": "good", "id": good, "name": good, "kind": "bulk", "unit": "g", "sold": False} for good in ("cappings", "wax_melted")
]  # fmt: skip


@pytest.fixture
def hand(house: House) -> DeviceClient:
    """A device in a house that weighs cappings and wax; ten kilograms of cappings lie there."""
    house.write("set_good", BULK)
    house.write("buy", [movement("cappings", 10_000)])
    return device(house)


def melted(hand: DeviceClient, code: str = "M26-201-1", wax_g: int = 3000, came_g: int | None = None) -> dict[str, Any]:
    """Cappings melted: so much wax, 200 g lost."""
    made = {"id": code, "good": "wax_melted", "made_on": DAY}
    rows = [("cappings", None, -wax_g, "passed"), ("cappings", None, -200, "lost"), ("wax_melted", code, came_g or wax_g, "came")]
    hand.make([made], rows)
    return hand.log[-1]


def test_a_step_passes_wax_on_to_the_gram(house: House, hand: DeviceClient) -> None:
    melted(hand)
    hand.exchange()
    assert hand.needs_you == [] and (on_hand(house, "cappings"), on_hand(house, "wax_melted")) == (6800, 3000)


def test_more_than_left_a_stage_cannot_come_to_the_next(house: House, hand: DeviceClient) -> None:
    melted(hand, came_g=3100)
    hand.exchange()
    (refusal,) = hand.needs_you
    assert "3000 g left a stage but 3100 g came" in refusal["why"] and "lost" in refusal["remedy"]
    assert on_hand(house, "wax_melted") == 0


def test_bars_are_not_passed_on_by_weight(house: House, hand: DeviceClient) -> None:
    made = {"id": "M26-201-1", "good": "wax_melted", "made_on": DAY}
    hand.make([made], [("bar", None, -5, "passed"), ("wax_melted", "M26-201-1", 5, "came")])
    hand.exchange()
    assert "not kept by weight" in hand.needs_you[0]["why"] and on_hand(house) == 40


def test_a_step_taken_back_leaves_every_sum_as_before(house: House, hand: DeviceClient) -> None:
    before = dict(hand.mirror.moved)
    hand.take_back(melted(hand))
    hand.exchange()
    assert hand.needs_you == [] and {key: units for key, units in hand.mirror.moved.items() if units} == before
    assert (on_hand(house, "cappings"), on_hand(house, "wax_melted")) == (10_000, 0)


def test_nothing_is_taken_back_twice(house: House, hand: DeviceClient) -> None:
    operation = melted(hand)
    hand.take_back(operation)
    hand.take_back(operation)
    hand.exchange()
    assert [told["why"] for told in hand.needs_you] == ["It was undone already."] and on_hand(house, "cappings") == 10_000


def test_what_never_landed_is_not_taken_back(house: House, hand: DeviceClient) -> None:
    """The pour is refused, so undoing it must not touch what another device melted."""
    melted(device(house, "Tablet"))
    hand.make([{"id": "M26-201-9", "good": "never_heard_of", "made_on": "2026-07-20"}],
              [("never_heard_of", "M26-201-9", 3000, "made")])
    hand.take_back(hand.log[-1])
    hand.exchange()
    assert len(hand.needs_you) == 2 and "never came into the records" in hand.needs_you[1]["why"]


def test_what_left_for_an_order_is_not_taken_back(house: House, hand: DeviceClient) -> None:
    hand.sell([("bar", 2)])
    hand.take_back(hand.log[-1])
    hand.exchange()
    assert "belongs to an order" in hand.needs_you[0]["why"] and on_hand(house) == 38


@pytest.mark.parametrize(("units", "good"), [(7, "bar"), (-6, "bar"), (6, "jar")])
def test_other_units_than_landed_are_not_taken_back(house: House, hand: DeviceClient, units: int, good: str) -> None:
    hand.count([("bar", None, -6, "broken")])
    hand.exchange()
    undone = hand.log[-1]["rows"][0]["id"]
    answer = said(house, hand, entry(hand, "take_back", [movement(good, units, "broken", undoes=undone)]))
    assert "what landed were -6 bar" in answer["refused"][0]["why"] and on_hand(house) == 34


def test_a_loss_and_what_was_fed_are_movements_of_their_own(house: House, hand: DeviceClient) -> None:
    hand.count([("cappings", None, -300, "fed"), ("cappings", None, -20, "lost"), ("bar", None, -1, "lost")])
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house, "cappings") == 9680
    assert hand.mirror.moved["cappings", "fed", 2026] == -300


def test_the_mirror_of_a_new_device_has_the_same_sums(house: House, hand: DeviceClient) -> None:
    """What a device added up change by change is what the house gives to one that starts anew."""
    melted(hand)
    hand.make([{"id": "W26-201-1", "good": "bar", "made_on": DAY}], [("bar", "W26-201-1", 10, "poured")])
    hand.exchange()
    hand.sell([("bar", 3)], lots={"bar": [("W26-201-1", 3)]})
    hand.exchange()
    fresh = device(house, "Tablet").mirror
    kept = lambda sums: {key: units for key, units in sums.items() if units}  # noqa: E731
    assert kept(fresh.moved) == kept(hand.mirror.moved) and kept(fresh.took) == kept(hand.mirror.took)
    assert list(kept(fresh.took).values()) == [3]


def extracted(hand: DeviceClient, code: str = "X26-201-1") -> dict[str, Any]:
    """An extraction: a kilogram of cappings in a lot of its own."""
    hand.make([{"id": code, "good": "cappings", "made_on": DAY}], [("cappings", code, 1000, "made")])
    return hand.log[-1]


def melt_of(hand: DeviceClient, lot: str, wax_g: int = 900) -> dict[str, Any]:
    """Cappings of one lot melted to the gram."""
    made = {"id": "M26-201-9", "good": "wax_melted", "made_on": DAY}
    hand.make([made], [("cappings", lot, -wax_g, "passed"), ("wax_melted", "M26-201-9", wax_g, "came")])
    return hand.log[-1]


def test_an_extraction_is_not_undone_once_its_cappings_were_melted(house: House, hand: DeviceClient) -> None:
    extraction = extracted(hand)
    melt_of(hand, "X26-201-1")
    hand.take_back(extraction)
    hand.exchange()
    (refusal,) = hand.needs_you
    assert "takes 1000 g of cappings away from lot X26-201-1; 100 g of it is still there" in refusal["why"]
    assert "Undo first what was made of it" in refusal["remedy"]
    assert on_hand(house, "cappings") == 10_100 and house.check() == []


@pytest.mark.parametrize(("melted_g", "undone"), [(0, True), (1, False)])
def test_an_extraction_is_undone_to_the_last_gram_and_no_further(house: House, hand: DeviceClient, melted_g: int, undone: bool) -> None:
    extraction = extracted(hand)
    if melted_g:
        melt_of(hand, "X26-201-1", melted_g)
    hand.take_back(extraction)
    hand.exchange()
    assert (hand.needs_you == []) is undone
    assert on_hand(house, "cappings") == (10_000 if undone else 11_000 - melted_g)
    assert undone or "999 g of it is still there" in hand.needs_you[0]["why"]


def test_the_latest_first_undoes_both(house: House, hand: DeviceClient) -> None:
    extraction = extracted(hand)
    melting = melt_of(hand, "X26-201-1")
    hand.take_back(melting)
    hand.take_back(extraction)
    hand.exchange()
    assert hand.needs_you == [] and (on_hand(house, "cappings"), on_hand(house, "wax_melted")) == (10_000, 0)


def test_a_count_of_no_known_lot_is_not_undone_once_the_bars_have_left(house: House, hand: DeviceClient) -> None:
    hand.count([("bar", None, 6, "counted")])
    counted = hand.log[-1]
    hand.sell([("bar", 44)])
    hand.take_back(counted)
    hand.exchange()
    assert "2 of it is still there" in hand.needs_you[-1]["why"] and on_hand(house) == 2


def test_a_lot_below_zero_is_found(house: House, hand: DeviceClient) -> None:
    """Another phone, out of reach, sells bars of a pour that was undone meanwhile: its sale lands as a fact, and the check says so."""
    hand.make([{"id": "W26-201-3", "good": "bar", "made_on": DAY}], [("bar", "W26-201-3", 10, "poured")])
    pour = hand.log[-1]
    hand.exchange()
    away = device(house, "Tablet")
    away.sell([("bar", 3)], lots={"bar": [("W26-201-3", 3)]})
    hand.take_back(pour)
    hand.exchange()
    away.exchange()
    assert hand.needs_you == [] and away.needs_you == []
    assert house.check() == ["lot W26-201-3 of bar is 3 below zero: more left it than came; count what is there of each lot"]
    house.write("count", [movement("bar", 3, "counted", lot="W26-201-3"), movement("bar", -3, "counted")])
    assert house.check() == []
