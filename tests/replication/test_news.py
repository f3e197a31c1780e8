"""The bell that tells a stream that something landed: who waits, until when, and that waiting costs nothing."""

from __future__ import annotations

import threading
import time

import pytest

from honeyhold.replication import news
from honeyhold.replication.news import News

LONG_S = 60.0
"""Nothing here waits so long: it is rung before."""


def test_whoever_is_behind_does_not_wait() -> None:
    assert News(7).wait(6, LONG_S) == 7


def test_a_ring_ends_the_waiting_of_all() -> None:
    told = News(7)
    came: list[int] = []
    waiting = [threading.Thread(target=lambda: came.append(told.wait(7, LONG_S))) for _ in range(3)]
    for one in waiting:
        one.start()
    told.ring(9)
    for one in waiting:
        one.join(LONG_S)
    assert came == [9, 9, 9]


def test_a_ring_without_anything_new_ends_it_too() -> None:
    """A device is asked for something back: nothing landed, and its stream is told all the same."""
    told, heard = News(7), threading.Event()

    def ring_until_heard() -> None:
        while not heard.wait(0.01):
            told.ring(7)

    ringing = threading.Thread(target=ring_until_heard)
    ringing.start()
    began = time.monotonic()
    assert told.wait(7, LONG_S) == 7
    heard.set()
    ringing.join()
    assert time.monotonic() < began + LONG_S


def test_when_the_time_is_up_it_ends_and_has_not_asked_again_and_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each look at the clock is a time that it woke: a wait that does not wait looks at it all the time."""
    looked: list[float] = []

    class Counted:
        @staticmethod
        def monotonic() -> float:
            looked.append(time.monotonic())
            return looked[-1]

    monkeypatch.setattr(news, "time", Counted)
    assert News(7).wait(7, 0.2) == 7
    assert 3 <= len(looked) <= 8, "at the beginning, before it sleeps, after it; a few more where the system wakes it early"
    assert looked[-1] >= looked[0] + 0.2


def test_the_position_never_goes_down_but_by_a_reset() -> None:
    told = News(7)
    told.ring(5)
    assert (told.position, told.rings) == (7, 1)
    told.reset(5)
    assert (told.position, told.rings) == (5, 2)


def test_what_began_here_is_passed_on_and_what_another_process_told_is_not() -> None:
    told = News(7)
    passed: list[int] = []
    told.tell = passed.append
    told.ring(8)
    told.ring_here(9)
    told.reset(3)
    assert (passed, told.position) == ([8], 3)


def test_a_bell_is_called_at_every_ring_until_it_is_taken_away() -> None:
    told = News(7)
    called: list[str] = []
    first = told.listen(lambda: called.append("first"))
    told.listen(lambda: called.append("second"))
    told.ring(8)
    told.reset(2)
    first()
    told.ring_here(3)
    assert called == ["first", "second", "first", "second", "second"]
