"""In which order pieces go in, how each lies, on what, and which of them share a sentence."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.packing.instructions import (
    MANY_PIECES,
    _goes_on,
    _layers,
    _sentence,
    _under,
    _where,
    _word,
    beds_of,
    numbered,
    packing_order,
    turn_word,
)
from honeyhold.packing.model.container import Placement
from honeyhold.packing.model.plan import PackingStep
from honeyhold.packing.model.problem import ItemType, PackingProblem, problem_of
from honeyhold.packing.model.request import read_request

SIDES = {"bar": [76, 38, 11], "cube": [20, 20, 20], "stick": [60, 20, 20], "slab": [60, 60, 20]}


def problem(**more: Any) -> PackingProblem:
    """A box of 200 mm, measured in millimeters."""
    pieces = [{"id": name, "label": name, "size_mm": sides, **more} for name, sides in SIDES.items()]
    return problem_of(read_request({"pieces": pieces, "cartons": [{"id": "box", "inner_mm": [200, 200, 200]}], "unit": "mm"}))


def kind(name: str, **more: Any) -> ItemType:
    return next(item for item in problem(**more).items if item.id == name)


@pytest.mark.parametrize(("name", "size", "word"), [
    ("bar", (76, 38, 11), "flat"), ("bar", (76, 11, 38), "on edge"), ("bar", (38, 11, 76), "on end"), ("cube", (20, 20, 20), "flat"),
    ("stick", (60, 20, 20), "flat"), ("stick", (20, 20, 60), "on end"), ("slab", (60, 60, 20), "flat"), ("slab", (60, 20, 60), "on end"),
])  # fmt: skip
def test_how_a_piece_lies(name: str, size: tuple[int, int, int], word: str) -> None:
    """A slab has no edge of its own: two of its sides are the longest."""
    scale = problem().scale
    assert turn_word(kind(name), Placement(0, 0, 0, 0, *(side * scale for side in size))) == word


def test_what_must_stand_stands() -> None:
    assert turn_word(kind("bar", upright=True), Placement(0, 0, 0, 0, 76, 38, 11)) == "standing"


LOWER = Placement(0, 10, 10, 0, 20, 20, 20)


@pytest.mark.parametrize(("corner", "is_under"), [
    ((10, 10, 20), True), ((10, 10, 0), False), ((10, 10, 1), True), ((30, 10, 20), False), ((29, 10, 20), True), ((0, 10, 20), False),
    ((1, 10, 20), True), ((10, 30, 20), False), ((10, 29, 20), True), ((10, 0, 20), False), ((10, 1, 20), True),
])  # fmt: skip
def test_a_piece_lies_under_another_where_it_reaches_under_some_part_of_it(corner: tuple[int, int, int], is_under: bool) -> None:
    assert _under(LOWER, Placement(0, *corner, 10, 10, 10)) is is_under


def test_one_kind_goes_in_after_the_other_as_far_as_nothing_is_missing_below() -> None:
    """The second bar waits for the slab under it, and the other slab for none."""
    bars = [Placement(0, 0, 0, 0, 10, 10, 10), Placement(0, 50, 0, 20, 10, 10, 10)]
    slabs = [Placement(1, 50, 0, 0, 20, 20, 20), Placement(1, 100, 0, 0, 20, 20, 20)]
    assert packing_order([*slabs, *bars]) == [bars[0], *slabs, bars[1]]
    assert packing_order([slabs[0], bars[1]]) == [slabs[0], bars[1]] and packing_order([]) == []


@pytest.mark.parametrize("count", [MANY_PIECES, MANY_PIECES + 1])
def test_very_many_go_in_level_by_level(count: int) -> None:
    """One kind in turn with another, side by side on the floor: sorted by kind up to sixty, else as they lie."""
    pieces = [Placement(at % 2, at * 10, 0, 0, 10, 10, 10) for at in range(count)]
    found = [piece.item for piece in packing_order(pieces)]
    assert (found == sorted(found)) is (count == MANY_PIECES)
    assert sorted(packing_order(pieces), key=lambda piece: piece.x) == pieces


def test_the_filler_under_a_piece_reaches_down_to_the_highest_thing_below_it() -> None:
    floor, on_it, beside, over_both = (
        Placement(0, 0, 0, 0, 20, 20, 20), Placement(0, 0, 0, 25, 20, 20, 20), Placement(0, 20, 0, 5, 20, 20, 20),
        Placement(0, 10, 0, 48, 20, 20, 20),
    )  # fmt: skip
    assert beds_of([floor, on_it, beside, over_both]) == [0, 5, 5, 3]
    assert beds_of([over_both]) == [48] and beds_of([]) == []


@pytest.mark.parametrize(("lower", "upper"), [((15, 15), (30, 30)), ((30, 30), (15, 15)), ((115, 75), (100, 90)), ((100, 90), (115, 75))])
def test_what_lies_under_a_corner_alone_is_found(lower: tuple[int, int], upper: tuple[int, int]) -> None:
    """Pieces of 20 by 20 that share five either way, wherever the squares begin by which they are looked for."""
    assert beds_of([Placement(0, *lower, 0, 20, 20, 20), Placement(0, *upper, 23, 20, 20, 20)]) == [0, 3]


@pytest.mark.parametrize(("z", "bed", "words"), [
    (0, 0, "on the bottom"), (1, 0, "on what is there"), (0, 5, "on 5 mm of filler"), (9, 5, "on 5 mm of filler"),
])  # fmt: skip
def test_on_what_a_piece_lies(z: int, bed: int, words: str) -> None:
    wanted = problem()
    assert _where(Placement(0, 0, 0, z * wanted.scale, 1, 1, 1), bed * wanted.scale, wanted) == words


def pile(*levels: int) -> list[Placement]:
    """So many pieces on each level, side by side."""
    return [Placement(0, at * 10, 0, level * 10, 10, 10, 10) for level, count in enumerate(levels) for at in range(count)]


@pytest.mark.parametrize(("levels", "words"), [
    ((), ""), ((1,), ""), ((3,), ""), ((1, 1), ", one on the other"), ((1, 1, 1), ", one on the other"), ((2, 2), ", two layers of two"),
    ((2, 2, 2), ", three layers of two"), ((2, 1), ", in two layers"), ((1, 2, 2), ", in three layers"),
])  # fmt: skip
def test_a_pile_is_told_by_its_layers(levels: tuple[int, ...], words: str) -> None:
    assert _layers(pile(*levels)) == words


FIRST = Placement(0, 0, 0, 10, 76, 38, 11)


@pytest.mark.parametrize(("other", "beds", "goes_on"), [
    (Placement(0, 76, 0, 10, 76, 38, 11), [10, 10], True), (Placement(0, 76, 0, 10, 76, 38, 11), [10, 9], False),
    (Placement(0, 76, 0, 10, 76, 38, 11), [10, 5], False),
    (Placement(0, 0, 0, 26, 76, 38, 11), [10, 5], True), (Placement(0, 0, 0, 26, 76, 38, 11), [10, 4], False),
    (Placement(0, 0, 0, 9, 76, 38, 11), [10, 5], False), (Placement(0, 0, 0, 9, 76, 38, 11), [10, 10], False),
    (Placement(0, 76, 0, 10, 76, 11, 38), [10, 10], False), (Placement(1, 76, 0, 10, 20, 20, 20), [10, 10], False),
])  # fmt: skip
def test_a_piece_goes_on_in_the_sentence_level_with_the_first_or_straight_on_the_others(
    other: Placement, beds: list[int], goes_on: bool
) -> None:
    """They keep 5 mm: so much filler lies between one and the next above it."""
    items = (kind("bar", gap_mm=5), kind("cube", gap_mm=5))
    assert problem(gap_mm=5).scale == 1 and _goes_on([FIRST, other], beds, 0, 1, items) is goes_on


@pytest.mark.parametrize(("pieces", "more", "said"), [
    (1, {}, "One bar flat on the bottom [3]."), (2, {}, "Two bars flat on the bottom [3 to 4]."),
    (2, {"gap_mm": 5}, "Two bars flat on the bottom, 5 mm apart [3 to 4]."), (1, {"gap_mm": 5}, "One bar flat on the bottom [3]."),
    (2, {"gap_mm": 5, "wall_mm": 9}, "Two bars flat on the bottom, 5 mm apart, 9 mm from the walls [3 to 4]."),
])  # fmt: skip
def test_a_sentence(pieces: int, more: dict[str, int], said: str) -> None:
    wanted = problem(**more)
    run = [Placement(0, at * 80, 0, 0, 76, 38, 11) for at in range(pieces)]
    assert _sentence(2, run, 0, kind("bar", **more), wanted) == said


def test_figures_are_words_as_far_as_they_go() -> None:
    assert [_word(number) for number in (1, 2, 12, 13)] == ["one", "two", "twelve", "13"]
    assert numbered([PackingStep("Go on.", None, None, 1), PackingStep("End.", None, None, 1)]) == ("1. Go on.", "2. End.")
