"""Which way pieces are tried by how many they are, and how much of the effort each way is given."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.packing import fit as fitting
from honeyhold.packing.fit import EXACT_PIECES, FITS, NEVER, ONE_BY_ONE_PIECES, UNKNOWN, FitResult
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.problem import PackingProblem, problem_of
from honeyhold.packing.model.request import read_request

CUBES: PackingProblem = problem_of(read_request({
    "pieces": [{"id": "cube", "count": 1, "size_mm": [10, 10, 10]}], "cartons": [{"id": "box", "inner_mm": [100, 100, 100]}],
}))  # fmt: skip
ROOM, KINDS = CUBES.cartons[0].room, CUBES.items


@pytest.mark.parametrize(("pieces", "by"), [(EXACT_PIECES, "few"), (EXACT_PIECES + 1, "many")])
def test_twenty_four_are_looked_at_one_by_one_and_more_in_blocks(monkeypatch: pytest.MonkeyPatch, pieces: int, by: str) -> None:
    monkeypatch.setattr(fitting, "_many", lambda *_: FitResult(FITS, by="many"))
    monkeypatch.setattr(fitting, "_try", lambda *_: FitResult(FITS, by="few"))
    assert fitting.fit(ROOM, KINDS, [pieces], False, Effort(1000)).by == by


@pytest.mark.parametrize(("pieces", "given", "state"), [(ONE_BY_ONE_PIECES, 600, FITS), (ONE_BY_ONE_PIECES + 1, 900, UNKNOWN)])
def test_of_many_so_many_are_let_down_piece_by_piece_where_blocks_do_not_do(
    monkeypatch: pytest.MonkeyPatch, pieces: int, given: int, state: str
) -> None:
    """A third of the effort is left for it; where it is not tried the blocks have all."""
    parts: list[int] = []

    def blocks(*asked: Any) -> list[Any]:
        parts.append(asked[-1].left)
        return []

    monkeypatch.setattr(fitting, "_bounded", lambda *_: False)
    monkeypatch.setattr(fitting, "pack_many", blocks)
    monkeypatch.setattr(fitting, "_try", lambda *_: FitResult(FITS))
    assert fitting._many(ROOM, KINDS, [pieces], False, Effort(900)).state == state and parts == [given]


@pytest.mark.parametrize(("short", "state"), [(0, FITS), (1, UNKNOWN)])
def test_blocks_do_where_every_piece_has_its_place(monkeypatch: pytest.MonkeyPatch, short: int, state: str) -> None:
    monkeypatch.setattr(fitting, "_bounded", lambda *_: False)
    monkeypatch.setattr(fitting, "pack_many", lambda *asked: ["a place"] * (sum(asked[2]) - short))
    monkeypatch.setattr(fitting, "_try", lambda *_: None)
    found = fitting._many(ROOM, KINDS, [30], False, Effort(900))
    assert (found.state, len(found.placements)) == (state, 0 if short else 30)


def test_what_the_bounds_rule_out_is_not_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fitting, "_bounded", lambda *_: True)
    monkeypatch.setattr(fitting, "pack_many", lambda *_: pytest.fail("tried"))
    assert fitting._many(ROOM, KINDS, [30], False, Effort(900)) == FitResult(NEVER, by="bound")
