"""What an honest client may rely on (RFC 9110 and 9112), and how the server stops."""

from __future__ import annotations

import errno
import http.client
import json
import re
import socket
import threading
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest

from honeyhold.app.web_server import LIMITS, Limits, Server
from web_server.serving import HELLO, LAST_HELLO, PATIENCE_S, Application, line_to, one_answer, rest_of, running, serving, warned

IMF_DATE = re.compile(r"(Mon|Tue|Wed|Thu|Fri|Sat|Sun), \d\d [A-Z][a-z]{2} \d{4} \d\d:\d\d:\d\d GMT")
"""RFC 9110, 5.6.7: the one form of a date that is written."""


def asked(port: int, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None) -> Any:
    """(status, headers, body) by the standard library's own client."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
    line.request(method, path, body, headers or {})
    answer = line.getresponse()
    told = answer.status, answer.headers, answer.read()
    line.close()
    return told


def test_the_application_is_told_what_was_asked() -> None:
    with serving(Application(), LIMITS) as (_, port, _files):
        headers = {"Content-Type": "text/plain", "X-One": "1", "X_One": "forged"}
        status, _, body = asked(port, "POST", "/a%20b/%C3%A9?q=%20", b"said", headers)
        told = json.loads(body)
    assert status == 200 and told["body"] == "said" and told["CONTENT_LENGTH"] == "4" and told["CONTENT_TYPE"] == "text/plain"
    assert told["REQUEST_METHOD"] == "POST" and told["PATH_INFO"] == "/a b/\xc3\xa9" and told["QUERY_STRING"] == "q=%20"
    assert told["HTTP_X_ONE"] == "1" and told["REMOTE_ADDR"] == "127.0.0.1" and told["SERVER_PORT"] == str(port)


@pytest.mark.parametrize("secure", [False, True])
def test_no_answer_waits_for_the_client_to_acknowledge_the_one_before(tmp_path: Path, secure: bool) -> None:
    """Session tickets, head and body are small parts: together with a client that acknowledges late each would wait 40 ms for the last."""
    with serving(Application(), LIMITS, tmp_path if secure else None) as (server, port, files), line_to(port, files) as line:
        line.sendall(HELLO)
        assert one_answer(line)[0] == 200
        (connection,) = server.crowd.connections()
        end = connection._writer.get_extra_info("socket")
        assert end.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


def test_a_whole_address_stands_for_its_path() -> None:
    with serving(Application(), LIMITS) as (_, port, _files), line_to(port) as line:
        line.sendall(b"GET http://elsewhere.example.org/hello?a=1 HTTP/1.1\r\nHost: localhost\r\n\r\n")
        told = json.loads(one_answer(line)[2])
    assert (told["PATH_INFO"], told["QUERY_STRING"], told["HTTP_HOST"]) == ("/hello", "a=1", "elsewhere.example.org")


def test_a_line_is_kept_for_the_next_question_also_for_one_that_came_early() -> None:
    with serving(Application(), LIMITS) as (_, port, _files), line_to(port) as line:
        line.sendall(HELLO + HELLO[:20])
        assert one_answer(line)[0] == 200
        line.sendall(HELLO[20:])
        assert one_answer(line)[0] == 200
        line.sendall(LAST_HELLO)
        assert one_answer(line)[1]["connection"] == "close" and rest_of(line) == b""


def test_a_body_in_pieces_is_one_body() -> None:
    with serving(Application(), LIMITS) as (_, port, _files), line_to(port) as line:
        line.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n")
        line.sendall(b"2\r\nde\r\n0\r\n\r\n")
        told = json.loads(one_answer(line)[2])
    assert told["body"] == "abcde" and told["CONTENT_LENGTH"] == "5"


def test_who_asks_whether_to_go_on_is_told_to() -> None:
    with serving(Application(), LIMITS) as (_, port, _files), line_to(port) as line:
        line.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 3\r\nExpect: 100-continue\r\n\r\n")
        assert line.recv(1000).startswith(b"HTTP/1.1 100 ")
        line.sendall(b"abc")
        assert json.loads(one_answer(line)[2])["body"] == "abc"


def test_a_long_answer_comes_whole_and_its_source_is_closed() -> None:
    application = Application()
    with serving(application, LIMITS) as (_, port, _files):
        status, _, body = asked(port, "GET", "/long")
        assert status == 200 and body == b"x" * 4_000_000 and application.closed == 1
        status, headers, body = asked(port, "HEAD", "/hello")
        assert status == 200 and body == b"" and IMF_DATE.fullmatch(headers["Date"])


def test_an_application_that_fails_has_said_500(caplog: pytest.LogCaptureFixture) -> None:
    with serving(Application(), LIMITS) as (_, port, _files):
        status, headers, body = asked(port, "GET", "/broken")
        assert (status, headers["Content-Type"]) == (500, "application/problem+json")
        assert json.loads(body)["type"] == "urn:honeyhold:mistake"
        assert asked(port, "GET", "/hello")[0] == 200
    assert warned(caplog) == ["An answer failed"]


def test_when_it_stops_what_is_asked_is_answered_and_what_is_half_asked_never_was() -> None:
    application, limits = Application(), Limits(threads=2, farewell_s=PATIENCE_S)
    with serving(application, limits) as (server, port, _files), line_to(port) as held, line_to(port) as half:
        half.sendall(b"POST /half HTTP/1.1\r\nHost: x\r\nContent-Length: 3\r\n\r\nab")
        held.sendall(HELLO.replace(b"/hello", b"/held"))
        assert application.reached.acquire(timeout=PATIENCE_S)
        server.stop()
        assert rest_of(half) == b""
        with pytest.raises(OSError):
            socket.create_connection(("127.0.0.1", port), PATIENCE_S).close()
        application.let_go.set()
        status, headers, _ = one_answer(held)
        assert status == 200 and headers["connection"] == "close" and rest_of(held) == b""
    assert application.asked == ["/held"]


def test_an_answer_that_does_not_come_does_not_keep_it_from_stopping() -> None:
    application = Application()
    with serving(application, Limits(threads=1, farewell_s=0.05)) as (server, port, _files), line_to(port) as held:
        held.sendall(HELLO.replace(b"/hello", b"/held"))
        assert application.reached.acquire(timeout=PATIENCE_S)
        server.stop()
        assert rest_of(held) == b""
    application.let_go.set()


class AtTheDoor(socket.socket):
    """A door whose first so many `refusals` fail. With a `bell` the loop hears that in its place: who knocks waits until asked after."""

    refusals = 0
    bell: socket.socket | None = None
    looked: threading.Event
    """Somebody has looked who is there."""

    def fileno(self) -> int:
        """Of what the loop listens to; of a closed door, its own."""
        return self.bell.fileno() if self.bell and super().fileno() >= 0 else super().fileno()

    def accept(self) -> tuple[socket.socket, Any]:
        """The next that waits. Raises OSError."""
        self.refusals -= 1
        if self.refusals >= 0:
            raise OSError(errno.EMFILE, "Too many open files")
        try:
            return super().accept()
        finally:
            self.looked.set()


def at_the_door(server: Server, application: Application) -> AtTheDoor:
    """A door of the server, before it serves."""
    door = server.open(("127.0.0.1", 0), application)
    door.listening = AtTheDoor(fileno=door.listening.detach())
    door.listening.setblocking(False)
    door.listening.looked = threading.Event()
    return door.listening


def test_whoever_is_at_the_door_when_it_stops_is_let_in_and_answered() -> None:
    """Where another process goes on at this address: the system has given the knock to this one, and nobody else hears it."""
    server, application = Server(Limits(threads=1, last_request_s=0.5, farewell_s=PATIENCE_S)), Application()
    door = at_the_door(server, application)
    nobody, door.bell = socket.socketpair()
    with nobody, door.bell, running(server), ExitStack() as lines:
        assert door.looked.wait(PATIENCE_S)
        waiting = [lines.enter_context(line_to(door.getsockname()[1])) for _ in range(2)]
        for line in waiting:
            line.sendall(HELLO)
        server.stop()
        for line in waiting:
            status, headers, _ = one_answer(line)
            assert (status, headers["connection"]) == (200, "close")


def test_a_door_that_fails_for_a_moment_is_open_the_next(caplog: pytest.LogCaptureFixture) -> None:
    """No socket is left to be had: those that are answered give theirs back."""
    server = Server(Limits(threads=1))
    door = at_the_door(server, Application())
    door.refusals = 2
    with running(server), line_to(door.getsockname()[1]) as line:
        line.sendall(HELLO)
        assert one_answer(line)[0] == 200
    assert warned(caplog) == ["A connection could not be taken: [Errno 24] Too many open files"] * 2


def test_it_may_be_stopped_before_it_serves_and_twice() -> None:
    server = Server(Limits(threads=1))
    server.open(("127.0.0.1", 0), Application())
    server.stop()
    thread = threading.Thread(target=server.serve)
    thread.start()
    server.stop()
    thread.join(PATIENCE_S)
    assert not thread.is_alive()
