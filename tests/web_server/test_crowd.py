"""Who is let in and who has to make room, by the counts alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.app.web_server import Limits
from honeyhold.app.web_server.connection import ANSWERING, STREAMING, WAITING
from honeyhold.app.web_server.crowd import Crowd, Room

LIMITS = Limits(connections=4, connections_per_address=3, waiting_bytes=10, waiting_bytes_per_address=7)


class Line:
    """A connection that does nothing; whether it was shown out."""

    def __init__(self, client: str, state: str = WAITING, has_begun: bool = True) -> None:
        self.client, self.state, self.shown_out = client, state, False
        self.task: Any = SimpleNamespace(cancel=self._leave) if has_begun else None

    def _leave(self) -> None:
        self.shown_out = True


def let_in(crowd: Crowd, *lines: Line) -> list[bool]:
    """Who is, one after the other."""
    return [crowd.let_in(line) for line in lines]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("there", "newcomer", "let_in_too", "out"),
    [
        ([Line("a"), Line("a")], "a", True, None),
        ([Line("a", ANSWERING), Line("a"), Line("a")], "a", True, 1),
        ([Line("a", has_begun=False), Line("a", STREAMING), Line("a", ANSWERING)], "a", False, None),
        ([Line("a"), Line("a", ANSWERING), Line("b"), Line("c")], "d", True, 0),
        ([Line("b"), Line("a", ANSWERING), Line("a", STREAMING), Line("c")], "d", False, None),
        ([Line("a"), Line("b"), Line("b"), Line("c")], "d", True, 1),
        ([Line("a"), Line("a"), Line("a")], "b", True, None),
    ],
)  # fmt: skip
def test_the_oldest_that_asks_for_nothing_goes_of_whoever_has_most(
    there: list[Line], newcomer: str, let_in_too: bool, out: int | None
) -> None:
    crowd, late = Crowd(LIMITS), Line(newcomer)
    assert let_in(crowd, *there) == [True] * len(there) and let_in(crowd, late) == [let_in_too]
    assert [number for number, line in enumerate(there) if line.shown_out] == ([] if out is None else [out])
    stay: list[Any] = [line for line in there if not line.shown_out]
    assert crowd.connections() == [*stay, late] if let_in_too else crowd.connections() == stay


def test_whoever_leaves_makes_room_once() -> None:
    crowd, busy = Crowd(LIMITS), [Line("a", ANSWERING) for _ in range(3)]
    let_in(crowd, *busy)
    for _ in range(2):
        crowd.leave(busy[0])  # type: ignore[arg-type]
    assert let_in(crowd, Line("a", ANSWERING), Line("a")) == [True, False]
    for line in crowd.connections():
        crowd.leave(line)
    assert crowd.connections() == [] and not crowd._by_address


def test_room_is_for_all_and_for_each_and_free_again() -> None:
    room = Room(LIMITS)
    asked = [("a", 7), ("a", 1), ("b", 4), ("b", 3), ("c", 1)]
    assert [room.take(*one) for one in asked] == [True, False, False, True, False]
    room.leave("a", 4)
    assert [room.take("a", 5), room.take("a", 4)] == [False, True]
    room.leave("a", 7)
    room.leave("b", 3)
    assert not room._by_address and room.take("c", 7)
