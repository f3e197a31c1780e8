"""A stream that says there is something, never what. It holds a thread, so there are few places, and it ends by itself."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

from flask import Blueprint, Response, current_app

from honeyhold.api.access import the_device, the_house
from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House

door = Blueprint("stream", __name__)

LASTS_S = 55
HEARTBEAT_S = 15


class NoPlace(HoneyholdError, RuntimeError):
    """As many streams are open as the house can hold."""

    code = "no-place"
    status = 503

    def __init__(self) -> None:
        super().__init__("All places for listening are taken.", "Ask again by the minute; nothing is lost.")
        self.wait_s = 30


class Places:
    """So many streams and no more: the rest of the threads stay free for everybody else."""

    def __init__(self, most: int) -> None:
        self._free = threading.BoundedSemaphore(most)

    def take(self) -> None:
        """Raises `NoPlace` when none is free."""
        if not self._free.acquire(blocking=False):
            raise NoPlace

    def leave(self) -> None:
        """Gives the place back."""
        self._free.release()


@door.get("/api/stream")
def stream() -> Response:
    """Server-sent events: `data: {"position": n}` whenever something landed."""
    the_device()
    places: Places = current_app.extensions["streams"]
    places.take()
    answer = Response(_events(the_house(), time.monotonic() + LASTS_S), content_type="text/event-stream")
    answer.call_on_close(places.leave)
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["X-Accel-Buffering"] = "no"
    return answer


def _events(house: House, until: float) -> Iterator[str]:
    position = house.position()
    yield f'retry: 2000\ndata: {{"position": {position}}}\n\n'
    while (left_s := until - time.monotonic()) > 0:
        rings, before = house.news.rings, position
        position = house.wait_for_news(position, min(HEARTBEAT_S, left_s))
        if position != before or house.news.rings != rings:  # it may have landed before we listened for the bell
            yield f'data: {{"position": {position}}}\n\n'
        else:
            yield ": still here\n\n"
