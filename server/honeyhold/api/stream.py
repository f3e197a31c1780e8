"""A stream that says there is something, never what. There are only so many places, a device has few of them, and it ends by itself."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator

from flask import Blueprint, Response, request

from honeyhold.api.access import of_the_house, still_needed, the_device, the_house
from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House

door = Blueprint("stream", __name__)

EXTENSION = "streams"
LASTS_S = 55
HEARTBEAT_S = 15
PER_DEVICE_MAX = 2
"""One is listened to, and one may be left over from a network that the device has gone from."""
MEDIA_TYPE = "text/event-stream"


class NoPlace(HoneyholdError, RuntimeError):
    """As many streams are open as the house can hold."""

    code = "no-place"
    status = 503

    def __init__(self) -> None:
        super().__init__("All places for listening are taken.", "Ask again by the minute; nothing is lost.")
        self.wait_s = 30


class AllPlaces:
    """How many streams there may be of all houses together."""

    def __init__(self, most: int) -> None:
        self._most, self._open = most, 0
        self._lock = threading.Lock()

    def take(self) -> None:
        """Raises `NoPlace` when none is free."""
        with self._lock:
            if self._open >= self._most:
                raise NoPlace
            self._open += 1

    def leave(self) -> None:
        """One is free again."""
        with self._lock:
            self._open -= 1

    def open(self) -> int:
        """How many are taken."""
        with self._lock:
            return self._open


class Places:
    """So many streams and no more. A device that wants one too many loses its oldest, which it has most likely gone away from."""

    def __init__(self, most: int, of_all: AllPlaces | None = None) -> None:
        self._most = most
        self._of_all = of_all or AllPlaces(most + PER_DEVICE_MAX)
        self._lock = threading.Lock()
        self._taken: list[Stream] = []

    def take(self, stream: Stream) -> None:
        """Raises `NoPlace` when none is free."""
        with self._lock:
            own = [one for one in self._taken if one.device == stream.device]
            if len(own) >= PER_DEVICE_MAX:
                self._leave(own[0])
                own[0].end()
            if len(self._taken) >= self._most:
                raise NoPlace
            self._of_all.take()
            self._taken.append(stream)

    def open(self) -> int:
        """How many are taken."""
        with self._lock:
            return len(self._taken)

    def leave(self, stream: Stream) -> None:
        """Gives the place back; once more does nothing."""
        with self._lock:
            if stream in self._taken:
                self._leave(stream)

    def end(self) -> None:
        """All end: the house goes."""
        with self._lock:
            taken = list(self._taken)
        for stream in taken:
            stream.end()

    def _leave(self, stream: Stream) -> None:
        self._taken.remove(stream)
        self._of_all.leave()


class Stream:
    """The body of the answer. A server that can wait without a thread asks `first` and `next`; any other goes through it."""

    def __init__(self, house: House, device: str, places: Places) -> None:
        self.device = device
        self._when_over: Callable[[], None] = lambda: None
        self._house = house
        self._places = places
        self._until = time.monotonic() + LASTS_S
        self._position = house.position()
        self._over = False
        self._bells: list[Callable[[], None]] = []

    def when_over(self, then: Callable[[], None]) -> None:
        """`then` is called once, when nobody listens any more."""
        self._when_over = then

    def first(self) -> bytes:
        """Where the records stand."""
        return f"retry: 2000\n{self._news()}".encode()

    def next(self, rang: bool) -> bytes:
        """News, also of what landed before the bell was listened to; otherwise a sign of life."""
        before, self._position = self._position, self._house.news.position
        return self._news().encode() if rang or self._position != before else b": still here\n\n"

    def wait_s(self) -> float:
        """How long the bell is waited for; nothing when the stream is at its end."""
        return 0.0 if self._over else min(HEARTBEAT_S, self._until - time.monotonic())

    def listen(self, bell: Callable[[], None]) -> Callable[[], None]:
        """`bell` is called at news and at the end; what is returned stops that."""
        self._bells.append(bell)
        return self._house.news.listen(bell)

    def end(self) -> None:
        """The device has a newer one, or the house goes."""
        self._over = True
        for bell in self._bells:
            bell()

    def close(self) -> None:
        """Nobody listens any more."""
        self._over = True
        self._places.leave(self)
        when_over, self._when_over = self._when_over, lambda: None
        when_over()

    def __iter__(self) -> Iterator[bytes]:
        yield self.first()
        while (wait_s := self.wait_s()) > 0:
            rings = self._house.news.rings
            self._house.wait_for_news(self._position, wait_s)
            yield self.next(self._house.news.rings != rings)

    def _news(self) -> str:
        return f'data: {{"position": {self._position}}}\n\n'


@door.get("/api/stream")
def stream() -> Response:
    """Server-sent events: `data: {"position": n}` whenever something landed."""
    device = the_device()
    places: Places = of_the_house(EXTENSION)
    answer = Response(content_type=MEDIA_TYPE, direct_passthrough=True)
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["X-Accel-Buffering"] = "no"
    if request.method != "HEAD":  # an answer without a body is never closed, and would hold its place for good
        body = Stream(the_house(), device["id"], places)
        places.take(body)
        body.when_over(still_needed())
        answer.response = body
    return answer
