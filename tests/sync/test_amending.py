"""Amending what waits: found under load, where a caller's smaller number was refused because no row said whose line it was."""

from __future__ import annotations

import pytest

from honeyhold.house.house import House
from sync.houses import device, entry, movement, pool, said


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
