"""Amending what waits: found under load, where a caller's smaller number was refused because no row said whose line it was."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.house.house import House
from honeyhold.operations.waiting_lines import places_in_queue
from replication.houses import device, entry, movement, pool, said


@pytest.mark.parametrize(("held", "units"), [(0, 1), (0, 4), (1, 2), (2, 2), (2, 1), (3, 2), (3, 4)])
def test_a_line_is_amended_alone_whatever_of_it_is_sure(house: House, held: int, units: int) -> None:
    hand = device(house, bars=held)
    if held == 0:
        house.write("count", [movement("bar", -40, "counted")])
    taken = hand.promise([("bar", 3)], person=hand.note_person(name="Orla"))
    hand.amend(taken.order, lines=[("bar", units)])
    hand.exchange()
    assert hand.needs_you == [] and hand.view.rows["line"][taken.lines["bar"]]["units"] == units
    sure = units if held else 0  # the house fills what waits from its pool
    assert hand.sure(taken.lines["bar"]) == sure and pool(house) == (40 if held else 0) - sure - hand.share("bar")


def test_two_lines_of_two_orders_are_no_amendment(house: House) -> None:
    hand = device(house)
    lines = []
    for _ in range(2):
        taken = hand.promise([("bar", 3)], person=hand.note_person(name="Orla"))
        lines.append({"table": "line", "id": taken.lines["bar"], "units": 2, "was": {"units": 3}})
    hand.exchange()
    (refusal,) = said(house, hand, entry(hand, "amend", lines))["refused"]
    assert "one order; this names 2" in refusal["why"]


def test_an_amendment_of_nothing_known_is_refused(house: House) -> None:
    hand = device(house)
    (refusal,) = said(house, hand, entry(hand, "amend", [{"table": "line", "id": "nowhere", "units": 2}]))["refused"]
    assert "one order; this names 0" in refusal["why"] and refusal["remedy"]


def test_units_added_later_overtake_nobody(house: House) -> None:
    """Forty bars promised; A waits for 2, B for 3, then A wants 4 more: of what is poured A gets 2, B 3, then A the rest."""
    hand = device(house, bars=40)
    hand.promise([("bar", 40)], person=hand.note_person(name="All"))
    first = hand.promise([("bar", 2)], person=hand.note_person(name="A"))
    second = hand.promise([("bar", 3)], person=hand.note_person(name="B"))
    hand.exchange()
    hand.amend(first.order, lines=[("bar", 6)])
    hand.exchange()
    told = []
    for _ in range(9):
        hand.buy([("bar", None, 1, "bought")])
        hand.exchange()
        hand.exchange()
        told.append((hand.sure(first.lines["bar"]), hand.sure(second.lines["bar"])))
    assert told == [(1, 0), (2, 0), (2, 1), (2, 2), (2, 3), (3, 3), (4, 3), (5, 3), (6, 3)]
    assert house.check() == []


def test_what_is_no_longer_wanted_goes_from_the_back_of_the_queue(house: House) -> None:
    hand = device(house, bars=40)
    hand.promise([("bar", 40)], person=hand.note_person(name="All"))
    first = hand.promise([("bar", 2)], person=hand.note_person(name="A"))
    second = hand.promise([("bar", 2)], person=hand.note_person(name="B"))
    hand.exchange()
    hand.amend(first.order, lines=[("bar", 5)])
    hand.amend(first.order, lines=[("bar", 3)])
    hand.buy([("bar", None, 4, "bought")])
    hand.exchange()
    hand.exchange()
    assert (hand.sure(first.lines["bar"]), hand.sure(second.lines["bar"])) == (2, 2) and house.check() == []


@given(st.lists(st.tuples(st.integers(-6, 6), st.booleans()), max_size=30))
def test_the_places_of_a_line_add_up_and_stay_in_order(changes: list[tuple[int, bool]]) -> None:
    places: list[list[int]] = []
    waits = 0
    for position, (change, filled) in enumerate(changes, 1):
        more = max(change, -waits)
        before, waits = places, waits + more
        places = places_in_queue(places, more, position, filled)
        assert sum(units for _, units in places) == waits and all(units > 0 for _, units in places)
        assert [at for at, _ in places] == sorted(at for at, _ in places)
        if more < 0 and not filled and places:
            assert places[0][0] == before[0][0]
