"""The flat places on which the next block may stand: what touches is apart, what lies within is swallowed, what is too small is none."""

from __future__ import annotations

import pytest

from honeyhold.packing.heuristic.surface import Ground, Rect, _bridged, around, less, meet, place_at, reached, widest, within

GROUND = Ground((100, 80, 60), (10, 10, 10))
MIDDLE: Rect = (30, 30, 50, 50)


@pytest.mark.parametrize(("spot", "order"), [
    ((0, 0, 20, 20, 0), (0, 0, 0, -20 * 20 * 60)), ((80, 60, 100, 80, 0), (0, 0, 0, -20 * 20 * 60)),
    ((30, 20, 40, 50, 10), (10, 20, 30, -10 * 30 * 50)), ((60, 45, 90, 75, 7), (5, 7, 10, -30 * 30 * 53)),
])  # fmt: skip
def test_a_place_is_ordered_by_its_way_to_the_nearest_corner_and_then_by_its_room(
    spot: tuple[int, int, int, int, int], order: tuple[int, int, int, int]
) -> None:
    assert place_at(GROUND, *spot) == (*order, *spot)


@pytest.mark.parametrize(("spot", "z", "is_free"), [
    ((30, 30, 50, 50), 0, False), ((30, 30, 50, 50), 20, True), ((30, 30, 50, 50), 19, False),  # at its top, and a millimeter below
    ((50, 30, 70, 50), 0, True), ((49, 30, 70, 50), 0, False), ((10, 30, 30, 50), 0, True), ((10, 30, 31, 50), 0, False),
    ((30, 50, 50, 70), 0, True), ((30, 49, 50, 70), 0, False), ((30, 10, 50, 30), 0, True), ((30, 10, 50, 31), 0, False),
])  # fmt: skip
def test_a_place_that_only_touches_what_is_taken_is_left_alone(spot: Rect, z: int, is_free: bool) -> None:
    """A block from 30 to 50 either way, and 20 high."""
    place = place_at(GROUND, *spot, z)
    assert reached([place], MIDDLE, 20) == (([place], []) if is_free else ([], [place]))


@pytest.mark.parametrize(("inner", "lies_within"), [
    (MIDDLE, True), ((31, 31, 49, 49), True), ((29, 30, 50, 50), False), ((30, 29, 50, 50), False), ((30, 30, 51, 50), False),
    ((30, 30, 50, 51), False),
])  # fmt: skip
def test_a_rectangle_lies_in_another_up_to_its_edges(inner: Rect, lies_within: bool) -> None:
    assert within(inner, MIDDLE) is lies_within


@pytest.mark.parametrize(("other", "shares"), [
    (MIDDLE, True), ((50, 30, 70, 50), False), ((49, 30, 70, 50), True), ((10, 30, 30, 50), False), ((10, 30, 31, 50), True),
    ((30, 50, 50, 70), False), ((30, 49, 50, 70), True), ((30, 10, 50, 30), False), ((30, 10, 50, 31), True),
])  # fmt: skip
def test_rectangles_that_share_an_edge_alone_do_not_meet(other: Rect, shares: bool) -> None:
    assert meet(MIDDLE, other) is meet(other, MIDDLE) is shares


def test_each_widest_rectangle_is_kept_once() -> None:
    assert widest([MIDDLE, (0, 0, 60, 60), MIDDLE, (0, 0, 60, 60), (0, 0, 61, 10)]) == [(0, 0, 60, 60), (0, 0, 61, 10)]


@pytest.mark.parametrize(("rect", "left"), [
    ((20, 20, 60, 60), [(20, 20, 30, 60), (50, 20, 60, 60), (20, 20, 60, 30), (20, 50, 60, 60)]),
    ((21, 21, 59, 59), []), (MIDDLE, []), ((20, 30, 50, 50), [(20, 30, 30, 50)]), ((30, 30, 60, 50), [(50, 30, 60, 50)]),
    ((30, 20, 50, 50), [(30, 20, 50, 30)]), ((30, 30, 50, 60), [(30, 50, 50, 60)]),
])  # fmt: skip
def test_what_is_left_beside_what_was_taken_holds_the_least_side_of_a_piece(rect: Rect, left: list[Rect]) -> None:
    assert around(rect, MIDDLE, GROUND.least) == left


def test_what_is_left_of_several_without_several() -> None:
    assert less([(0, 0, 60, 20)], [(0, 0, 20, 20), (40, 0, 60, 20)], GROUND.least) == [(20, 0, 40, 20)]
    assert less([(0, 0, 60, 20)], [(60, 0, 80, 20)], GROUND.least) == [(0, 0, 60, 20)] == less([(0, 0, 60, 20)], [], GROUND.least)


@pytest.mark.parametrize(("level", "joined"), [
    ((50, 20, 70, 40), [(30, 30, 70, 40)]), ((10, 40, 30, 90), [(10, 40, 50, 50)]), ((40, 50, 90, 70), [(40, 30, 50, 70)]),
    ((10, 10, 40, 30), [(30, 10, 40, 50)]), ((51, 30, 70, 50), []), ((50, 50, 70, 70), []), ((10, 10, 30, 30), []), ((30, 51, 50, 70), []),
])  # fmt: skip
def test_level_neighbours_that_touch_are_one_place_as_far_as_both_reach(level: Rect, joined: list[Rect]) -> None:
    """At a corner alone they do not touch."""
    assert _bridged(MIDDLE, level) == joined


@pytest.mark.parametrize(("level", "joined"), [
    ((50, 50, 90, 60), [(30, 50, 90, 60)]), ((10, 45, 30, 80), [(10, 45, 50, 70)]), ((35, 70, 45, 90), [(35, 40, 45, 90)]),
    ((20, 10, 40, 40), [(30, 10, 40, 70)]), ((40, 70, 60, 80), [(40, 40, 50, 80)]), ((70, 50, 90, 60), []), ((50, 70, 60, 80), []),
])  # fmt: skip
def test_a_longer_top_is_joined_across_or_along_alone(level: Rect, joined: list[Rect]) -> None:
    assert _bridged((30, 40, 50, 70), level) == joined


@pytest.mark.parametrize(("inner", "lies_within"), [((30, 40, 50, 70), True), ((35, 35, 45, 45), False), ((35, 45, 45, 75), False)])
def test_a_longer_rectangle_holds_what_lies_in_it_both_ways(inner: Rect, lies_within: bool) -> None:
    assert within(inner, (30, 40, 50, 70)) is lies_within


def test_what_is_left_is_held_against_the_side_that_it_is_needed_for() -> None:
    """Pieces of at least 10 one way and 20 the other."""
    assert around((20, 15, 60, 65), MIDDLE, (10, 20, 5)) == [(20, 15, 30, 65), (50, 15, 60, 65)]
    assert around((15, 20, 65, 60), MIDDLE, (20, 10, 5)) == [(15, 20, 65, 30), (15, 50, 65, 60)]
