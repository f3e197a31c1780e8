"""An application of WSGI (PEP 3333), called in a thread: a request in, the beginning of an answer out."""

from __future__ import annotations

import io
import logging
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Protocol, runtime_checkable
from urllib.parse import unquote_to_bytes, urlsplit

import h11

from honeyhold.api.problems import problem

Application = Callable[[dict[str, Any], Any], Iterable[bytes]]
Headers = list[tuple[str, str]]

AT_ONCE_BYTES = 256 * 1024
"""So much of an answer is fetched from the application at a time."""

log = logging.getLogger("honeyhold")


@runtime_checkable
class Live(Protocol):
    """A body that waits for news: the server can wait for it without a thread."""

    def first(self) -> bytes:
        """What is said at once."""

    def next(self, rang: bool) -> bytes:
        """What is said when the bell rang, or when nothing came for `wait_s`."""

    def wait_s(self) -> float:
        """How long to wait for the bell; at most 0 when the stream is at its end."""

    def listen(self, bell: Callable[[], None]) -> Callable[[], None]:
        """`bell` is called, from any thread, at news; what is returned stops that."""

    def close(self) -> None:
        """It is over."""


def _nothing() -> None:
    """What is over needs no more."""


@dataclass
class Answer:
    """What the application said so far."""

    status: int
    reason: str
    headers: Headers
    body: bytes = b""
    live: Live | None = None
    rest: Iterator[bytes] | None = None
    """What is not fetched yet."""
    close: Callable[[], None] = _nothing


@dataclass(frozen=True)
class Place:
    """Where a request came in."""

    name: str
    port: int
    secure: bool
    client: str


def environment(request: h11.Request, body: bytes, length: int, place: Place) -> dict[str, Any]:
    """The environment of PEP 3333. `length` is what the client said its body has, also where it was too long to be taken in."""
    target, place_named = request.target.decode("latin-1"), ""
    if not target.startswith("/"):  # absolute form, RFC 9112 section 3.2.2; or the asterisk of OPTIONS
        parts = urlsplit(target)
        place_named = parts.netloc
        target = f"{parts.path or '/'}{'?' + parts.query if parts.query else ''}" if parts.scheme else target
    path, _, query = target.partition("?")
    made: dict[str, Any] = {
        "REQUEST_METHOD": request.method.decode("latin-1"), "SCRIPT_NAME": "", "PATH_INFO": unquote_to_bytes(path).decode("latin-1"),
        "QUERY_STRING": query, "SERVER_NAME": place.name, "SERVER_PORT": str(place.port), "REMOTE_ADDR": place.client,
        "SERVER_PROTOCOL": f"HTTP/{request.http_version.decode('latin-1')}",
        "wsgi.version": (1, 0), "wsgi.url_scheme": "https" if place.secure else "http", "wsgi.input": io.BytesIO(body),
        "wsgi.errors": sys.stderr, "wsgi.multithread": True, "wsgi.multiprocess": False, "wsgi.run_once": False,
    }  # fmt: skip
    for name, value in request.headers:
        _add_header(made, name.decode("latin-1"), value.decode("latin-1"))
    if place_named:
        made["HTTP_HOST"] = place_named  # over what the header says: RFC 9112, section 3.2.2
    made.pop("HTTP_CONTENT_LENGTH", None)
    made["CONTENT_TYPE"] = made.pop("HTTP_CONTENT_TYPE", "")
    made["CONTENT_LENGTH"] = str(length) if length or body else ""
    return made


def _add_header(made: dict[str, Any], name: str, value: str) -> None:
    if "_" in name:
        return  # it would pass for the header that has a dash there
    key = f"HTTP_{name.upper().replace('-', '_')}"
    made[key] = f"{made[key]}{'; ' if key == 'HTTP_COOKIE' else ', '}{value}" if key in made else value


def begin(application: Application, environ: dict[str, Any]) -> Answer:
    """Calls the application and fetches the beginning of its answer; an application that fails has said 500."""
    said: list[Any] = []

    def start_response(status: str, headers: Headers, _exc_info: Any = None) -> Callable[[bytes], None]:
        said[:] = [status, headers]
        return lambda _data: None

    try:
        body = application(environ, start_response)
        if isinstance(body, Live):
            return Answer(*_status(said), live=body, close=body.close)
        return fetch(_answer(said, body))
    except Exception:
        log.exception("An answer failed")
        return refusal(500, "mistake", "The main computer made a mistake; nothing of this request was kept.", "")


def _answer(said: list[Any], body: Iterable[bytes]) -> Answer:
    rest = iter(body)
    first = next(rest, b"")  # an application may say its status as late as this
    return Answer(*_status(said), body=first, rest=rest, close=getattr(body, "close", _nothing))


def _status(said: list[Any]) -> tuple[int, str, Headers]:
    number, _, reason = str(said[0]).partition(" ")
    return int(number), reason, said[1]


def fetch(answer: Answer) -> Answer:
    """The same answer with as much of its rest as is sent at a time; without a rest when there is no more, and closed then."""
    parts, size = [answer.body], len(answer.body)
    while answer.rest is not None and size < AT_ONCE_BYTES:
        part = next(answer.rest, None)
        if part is None:
            answer.rest = None
            answer.close()  # here, in a thread, where it may wait
            answer.close = _nothing
        else:
            parts.append(part)
            size += len(part)
    answer.body = b"".join(parts)
    return answer


def refusal(status: int, code: str, detail: str, remedy: str) -> Answer:
    """A problem that the server itself tells, in the shape of all others."""
    made = problem(code, status, detail, remedy)
    return Answer(status, made.status.partition(" ")[2], list(made.headers.items()), made.get_data())
