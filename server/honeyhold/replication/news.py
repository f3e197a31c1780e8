"""Tells waiting streams that something landed; nothing of what it is."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable


class News:
    """The last landed position and a bell; streams wait for the bell."""

    def __init__(self, position: int) -> None:
        self._condition = threading.Condition(threading.RLock())
        self._position = position
        self._rings = 0
        self._bells: list[Callable[[], None]] = []
        self.tell: Callable[[int], None] = lambda _position: None
        """Called after every ring that began here: where other processes serve the house too, they ring as well."""

    @property
    def position(self) -> int:
        """The last landed position."""
        with self._condition:
            return self._position

    @property
    def rings(self) -> int:
        """How often the bell has rung: a stream tells a ring from a time that ran out by it."""
        with self._condition:
            return self._rings

    def ring(self, position: int) -> None:
        """Something landed, or a device is asked for something back."""
        self.ring_here(position)
        self.tell(position)

    def ring_here(self, position: int) -> None:
        """Another process told so."""
        with self._condition:
            self._ring(max(self._position, position))

    def reset(self, position: int) -> None:
        """The records were put back to an earlier position."""
        self._ring(position)

    def listen(self, bell: Callable[[], None]) -> Callable[[], None]:
        """`bell` is called at every ring, by whoever rings: it must not wait. What is returned ends that."""
        with self._condition:
            self._bells.append(bell)

        def stop() -> None:
            with self._condition:
                self._bells.remove(bell)

        return stop

    def _ring(self, position: int) -> None:
        with self._condition:
            self._position = position
            self._rings += 1
            self._condition.notify_all()
            for bell in self._bells:
                bell()

    def wait(self, after: int, seconds: float) -> int:
        """Waits until the position is past `after` or the bell rings or the time is up; the position then."""
        until = time.monotonic() + seconds
        with self._condition:
            rings = self._rings
            while self._position <= after and self._rings == rings:
                left = until - time.monotonic()
                if left <= 0:
                    break
                self._condition.wait(left)
            return self._position
