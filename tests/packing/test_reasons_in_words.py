"""Why something does not go in, and what the scale says of it, in words: each figure at the edge of another."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from honeyhold.packing.model.measures import MM_PER_IN
from honeyhold.packing.model.problem import PackingProblem, problem_of
from honeyhold.packing.model.request import read_request
from honeyhold.packing.reasons import _alone, _along, _in_inches, _litres, _rows, _sum_text
from honeyhold.packing.weighing.scale import MAX_SUSPECTS, _counted, _Good, _said, _suspects


def problem(unit: str = "mm", **more: Any) -> PackingProblem:
    """One sort of piece, in a box that is of no matter here."""
    piece = {"id": "bar", "size_mm": [30, 20, 10], **more}
    return problem_of(read_request({"pieces": [piece], "cartons": [{"id": "box", "inner_mm": [90, 90, 90]}], "unit": unit}))


@pytest.mark.parametrize(("count", "more", "said"), [
    (1, {}, "30 mm > 50 mm"), (2, {}, "2 x 30 mm > 50 mm"), (2, {"gap_mm": 5}, "2 x 30 mm + 5 mm = 65 mm > 50 mm"),
    (3, {"gap_mm": 5}, "3 x 30 mm + 2 x 5 mm = 100 mm > 50 mm"), (1, {"gap_mm": 5}, "30 mm > 50 mm"),
    (1, {"wall_mm": 7}, "30 mm + 2 x 7 mm = 44 mm > 50 mm"),
    (2, {"gap_mm": 5, "wall_mm": 7}, "2 x 30 mm + 5 mm + 2 x 7 mm = 79 mm > 50 mm"),
])  # fmt: skip
def test_a_sum_has_each_of_its_parts(count: int, more: dict[str, int], said: str) -> None:
    asked = problem(**more)
    assert asked.scale == 1 and _sum_text(asked, count, 30, asked.items[0], 50) == said


@pytest.mark.parametrize(("count", "needs", "inside", "walled", "said"), [
    (1, 9, 8, False, "it takes 9 in, and there are 8 in"), (1, 9, 8, True, "it takes 9 in with what goes around it, and there are 8 in"),
    (2, 9, 8, False, "a row of 2 takes 9 in, and there are 8 in"),
    (2, 9, 8, True, "a row of 2 takes 9 in with what goes around them, and there are 8 in"),
    (1, Fraction(8001, 1000), 8, False, "it takes 8.001 in, and there are 8.000 in"),
])  # fmt: skip
def test_in_inches_the_sum_alone_is_told(count: int, needs: Fraction | int, inside: int, walled: bool, said: str) -> None:
    """Where both would be the same fraction, to a thousandth."""
    assert _in_inches(count, needs * MM_PER_IN, inside * MM_PER_IN, walled) == said


@pytest.mark.parametrize(("edge", "fits"), [(29, 0), (30, 1), (64, 1), (65, 2), (99, 2), (100, 3), (0, 0)])
def test_how_many_stand_in_a_row(edge: int, fits: int) -> None:
    """Of 30 mm with gaps of 5; with 7 to either wall, 14 more."""
    assert _along(problem(gap_mm=5).items[0], 30, edge) == _along(problem(gap_mm=5, wall_mm=7).items[0], 30, edge + 14) == fits


@pytest.mark.parametrize(("room", "more", "said"), [
    ((25, 25, 25), {}, "bar is too long: 30 mm > 25 mm"), ((90, 15, 90), {"upright": True}, "bar is too wide: 20 mm > 15 mm"),
    ((15, 90, 10), {"upright": True}, "bar is too long: 20 mm > 15 mm"),  # just high enough
    ((15, 90, 12), {"upright": True, "wall_mm": 1}, "bar is too long: 20 mm + 2 x 1 mm = 22 mm > 15 mm"),
    ((90, 90, 9), {"upright": True}, "bar must stand: 10 mm > 9 mm"), ((90, 90, 10), {"upright": True, "wall_mm": 1}, "bar must stand: "
     "10 mm + 2 x 1 mm = 12 mm > 10 mm"),
])  # fmt: skip
def test_why_one_piece_cannot_be_there_alone(room: tuple[int, int, int], more: dict[str, Any], said: str) -> None:
    asked = problem(**more)
    assert asked.scale == 1 and _alone(asked, asked.items[0], room) == said


def test_straight_rows_are_counted_and_the_one_too_many_told() -> None:
    asked = problem(upright=True)
    said = "do not go in (in straight rows 6: 3 by 2 by 1): 4 x 30 mm > 90 mm"
    assert _rows(asked, asked.items[0], 7, (90, 40, 10)) == f"7 bars {said}"
    assert _rows(asked, asked.items[0], 1, (90, 40, 10)) == f"1 bar {said.replace('do not', 'does not')}"
    assert _rows(asked, asked.items[0], 1, (90, 40, 9)) == "bar must stand: 10 mm > 9 mm"


@pytest.mark.parametrize(("upright", "one_more"), [(False, "10 x 10 mm > 95 mm"), (True, "2 x 30 mm > 30 mm")])
def test_the_longest_row_is_told_upward_only_of_what_may_lie(upright: bool, one_more: str) -> None:
    asked = problem(upright=upright)
    assert _rows(asked, asked.items[0], 12, (30, 20, 95)) == f"12 bars do not go in (in straight rows 9: 1 by 1 by 9): {one_more}"


@pytest.mark.parametrize(("unit", "said"), [("mm", "1.50 l"), ("in", "1.50 l (92 cubic in)")])
def test_room_in_liters(unit: str, said: str) -> None:
    """A liter is 61.02 cubic inches."""
    asked = problem(unit, size_mm=[30.5, 20, 10])
    assert asked.scale > 1 and _litres(1_500_000 * asked.scale**3, asked) == said


# The scale


def good(name: str, mass: float, count: int = 3) -> _Good:
    return _Good(name, name, count, mass, 1.0, guessed=False)


@pytest.mark.parametrize(("off", "doubt", "found"), [
    (-30, 3, [("bar", -1)]), (-33, 3, [("bar", -1)]), (-33.1, 3, []), (60, 3, [("bar", 2)]), (-90, 3, [("bar", -3)]), (-120, 3, []),
    (120, 3, [("bar", 4)]), (14, 20, []), (0, 3, []),
])  # fmt: skip
def test_a_miscount_that_explains_the_reading(off: float, doubt: float, found: list[tuple[str, int]]) -> None:
    """Bars of 30 g, three of them: no more than three are short."""
    assert [(one.id, count) for one, count in _suspects([good("bar", 30), good("leaf", 0)], off, doubt)] == found


def test_the_likeliest_miscounts_come_first_and_only_so_many() -> None:
    """One of a kind before two, then the nearer, then by name."""
    goods = [good("two", 30), good("near", 59), good("far", 57), good("b", 60), good("a", 60)]
    assert [one.id for one, _ in _suspects(goods, 60, 5)] == ["a", "b", "near", "far", "two"][:MAX_SUSPECTS]


@pytest.mark.parametrize(("count", "said"), [(-1, "one bar short"), (-2, "2 bars short"), (1, "one bar too many"), (3, "3 bars too many")])
def test_what_is_short_or_too_many(count: int, said: str) -> None:
    assert _counted(good("bar", 30), count) == said


AGAIN = "no miscount of one kind explains it. Look again at what is in it, the filler and the carton."


@pytest.mark.parametrize(("verdict", "off", "suspects", "unit", "unweighed", "said"), [
    ("as planned", 0, [], "in", True, "As planned."),
    ("cannot tell", 0, [], "in", False, "Weighs as planned, but the scale cannot tell one leaf or one pin here: count before closing."),
    ("cannot tell", 0, [], "in", True, "Weighs as planned, but the scale cannot tell one leaf or one pin here: count before closing, and"
     " weigh the padded carton empty first next time."),
    ("light", -30.4, [("bar", -1)], "in", True, "30 g light: one bar short. Count before closing."),
    ("heavy", 60, [("bar", 2), ("jar", 1)], "in", True, "60 g heavy: 2 bars too many or one jar too many. Count before closing."),
    ("light", -999, [], "in", True, f"999 g light: {AGAIN}"), ("light", -1000, [], "mm", True, f"1000 g light: {AGAIN}"),
    ("light", -1000, [], "in", True, f"2 lb 3 oz light: {AGAIN}"),
])  # fmt: skip
def test_what_is_said_at_the_scale(
    verdict: str, off: float, suspects: list[tuple[str, int]], unit: str, unweighed: bool, said: str
) -> None:
    named = [(good(name, 30), count) for name, count in suspects]
    assert _said(verdict, off, named, [good("leaf", 1), good("pin", 1)], unit, unweighed) == said
