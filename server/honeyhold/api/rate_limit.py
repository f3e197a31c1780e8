"""Slows down whoever guesses codes: a few free tries, then a wait that doubles."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import datetime, timedelta

from honeyhold.errors import HoneyholdError

EXTENSION = "rate_limit"
FREE_TRIES = 5
WAIT_S_MAX = 300
FORGET_AFTER = timedelta(minutes=15)
KEPT_MAX = 1000


class TooOften(HoneyholdError, PermissionError):
    """Too many wrong codes from one place in a short time."""

    code = "too-often"
    status = 429

    def __init__(self, wait_s: int) -> None:
        super().__init__(f"Too many wrong codes; the next try counts in {wait_s} s.", "Wait, and read the code again.")
        self.wait_s = wait_s


class RateLimit:
    """Counts wrong tries by the address they come from. Safe among threads."""

    def __init__(self, now: Callable[[], datetime]) -> None:
        self._now = now
        self._lock = threading.Lock()
        self._wrong: dict[str, tuple[int, datetime]] = {}

    def begin_try(self, who: str) -> None:
        """Counts a try as wrong before anybody knows: of many at once each counts. Raises `TooOften` while a wait is not over."""
        with self._lock:
            now = self._now()
            tries, last = self._wrong.pop(who, (0, now))
            gone = now - last
            if gone > FORGET_AFTER:
                tries, gone = 0, timedelta(0)
            wait_s = min(WAIT_S_MAX, 2 ** (tries - FREE_TRIES)) if tries >= FREE_TRIES else 0
            left_s = wait_s - int(gone.total_seconds())
            refused = left_s > 0
            if len(self._wrong) >= KEPT_MAX:
                self._wrong.pop(next(iter(self._wrong)))
            self._wrong[who] = (tries, last) if refused else (tries + 1, now)
        if refused:
            raise TooOften(left_s)

    def right(self, who: str) -> None:
        """It was a good code, or none at all: the slate is clean."""
        with self._lock:
            self._wrong.pop(who, None)
