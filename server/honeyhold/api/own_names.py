"""Under which names the house answers. A page elsewhere whose name is made to point here (DNS rebinding) is not let in as ours."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable
from typing import Final

from flask import Flask, request

from honeyhold.api.introduction import own_names
from honeyhold.errors import HoneyholdError

ALWAYS: Final = frozenset({"localhost", "127.0.0.1", "[::1]"})
LOOK_AGAIN_S: Final = 5.0
"""The machine's address may change while the house runs; an unknown name makes it look again, not more often than this."""


class NotOurName(HoneyholdError, ValueError):
    """The request names a host that is not this house."""

    code = "not-our-name"
    status = 421

    def __init__(self, name: str) -> None:
        super().__init__(
            f"This house is not called {name[:80]!r}.",
            "Open it by the address that it printed when it started. If it has another name of its own, start it with --known-as NAME.",
        )


class OwnNames:
    """The names of this machine, read again when an unknown one is heard. Safe among threads."""

    def __init__(self, also: Iterable[str] = (), found: Callable[[], Iterable[str]] = own_names) -> None:
        self._also = ALWAYS | {name.lower() for name in also}
        self._found = found
        self._lock = threading.Lock()
        self._known: frozenset[str] = frozenset()
        self._looked_at: float | None = None

    def hold(self, name: str) -> bool:
        """Whether the house answers under this name."""
        return name in self._also or name in self._known or name in self._looked_up()

    def _looked_up(self) -> frozenset[str]:
        with self._lock:
            now = time.monotonic()
            if self._looked_at is None or now - self._looked_at > LOOK_AGAIN_S:
                self._known, self._looked_at = frozenset(name.lower() for name in self._found()), now
            return self._known


def name_in(host: str) -> str:
    """The name in a Host header (RFC 9110, section 7.2): without the port, in small letters."""
    name = host.strip().lower()
    if not name.endswith("]"):
        head, colon, port = name.rpartition(":")
        name = head if colon and (not port or (port.isascii() and port.isdigit())) else name
    return name.removesuffix(".")


def only_under(app: Flask, names: OwnNames) -> None:
    """Every request must name the house by one of its own names; raises `NotOurName` before any door is asked."""

    @app.before_request
    def check_host() -> None:
        name = name_in(request.environ.get("HTTP_HOST", ""))
        if not names.hold(name):
            raise NotOurName(name)
