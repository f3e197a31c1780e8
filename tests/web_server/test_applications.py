"""What an application is told and may say (PEP 3333), and what the server makes of it on the line (RFC 9110 and 9112)."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from typing import Any

import h11
import pytest

from honeyhold.app.web_server import LIMITS, Limits
from honeyhold.app.web_server.wsgi import AT_ONCE_BYTES, Answer, Place, environment, fetch
from web_server.serving import HELLO, LAST_HELLO, Application, line_to, one_answer, rest_of, serving, warned

HERE = Place("localhost", 8471, False, "192.0.2.7")
ASKED = {
    "REQUEST_METHOD": "GET", "SCRIPT_NAME": "", "PATH_INFO": "/a", "QUERY_STRING": "", "SERVER_NAME": "localhost", "SERVER_PORT": "8471",
    "REMOTE_ADDR": "192.0.2.7", "SERVER_PROTOCOL": "HTTP/1.1", "HTTP_HOST": "x", "CONTENT_TYPE": "", "CONTENT_LENGTH": "",
    "wsgi.version": (1, 0), "wsgi.url_scheme": "http", "wsgi.multithread": True, "wsgi.multiprocess": False, "wsgi.run_once": False,
    "said": b"",
}  # fmt: skip
"""Of the plainest request."""


def told(target: str, *more: tuple[str, str], body: bytes = b"", length: int = 0, place: Place = HERE) -> dict[str, Any]:
    """What an application hears of a request."""
    request = h11.Request(method=b"GET", target=target.encode(), headers=[("Host", "x"), *more], http_version=b"1.1")
    heard = environment(request, body, length, place)
    assert heard.pop("wsgi.errors") is sys.stderr
    said = heard.pop("wsgi.input").read()
    return {**heard, "said": said}


@pytest.mark.parametrize(
    ("heard", "otherwise"),
    [
        (told("/a"), {}),
        (told("/a?b=c?d&e"), {"QUERY_STRING": "b=c?d&e"}),
        (told("/a", place=Place("localhost", 443, True, "::1")), {"wsgi.url_scheme": "https", "SERVER_PORT": "443", "REMOTE_ADDR": "::1"}),
        (told("http://y:1?b"), {"PATH_INFO": "/", "QUERY_STRING": "b", "HTTP_HOST": "y:1"}),
        (told("http://y/a"), {"HTTP_HOST": "y"}),
        (told("*"), {"PATH_INFO": "*"}),
        (told("/a", ("Cookie", "a=1"), ("Cookie", "b=2"), ("Via", "1"), ("Via", "2")), {"HTTP_COOKIE": "a=1; b=2", "HTTP_VIA": "1, 2"}),
        (told("/a", ("Content-Type", "a/b"), ("Content-Length", "2"), body=b"ab", length=2),
         {"CONTENT_TYPE": "a/b", "CONTENT_LENGTH": "2", "said": b"ab"}),
        (told("/a", ("Content-Length", "900"), length=900), {"CONTENT_LENGTH": "900"}),
    ],
)  # fmt: skip
def test_an_application_hears_all_that_the_standard_names(heard: dict[str, Any], otherwise: dict[str, Any]) -> None:
    assert heard == {**ASKED, **otherwise}


class Says:
    """An application that says one thing; `closed`: how often it was told that it is over."""

    def __init__(self, status: str, *headers: tuple[str, str], parts: tuple[bytes, ...] = (b"said",)) -> None:
        self.status, self.headers, self.parts, self.closed = status, list(headers), parts, 0

    def __call__(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> Says:
        start_response(self.status, self.headers)
        return self

    def __iter__(self) -> Iterator[bytes]:
        yield from self.parts

    def close(self) -> None:
        self.closed += 1


@pytest.mark.parametrize(
    ("method", "parts"),
    [("GET", ()), ("GET", (b"said",)), ("GET", (b"", b"said")), ("HEAD", (b"said",)), ("GET", (b"x" * AT_ONCE_BYTES,) * 3),
     ("HEAD", (b"x" * AT_ONCE_BYTES,) * 3)],
)  # fmt: skip
def test_whatever_was_said_is_over_once(method: str, parts: tuple[bytes, ...]) -> None:
    """PEP 3333: whoever calls the application closes what it returned, whole or not."""
    application = Says("200 OK", parts=parts)
    with serving(application, LIMITS) as (_, port, _files), line_to(port) as line:
        line.sendall(LAST_HELLO.replace(b"GET", method.encode()))
        said = rest_of(line).partition(b"\r\n\r\n")[2]
        assert said.count(b"x") == (len(b"".join(parts)) if method == "GET" and b"said" not in parts else 0)
    assert application.closed == 1


def test_how_a_line_is_kept_is_for_the_server_to_say_and_the_rest_for_the_application() -> None:
    kept = [("Date", "Sat, 24 Jul 2027 15:00:00 GMT"), ("Content-Length", "4"), ("X-One", "1")]
    application = Says("201 Made", ("Connection", "close"), ("Transfer-Encoding", "chunked"), *kept)
    with serving(application, LIMITS) as (_, port, _files), line_to(port) as line:
        for _ in range(2):
            line.sendall(HELLO)
            status, headers, body = one_answer(line)
            assert (status, body) == (201, b"said")
            assert headers == {name.lower(): value for name, value in kept}


@pytest.mark.parametrize("status", ["204 No Content", "304 Not Modified"])
def test_an_answer_that_has_no_body_is_followed_by_the_next_answer(status: str) -> None:
    """RFC 9110, 15.3.5 and 15.4.5: whatever the application gives with it would be read as the beginning of what follows."""
    with serving(Says(status, ("ETag", '"1"')), LIMITS) as (_, port, _files), line_to(port) as line:
        for close in (b"", b"Connection: close\r\n"):
            line.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n" + close + b"\r\n")
        said = rest_of(line)
    assert said.count(b"HTTP/1.1 " + status.encode()) == 2 and b"said" not in said and b"ength" not in said


def test_what_cannot_be_written_ends_its_line_and_no_other(caplog: pytest.LogCaptureFixture) -> None:
    with serving(Says("200 OK", ("X-One", "a\nX-Two: b")), LIMITS) as (server, port, _files):
        for _ in range(2):
            with line_to(port) as line:
                line.sendall(HELLO)
                assert rest_of(line) == b""
    assert server.crowd.connections() == []
    assert warned(caplog) == ["An answer could not be written"] * 2


@pytest.mark.parametrize(
    ("said", "length"),
    [
        (b"Content-Length: 2000\r\n\r\n" + b"a" * 2000, 2000),
        (b"Content-Length: 999\r\n\r\n" + b"a" * 999, 999),
        (b"Transfer-Encoding: chunked\r\n\r\n3e8\r\n" + b"a" * 1000 + b"\r\n", 1000),
    ],
)
def test_of_a_body_that_is_too_long_the_application_hears_how_long_it_was(said: bytes, length: int) -> None:
    """And the line ends with its answer, which comes whole: RFC 9112, 9.6."""
    with serving(Application(), Limits(threads=1, body_bytes=999)) as (_, port, _files), line_to(port) as line:
        line.sendall(b"POST /hello HTTP/1.1\r\nHost: x\r\n" + said)
        status, headers, body = one_answer(line)
        whole = json.loads(body)
        assert (status, whole["CONTENT_LENGTH"], whole["body"]) == (200, str(length), "a" * length if length < 1000 else "")
        assert headers.get("connection") == (None if length < 1000 else "close")
        if length > 999:
            assert rest_of(line) == b""


@pytest.mark.parametrize(
    ("begun", "parts", "taken", "left"),
    [
        (0, [AT_ONCE_BYTES - 1, 1, 7], 2, True), (0, [AT_ONCE_BYTES, 7], 1, True), (0, [AT_ONCE_BYTES - 1, 7], 2, True),
        (AT_ONCE_BYTES, [7], 0, True), (AT_ONCE_BYTES - 1, [], 0, False), (3, [4, 0, 5], 3, False), (0, [], 0, False),
    ],
)  # fmt: skip
def test_no_more_of_an_answer_is_fetched_at_a_time_than_is_sent(begun: int, parts: list[int], taken: int, left: bool) -> None:
    """So a long one costs no more memory than that and one part; where there is no more it is over, and closed once."""
    given: list[int] = []
    closed: list[bool] = []

    def said() -> Iterator[bytes]:
        for length in parts:
            given.append(length)
            yield b"x" * length

    answer = fetch(Answer(200, "OK", [], b"x" * begun, rest=said(), close=lambda: closed.append(True)))
    assert given == parts[:taken] and len(answer.body) == begun + sum(given) and (answer.rest is not None) == left
    answer.close()
    assert closed == [True]
