"""Of which sizes a house's orders are: its own last orders, once there are enough of them, and the usual ones of the trade until then."""

from __future__ import annotations

import pytest

from honeyhold.house.house import House
from honeyhold.replication.allocation import SIZE_MAX_UNITS, SIZES_ENOUGH, SIZES_OF_ORDERS, USUAL_BARS, USUAL_OTHERS, read_order_sizes
from replication.houses import device


def sizes_after(house: House, orders: list[int], good: str = "bar") -> dict[str, int]:
    """What is read of a good after orders of so many bars each."""
    hand = device(house, bars=1)
    person = hand.note_person(name="Ruth")
    for units in orders:
        hand.promise([("bar", units)], person=person)
    hand.exchange()
    assert hand.needs_you == []
    with house.records.read():
        return read_order_sizes(house.records, good)


@pytest.mark.parametrize(("orders", "sizes"), [
    ([5] * SIZES_ENOUGH, {"5": 8}), ([20, 5, 10, 5, 10, 5, 1, 5], {"1": 1, "10": 2, "20": 1, "5": 4}),
    ([5] * (SIZES_ENOUGH - 1), USUAL_BARS), ([], USUAL_BARS),
    ([SIZE_MAX_UNITS + 1, SIZE_MAX_UNITS, SIZE_MAX_UNITS - 1, *[5] * 5], {"1000": 2, "5": 5, "999": 1}),
    ([7, *[5] * (SIZES_OF_ORDERS - 1), 6], {"5": SIZES_OF_ORDERS - 1, "6": 1}),
])  # fmt: skip
def test_a_houses_own_sizes_once_there_are_eight_orders(house: House, orders: list[int], sizes: dict[str, int]) -> None:
    """The last hundred, a very large one as a thousand."""
    assert sizes_after(house, orders) == sizes


def test_what_nobody_ordered_yet_goes_by_the_trade(house: House) -> None:
    """Bars of a row of ten by fives and tens, all else by ones and twos; orders of one good say nothing of another."""
    assert sizes_after(house, [5] * SIZES_ENOUGH, "jar") == sizes_after(house, [], "no such good") == USUAL_OTHERS
