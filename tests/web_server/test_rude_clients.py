"""Clients that say nothing, too little, too much or too many things at once: they are shown out, and nobody waits for them.

Numbers are small, and every wait is for a state: an answer, or a line that the server closed.
"""

from __future__ import annotations

import asyncio
import socket
import threading
from contextlib import ExitStack
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from honeyhold.api.app import BODY_BYTES_MAX
from honeyhold.app.web_server import Limits
from honeyhold.app.web_server.crowd import Room
from honeyhold.app.web_server.reading import READ_BYTES, Reader
from web_server.serving import HELLO, LAST_HELLO, PATIENCE_S, Application, line_to, one_answer, rest_of, serving

NEVER_S = 600.0
"""A limit that plays no part in a test."""
PATIENT = {"handshake_s": NEVER_S, "first_byte_s": NEVER_S, "head_s": NEVER_S, "body_s": NEVER_S, "kept_open_s": NEVER_S}


@pytest.mark.parametrize("secure", [False, True])
@pytest.mark.parametrize("said", [b"", b"GET /he", b"POST /hello HTTP/1.1\r\nHost: x\r\nContent-Length: 90\r\n\r\n{"])
def test_many_that_never_finish_keep_nobody_waiting(said: bytes, secure: bool, tmp_path: Path) -> None:
    """Ten times as many as there are threads, none of them given up by the server: an honest client is answered all the same."""
    application = Application()
    with serving(application, Limits(threads=1, **PATIENT), tmp_path if secure else None) as (_, port, files), ExitStack() as rude:
        for _ in range(10):
            line = rude.enter_context(line_to(port, files))
            line.sendall(said)
        with line_to(port, files) as honest:
            honest.sendall(HELLO)
            assert one_answer(honest)[0] == 200
        assert application.asked == ["/hello"]


def test_nobody_waits_for_a_handshake_that_never_begins(tmp_path: Path) -> None:
    """A phone that leaves the network in the middle of it."""
    with serving(Application(), Limits(threads=1, **PATIENT), tmp_path) as (_, port, files), ExitStack() as rude:
        for _ in range(10):
            line = rude.enter_context(socket.create_connection(("127.0.0.1", port), PATIENCE_S))
        line.sendall(b"\x16\x03\x01\x02\x00")  # the beginning of a ClientHello, RFC 8446 section 5.1, and no more
        with line_to(port, files) as honest:
            honest.sendall(HELLO)
            assert one_answer(honest)[0] == 200


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (b"", b""),
        (b"GET /hello HTTP/1.1\r\nHo", b"408"),
        (b"POST /hello HTTP/1.1\r\nHost: x\r\nContent-Length: 90\r\n\r\n{", b"408"),
        (b"POST /hello HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nab", b"408"),
    ],
)
def test_who_does_not_finish_in_time_is_shown_out(said: bytes, told: bytes) -> None:
    application, quick = Application(), {"first_byte_s": NEVER_S if said else 0.05, "head_s": 0.05, "body_s": 0.05}
    with serving(application, Limits(threads=1, body_bytes_per_s=1000, **quick)) as (_, port, _files), line_to(port) as line:
        line.sendall(said)
        answered = rest_of(line)
        assert answered.split(b" ")[1:2] == ([told] if told else [])
        assert application.asked == []


def test_a_handshake_that_is_not_done_in_time_is_given_up(tmp_path: Path) -> None:
    with (
        serving(Application(), Limits(threads=1, handshake_s=0.05), tmp_path) as (_, port, _files),
        socket.create_connection(("127.0.0.1", port), PATIENCE_S) as line,
    ):
        assert rest_of(line) == b""


def test_one_drop_at_a_time_gains_no_time() -> None:
    """The time for the headers runs from their first byte, not from their last."""
    application = Application()
    with serving(application, Limits(threads=1, head_s=0.3)) as (_, port, _files), line_to(port) as line:
        line.sendall(b"GET /hello HTTP/1.1\r\nHost: x\r\n")
        told = threading.Event()

        def drip() -> None:
            while not told.wait(0.02):
                try:
                    line.sendall(b"X: 1\r\n")
                except OSError:
                    return

        dripping = threading.Thread(target=drip)
        dripping.start()
        answered = rest_of(line)
        told.set()
        dripping.join(PATIENCE_S)
        assert answered == b"" or answered.startswith(b"HTTP/1.1 408")
        assert application.asked == []


@pytest.mark.parametrize("said", [b"GET /" + b"a" * 9000, b"GET / HTTP/1.1\r\nHost: x\r\nX: " + b"a" * 9000])
def test_a_huge_head_is_refused_before_it_is_there(said: bytes) -> None:
    with serving(Application(), Limits(threads=1, head_bytes=4096, **PATIENT)) as (_, port, _files), line_to(port) as line:
        line.sendall(said)
        answered = rest_of(line)
        assert answered.startswith(b"HTTP/1.1 431 ") and b"application/problem+json" in answered
        assert b"\r\nconnection: close\r\n" in answered.lower()


@pytest.mark.parametrize("said", [b"\x16\x03\x01", b"GET / HTTP/1.1\r\n\r\n", b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
                                  b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nx",
                                  b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n\r\n"])  # fmt: skip
def test_what_is_no_http_is_said_to_be_none(said: bytes) -> None:
    application = Application()
    with serving(application, Limits(threads=1, **{**PATIENT, "head_s": 0.05})) as (_, port, _files), line_to(port) as line:
        line.sendall(said + b"\r\n\r\n")
        assert rest_of(line).split(b" ")[1] in {b"400", b"408"}
        assert application.asked == []


def test_of_one_address_the_oldest_silent_line_makes_room_for_a_new_one() -> None:
    with serving(Application(), Limits(threads=1, connections_per_address=3, **PATIENT)) as (server, port, _files), ExitStack() as lines:
        first, *others = [lines.enter_context(line_to(port)) for _ in range(3)]
        newest = lines.enter_context(line_to(port))
        assert rest_of(first) == b""
        for line in [*others, newest]:
            line.sendall(HELLO)
            assert one_answer(line)[0] == 200
        assert len(server.crowd.connections()) == 3


def test_an_answer_that_is_worked_on_makes_room_for_nobody() -> None:
    application = Application()
    with serving(application, Limits(threads=1, connections_per_address=1, **PATIENT)) as (_, port, _files), line_to(port) as asking:
        asking.sendall(HELLO.replace(b"/hello", b"/held"))
        assert application.reached.acquire(timeout=PATIENCE_S)
        with line_to(port) as newcomer:
            assert rest_of(newcomer) == b""
        application.let_go.set()
        assert one_answer(asking)[0] == 200


def test_when_all_places_are_taken_whoever_has_most_makes_room() -> None:
    limits = Limits(threads=1, connections=4, connections_per_address=4, **PATIENT)
    with serving(Application(), limits) as (_, port, _files), ExitStack() as lines:
        greedy = [lines.enter_context(socket.create_connection(("127.0.0.1", port), PATIENCE_S, ("127.0.0.2", 0))) for _ in range(3)]
        honest = [lines.enter_context(line_to(port)) for _ in range(2)]
        assert rest_of(greedy[0]) == b""
        for line in honest:
            line.sendall(HELLO)
            assert one_answer(line)[0] == 200


def test_one_address_leaves_threads_to_the_others() -> None:
    application = Application()
    with serving(application, Limits(threads=2, at_work_per_address=1, **PATIENT)) as (_, port, _files), ExitStack() as lines:
        greedy = [lines.enter_context(socket.create_connection(("127.0.0.1", port), PATIENCE_S, ("127.0.0.2", 0))) for _ in range(3)]
        for line in greedy:
            line.sendall(HELLO.replace(b"/hello", b"/held"))
        assert application.reached.acquire(timeout=PATIENCE_S)
        with line_to(port) as honest:
            honest.sendall(HELLO)
            assert one_answer(honest)[0] == 200
        assert application.asked == ["/held", "/hello"]
        application.let_go.set()
        assert [one_answer(line)[0] for line in greedy] == [200, 200, 200]


def test_large_bodies_on_their_way_are_bounded() -> None:
    """What is held for one address is refused beyond its measure, and free again once it is answered."""
    limits = Limits(threads=1, small_body_bytes=10, waiting_bytes_per_address=100, **PATIENT)
    head = b"POST /hello HTTP/1.1\r\nHost: x\r\nContent-Length: 80\r\n\r\n"
    with serving(Application(), limits) as (_, port, _files), line_to(port) as half, line_to(port) as whole, line_to(port) as small:
        half.sendall(head + b"a" * 60)
        small.sendall(HELLO)
        assert one_answer(small)[0] == 200  # by now the other's sixty bytes have come, too
        whole.sendall(head + b"a" * 80)
        assert one_answer(whole)[0] == 503
        half.sendall(b"a" * 20)
        assert one_answer(half)[0] == 200
        half.sendall(head + b"a" * 80)
        assert one_answer(half)[0] == 200


def test_the_room_for_a_body_that_broke_off_is_free_again() -> None:
    limits = Limits(threads=1, small_body_bytes=10, waiting_bytes_per_address=100, **PATIENT)
    head = b"POST /hello HTTP/1.1\r\nHost: x\r\nContent-Length: 80\r\n\r\n"
    with serving(Application(), limits) as (server, port, _files):
        for _ in range(3):
            with line_to(port) as gone:
                gone.sendall(head + b"a" * 60)
                gone.shutdown(socket.SHUT_WR)
                assert rest_of(gone).startswith(b"HTTP/1.1 400 ")
        with line_to(port) as whole:
            whole.sendall(head + b"a" * 80)
            assert one_answer(whole)[0] == 200
    assert not server.room._by_address


@pytest.mark.parametrize(("parts", "held"), [
    ((4, 6), {}), ((4, 6, 1), {"a": 11}), ((4, 6, 1, 30), {"a": 41}), ((4, 40), {"a": 44}), ((11,), {"a": 11}), ((11, 1), {"a": 12}),
])  # fmt: skip
def test_of_a_body_that_becomes_large_all_of_it_counts(parts: tuple[int, ...], held: dict[str, int]) -> None:
    """What came before it was, too; so that nothing is left over once all of it is given back."""
    with serving(Application(), Limits(threads=1, small_body_bytes=10, **PATIENT)) as (server, _port, _files):
        nothing: Any = None
        reader = Reader(nothing, nothing, nothing, server, "a")
        before = 0
        for more in parts:
            reader._take_room(before, more)
            before += more
        assert dict(server.room._by_address) == held
        reader.give_back(before)
        assert dict(server.room._by_address) == {}


def test_a_line_that_was_answered_and_asks_nothing_more_is_closed() -> None:
    """Its time is another than that of a line that has said nothing yet."""
    limits = Limits(threads=1, **{**PATIENT, "kept_open_s": 0.05})
    with serving(Application(), limits) as (_, port, _files), line_to(port) as line:
        line.sendall(HELLO)
        assert one_answer(line)[0] == 200 and rest_of(line) == b""


def test_whoever_has_had_a_turn_at_work_is_forgotten() -> None:
    with serving(Application(), Limits(threads=1, **PATIENT)) as (server, port, _files):
        for _ in range(3):
            with line_to(port) as line:
                line.sendall(LAST_HELLO)
                assert b"HTTP/1.1 200" in rest_of(line)
        assert server._turns == {}


def test_small_bodies_take_nothing_of_the_room_for_large_ones() -> None:
    """However many there were."""
    limits = Limits(threads=1, small_body_bytes=10, waiting_bytes_per_address=20, **PATIENT)
    small = b"POST /hello HTTP/1.1\r\nHost: x\r\nContent-Length: 10\r\n\r\n" + b"a" * 10
    with serving(Application(), limits) as (_, port, _files), line_to(port) as line:
        for _ in range(25):
            line.sendall(small)
            assert one_answer(line)[0] == 200


def test_a_reader_that_takes_nothing_in_holds_no_thread(tmp_path: Path) -> None:
    application = Application()
    with serving(application, Limits(threads=1, write_s=NEVER_S)) as (_, port, _files), ExitStack() as lines:
        for _ in range(4):
            lines.enter_context(line_to(port)).sendall(HELLO.replace(b"/hello", b"/endless"))
        with line_to(port) as honest:
            honest.sendall(HELLO)
            assert one_answer(honest)[0] == 200


def test_a_reader_that_takes_nothing_in_is_given_up() -> None:
    application = Application()
    with serving(application, Limits(threads=1, write_s=0.05)) as (_, port, _files), line_to(port) as line:
        line.sendall(HELLO.replace(b"/hello", b"/endless"))
        for _ in range(PATIENCE_S * 50):
            if application.closed:
                break
            threading.Event().wait(0.02)
        assert application.closed == 1
        rest_of(line)  # what was on its way, and then the line is closed


def test_four_addresses_have_each_two_of_the_largest_bodies_on_their_way_and_a_fifth_waits() -> None:
    """As the main computer is set up: a photograph or a whole list of people is taken in from several phones at once."""
    room = Room(Limits())
    for address in ("one", "two", "three", "four"):
        assert [room.take(address, BODY_BYTES_MAX) for _ in range(3)] == [True, True, False]
    assert not room.take("five", BODY_BYTES_MAX)
    room.leave("one", BODY_BYTES_MAX)
    assert room.take("five", BODY_BYTES_MAX)


@pytest.mark.parametrize(("parts", "most", "read"), [(4, 2 * READ_BYTES, 2), (4, 2 * READ_BYTES + 1, 3), (1, 2 * READ_BYTES, 1), (2, 0, 0)])
def test_what_is_read_and_forgotten_has_an_end(parts: int, most: int, read: int) -> None:
    """A client that goes on talking after its answer is listened to so far and no further, one that has gone no longer than it talked."""

    async def left() -> int:
        stream = asyncio.StreamReader(limit=parts * READ_BYTES)
        stream.feed_data(b"." * parts * READ_BYTES)
        stream.feed_eof()
        nobody: Any = None
        await Reader(stream, nobody, nobody, cast(Any, SimpleNamespace(limits=Limits(), room=Room(Limits()))), "one").discard(most)
        return len(await stream.read())

    assert asyncio.run(left()) == (parts - read) * READ_BYTES
