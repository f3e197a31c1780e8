"""Where what is said on the telephone turns, each met exactly and missed by one."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from tests.quoting.test_call import asked
from tests.quoting.test_stacks import put

from honeyhold.errors import BadRequest
from honeyhold.packing.plan import LIFT_G
from honeyhold.quoting import recheck
from honeyhold.quoting.forecasts import ENDS, _said
from honeyhold.quoting.kept import PLACEMENTS_MOST, drawing_of, kept_plan
from honeyhold.quoting.parcel import cautions, packing_request, pieces_of, quote_of
from honeyhold.quoting.request import CallRequest, read_call
from honeyhold.quoting.stack_loads import carried_kg
from honeyhold.quoting.trip import heat_request, thresholds_of

NOW = datetime(2027, 7, 26, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("hours", "said"),
    [(0, "of this hour"), (1, "of an hour ago"), (18, "of 18 hours ago"), (19, "of 19 hours ago, none newer has come")],
)
def test_a_forecast_is_old_after_eighteen_hours(hours: int, said: str) -> None:
    both: Any = {end: {} for end in ENDS}
    assert _said(both, NOW - timedelta(hours=hours), NOW) == f"forecast {said}"


@pytest.mark.parametrize(("gross_g", "warned"), [(LIFT_G, False), (LIFT_G + 1, True)])
def test_more_than_fifty_one_pounds_take_two(gross_g: int, warned: bool) -> None:
    """51 lb are 23,133.2 g (the exact pound of 453.59237 g)."""
    parcels: Any = [SimpleNamespace(gross_g=gross_g)]
    assert any("two people" in words for words in cautions(read_call(asked({"bar": 10}, "55811")), parcels)) is warned
    assert int(51 * 453.59237) == LIFT_G


def test_a_line_of_none_takes_no_room() -> None:
    call = read_call(asked({"bar": 10}, "55811"))
    (line,) = call.lines
    assert [piece.count for piece in pieces_of(replace(call, lines=(line, replace(line, good="jar_12", units=0))))] == [10]


@pytest.mark.parametrize(("pieces", "kept"), [(PLACEMENTS_MOST, PLACEMENTS_MOST), (PLACEMENTS_MOST + 1, 0)])
def test_a_drawing_of_so_many_pieces_is_kept(pieces: int, kept: int) -> None:
    parcel = quote_of(read_call(asked({"bar": 1}, "55811")), "plain").parcels[0]
    question = packing_request(read_call(asked({"bar": 1}, "55811")), "plain")
    (one,) = parcel.placements
    assert len(kept_plan(replace(parcel, placements=(one,) * pieces), "a box", question).placements) == kept


def test_a_kept_carton_of_no_height_is_none() -> None:
    for inner_um in ((100, 100, 0), (100, 100), ()):
        plan: Any = SimpleNamespace(inner_um=inner_um, pieces=(), placements=())
        with pytest.raises(BadRequest, match="inner_um"):
            drawing_of(plan, "in", "above")


@pytest.mark.parametrize(("lower_mm", "carries"), [(49.0, [0.2, 0.2, 0.0]), (48.9, [0.4, 0.0, 0.0])])
def test_what_is_a_millimeter_lower_bears_too(lower_mm: float, carries: list[float]) -> None:
    piers = [put("high", (0, 0, 0), (100, 100, 50)), put("low", (100, 0, 0), (100, 100, lower_mm))]
    puts = [*piers, put("bridge", (50, 0, 50), (100, 100, 10))]
    assert carried_kg(puts, [1.0, 1.0, 0.4]) == pytest.approx(carries)


def less(permille: int, cents: int, accept_permille: int = 20) -> str | None:
    """What may be left out of a lined parcel of a dollar, where as it is it would be harmed so often and cost so much."""
    call: CallRequest = read_call(asked({"bar": 10}, "55811"))
    call = replace(call, house=replace(call.house, accept_permille=accept_permille))
    cells = [
        {"dressing": "lined", "hold": False, "harmless": True, "chance_permille": 50, "cost_cents": 100},
        {"dressing": "plain", "hold": False, "harmless": True, "chance_permille": permille, "cost_cents": cents},
    ]
    day = {"leave_on": "2027-07-27"}
    found = recheck._less(call, {"asked": {**day, "dressing": "lined", "hold": False}, "table": [{**day, "cells": cells}]})
    return found and found[0]


@pytest.mark.parametrize(("permille", "cents", "said"), [(10, 99, "plain will do"), (11, 99, None), (10, 100, None)])
def test_padding_is_left_out_where_that_is_plainly_harmless_and_saves_something(permille: int, cents: int, said: str | None) -> None:
    """Half of what the house takes upon itself, and a cent."""
    assert less(permille, cents) == said


def test_only_limits_that_heat_knows_are_the_houses_own() -> None:
    """They are kept in whole tenths."""
    own = replace(read_call(asked({"bar": 1}, "55811")).house, thresholds={"wax_mark_c": 391, "of_another_version": 7})
    assert thresholds_of(own) == {"wax_mark_c": 39.1}
    for none in (None, {"of_another_version": 7}):
        assert thresholds_of(replace(own, thresholds=none)) is None


@pytest.mark.parametrize(("leave_on", "days"), [(None, ["2027-07-26"]), ("2027-07-28", ["2027-07-28"])])
def test_a_quick_look_is_at_the_day_that_was_named_or_the_next(leave_on: str | None, days: list[str]) -> None:
    call = read_call(asked({"bar": 1}, "55811", only="asked"))
    nowhere: Any = SimpleNamespace(places={}, climate={})
    assert heat_request(replace(call, leave_on=leave_on), nowhere, {})["leave_days"] == days


@pytest.mark.parametrize(("pad_cents", "asked_held", "said"), [
    (50, False, "pad it"), (51, False, "hold it at the post office counter"), (50, True, "send it as it is"),
])  # fmt: skip
def test_a_walk_to_the_counter_weighs_half_a_dollar_against_padding(pad_cents: int, asked_held: bool, said: str) -> None:
    day = {"leave_on": "2027-07-26"}
    cells: Any = [
        {"dressing": "lined", "hold": False, "harmless": True, "chance_permille": 5, "cost_cents": pad_cents},
        {"dressing": "plain", "hold": True, "harmless": True, "chance_permille": 5, "cost_cents": 0},
    ]
    answer: Any = {"asked": {**day, "dressing": "plain", "hold": asked_held}, "table": [{**day, "cells": cells}]}
    assert recheck._remedy(answer)[0] == said
