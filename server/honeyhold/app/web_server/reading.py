"""A request as it arrives: within its time, within its size, whole before any thread hears of it."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Final

import h11

from honeyhold.app.web_server.wsgi import Answer, refusal

if TYPE_CHECKING:
    from honeyhold.app.web_server.server import Server

READ_BYTES: Final = 64 * 1024
SLOW = (408, "too-slow", "The request did not arrive in its time.", "Send it again, on a better line.")
MANY = (503, "busy", "Too many large requests are on their way.", "Send it again in a little while.")


class Refused(Exception):
    """The request is not read any further; `answer` is what is said about it, if anything."""

    def __init__(self, answer: Answer | None) -> None:
        super().__init__()
        self.answer = answer


class Reader:
    """Reads for one connection."""

    def __init__(
        self, stream: asyncio.StreamReader, writer: asyncio.StreamWriter, protocol: h11.Connection, server: Server, client: str
    ) -> None:
        self._stream = stream
        self._writer = writer
        self._protocol = protocol
        self._limits = server.limits
        self._room = server.room
        self._client = client
        self._first = True

    async def head(self) -> h11.Request | None:
        """The next request; None when the client has said all it will. Raises `Refused`."""
        event = self._next_event()
        if event is h11.NEED_DATA and not self._protocol.trailing_data[0]:
            try:
                async with asyncio.timeout(self._limits.first_byte_s if self._first else self._limits.kept_open_s):
                    await self._more()
            except TimeoutError:
                return None
            event = self._next_event()
        self._first = False
        event = await self._within(self._limits.head_s, event)
        if isinstance(event, h11.Request):
            return event
        return None

    async def body(self, request: h11.Request) -> tuple[bytes, int]:
        """(body, its length); a body longer than is taken in is left where it is: the application says so. Raises `Refused`."""
        declared = int(dict(request.headers).get(b"content-length", b"0"))
        if declared > self._limits.body_bytes:
            return b"", declared
        if self._protocol.they_are_waiting_for_100_continue:
            self._writer.write(self._protocol.send(h11.InformationalResponse(status_code=100, headers=[])))
        taken, started = bytearray(), asyncio.get_running_loop().time()
        try:
            while not isinstance(event := await self._body_event(started, len(taken)), h11.EndOfMessage):
                if not isinstance(event, h11.Data):
                    raise Refused(None)  # the client has gone in the middle of it
                self._take_room(len(taken), len(event.data))
                taken += event.data
                if len(taken) > self._limits.body_bytes:
                    self.give_back(len(taken))
                    return b"", len(taken)
        except BaseException:
            self.give_back(len(taken))
            raise
        return bytes(taken), len(taken)

    async def until_closed(self) -> None:
        """Returns when the client has gone; what it says meanwhile is not asked for."""
        while await self._stream.read(READ_BYTES):
            pass

    async def discard(self, most: int) -> None:
        """Reads and forgets, up to so many bytes."""
        while most > 0 and (part := await self._stream.read(READ_BYTES)):
            most -= len(part)

    def give_back(self, length: int) -> None:
        """The body is done with."""
        if length > self._limits.small_body_bytes:
            self._room.leave(self._client, length)

    def _take_room(self, before: int, more: int) -> None:
        small = self._limits.small_body_bytes
        wanted = before + more if before <= small < before + more else more if before > small else 0
        if wanted and not self._room.take(self._client, wanted):
            raise Refused(refusal(*MANY))

    async def _body_event(self, started: float, length: int) -> object:
        now = asyncio.get_running_loop().time()
        return await self._within(started + self._limits.body_s + length / self._limits.body_bytes_per_s - now, self._next_event())

    async def _within(self, seconds: float, event: object) -> object:
        """The event, once it is there. Raises `Refused`."""
        try:
            async with asyncio.timeout(seconds):
                while event is h11.NEED_DATA:
                    await self._more()
                    event = self._next_event()
        except TimeoutError:
            raise Refused(refusal(*SLOW)) from None
        return event

    async def _more(self) -> None:
        self._protocol.receive_data(await self._stream.read(READ_BYTES))

    def _next_event(self) -> object:
        try:
            return self._protocol.next_event()
        except h11.RemoteProtocolError as trouble:
            told = f"The request cannot be read: {trouble}."
            raise Refused(refusal(trouble.error_status_hint, "bad-request", told, "Send well-formed HTTP/1.1.")) from None
