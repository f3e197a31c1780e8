"""One connection: request after request is read whole, answered by a thread, and written as fast as the client takes it."""

from __future__ import annotations

import asyncio
import logging
import ssl
from contextlib import suppress
from email.utils import formatdate
from functools import partial
from typing import TYPE_CHECKING, Final

import h11

from honeyhold.app.web_server.reading import Reader, Refused
from honeyhold.app.web_server.wsgi import Answer, Application, Live, Place, begin, environment, fetch

if TYPE_CHECKING:
    from honeyhold.app.web_server.server import Door, Server

LINGER_S: Final = 1.0
LINGER_BYTES: Final = 1 << 20
WAITING, ANSWERING, STREAMING = "waiting", "answering", "streaming"

log = logging.getLogger("honeyhold")


class Connection:
    """`state` tells whoever must make room, or stop, what would be lost: nothing while it is `WAITING`."""

    def __init__(self, server: Server, door: Door, client: str) -> None:
        self.state = WAITING
        self.client = client
        self.ending = asyncio.Event()
        self.task: asyncio.Task[None] | None = None
        self._server = server
        self._door = door
        self._limits = server.limits
        self._protocol = h11.Connection(h11.SERVER, max_incomplete_event_size=server.limits.head_bytes)
        self._writer: asyncio.StreamWriter
        self._reader: Reader

    async def attend(self, streams: tuple[asyncio.StreamReader, asyncio.StreamWriter]) -> None:
        """Answers until the client has gone, breaks the rules or the server stops."""
        self._writer = streams[1]
        self._reader = Reader(streams[0], self._writer, self._protocol, self._server, self.client)
        try:
            while await self._one_request() and not self.ending.is_set():
                self._protocol.start_next_cycle()
                self.state = WAITING
            self._writer.close()
            with suppress(TimeoutError):
                async with asyncio.timeout(LINGER_S):
                    await self._writer.wait_closed()
        except (OSError, TimeoutError, ssl.SSLError, h11.RemoteProtocolError):
            pass  # the client has gone, or does not take in what it asked for
        except Exception:
            log.exception("An answer could not be written")
        finally:
            self._writer.transport.abort()

    async def _one_request(self) -> bool:
        """Whether another may follow on this connection."""
        try:
            request = await self._reader.head()
            if request is None:
                return False
            body, length = await self._reader.body(request)
        except Refused as refused:
            if refused.answer is not None and self._protocol.our_state in {h11.IDLE, h11.SEND_RESPONSE}:
                self.ending.set()
                await self._write(refused.answer, b"GET")
                await self._linger()
            return False
        self.state = ANSWERING
        try:
            answer = await self._answer(self._door.application, request, body, length)
            await self._write(answer, request.method)
        finally:
            self._reader.give_back(len(body))
        if self._protocol.their_state is h11.SEND_BODY:
            await self._linger()
        return self._protocol.our_state is h11.DONE and self._protocol.their_state is h11.DONE

    async def _answer(self, application: Application, request: h11.Request, body: bytes, length: int) -> Answer:
        place = Place("localhost", self._door.port, self._door.secure, self.client)
        environ = environment(request, body, length, place)
        async with self._server.turn_of(self.client):
            return await self._server.workers.run(partial(begin, application, environ))

    async def _write(self, answer: Answer, method: bytes) -> None:
        bodiless = method == b"HEAD" or answer.status in {204, 304}
        try:
            self._writer.write(self._protocol.send(h11.Response(
                status_code=answer.status, reason=answer.reason.encode("latin-1"), headers=self._headers(answer, bodiless),
            )))  # fmt: skip
            if answer.live is not None:
                await self._stream(answer.live)
            elif not bodiless:
                await self._write_body(answer)
            self._writer.write(self._protocol.send(h11.EndOfMessage()))
            await self._taken()
        finally:
            answer.close()

    def _headers(self, answer: Answer, bodiless: bool) -> list[tuple[bytes, bytes]]:
        headers = [(name, value) for name, value in answer.headers if name.lower() not in {"connection", "transfer-encoding"}]
        names = {name.lower() for name, _ in headers}
        if answer.rest is None and answer.live is None and "content-length" not in names and not bodiless:
            headers.append(("Content-Length", str(len(answer.body))))
        if "date" not in names:
            headers.append(("Date", formatdate(usegmt=True)))
        if answer.live is not None or self.ending.is_set() or self._protocol.their_state is h11.SEND_BODY:
            headers.append(("Connection", "close"))
        return [(name.encode("latin-1"), value.encode("latin-1")) for name, value in headers]

    async def _write_body(self, answer: Answer) -> None:
        while True:
            if answer.body:
                self._writer.write(self._protocol.send(h11.Data(data=answer.body)))
                await self._taken()
            if answer.rest is None:
                return
            answer.body = b""
            answer = await self._server.workers.run(partial(fetch, answer))

    async def _stream(self, live: Live) -> None:
        """Says what there is, then waits for the bell; ends with its time, the client or the server, whichever is first."""
        self.state = STREAMING
        loop, rang = asyncio.get_running_loop(), asyncio.Event()
        stop_listening = live.listen(lambda: _set_from_any_thread(loop, rang))
        gone = asyncio.create_task(self._reader.until_closed())
        over = asyncio.create_task(self.ending.wait())
        try:
            text = live.first()
            while True:
                self._writer.write(self._protocol.send(h11.Data(data=text)))
                await self._taken()
                bell = asyncio.create_task(rang.wait())
                done, _ = await asyncio.wait({bell, gone, over}, timeout=live.wait_s(), return_when=asyncio.FIRST_COMPLETED)
                bell.cancel()
                if done & {gone, over} or live.wait_s() <= 0:
                    return
                rang.clear()
                text = live.next(bell in done)
        finally:
            stop_listening()
            gone.cancel()
            over.cancel()

    async def _taken(self) -> None:
        """Waits until the client has room for more. Raises TimeoutError."""
        async with asyncio.timeout(self._limits.write_s):
            await self._writer.drain()

    async def _linger(self) -> None:
        """Reads on a little: a connection closed over unread bytes takes the answer away from under the client (RFC 9112, 9.6)."""
        if self._writer.can_write_eof():
            self._writer.write_eof()
        with suppress(TimeoutError):
            async with asyncio.timeout(LINGER_S):
                await self._reader.discard(LINGER_BYTES)


def _set_from_any_thread(loop: asyncio.AbstractEventLoop, event: asyncio.Event) -> None:
    with suppress(RuntimeError):  # a loop that has ended
        loop.call_soon_threadsafe(event.set)
