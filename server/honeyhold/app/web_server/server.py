"""The doors and the loop that waits at all of them: nobody who is silent, slow or gone keeps anybody else waiting."""

from __future__ import annotations

import asyncio
import logging
import socket
import ssl
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from functools import partial
from typing import Final

from honeyhold.app.web_server.connection import ANSWERING, STREAMING, Connection
from honeyhold.app.web_server.crowd import Crowd, Room
from honeyhold.app.web_server.limits import LIMITS, Limits
from honeyhold.app.web_server.workers import Workers
from honeyhold.app.web_server.wsgi import Application

QUEUE: Final = 128
BREATH_S: Final = 0.1
"""A pause when the system has no more sockets to give."""

log = logging.getLogger("honeyhold")


@dataclass
class Door:
    """One address at which an application answers. `certificates` may be exchanged while it is open."""

    listening: socket.socket
    application: Application
    certificates: ssl.SSLContext | None = None
    port: int = field(init=False)

    def __post_init__(self) -> None:
        self.port = int(self.listening.getsockname()[1])

    @property
    def secure(self) -> bool:
        """Whether it speaks TLS."""
        return self.certificates is not None


class Server:
    """`open` doors, `serve` until `stop`."""

    def __init__(self, limits: Limits = LIMITS) -> None:
        self.limits = limits
        self.workers = Workers(limits.threads)
        self.crowd = Crowd(limits)
        self.room = Room(limits)
        self._doors: list[Door] = []
        self._turns: dict[str, tuple[asyncio.Semaphore, list[None]]] = {}
        self._begun = threading.Lock()
        self._stopped = False
        self._loop: asyncio.AbstractEventLoop | None = None
        self._end: asyncio.Event | None = None

    def open(
        self, address: tuple[str, int], application: Application, certificates: ssl.SSLContext | None = None, shared: bool = False
    ) -> Door:
        """Takes the address, before anything is served there; `shared`: other processes may take it beside this one. Raises OSError."""
        door = Door(socket.create_server(address, backlog=QUEUE, reuse_port=shared), application, certificates)
        door.listening.setblocking(False)
        self._doors.append(door)
        return door

    def serve(self) -> None:
        """Answers until `stop`; returns when every answer is given or its time is up."""
        try:
            asyncio.run(self._serve())
        finally:
            self._close_doors()
            self.workers.stop()

    def stop(self) -> None:
        """From any thread, also before it serves; once more does nothing."""
        with self._begun:
            self._stopped = True
            loop, end = self._loop, self._end
        if loop is not None and end is not None:
            with suppress(RuntimeError):  # it has ended by itself
                loop.call_soon_threadsafe(end.set)
        else:
            self._close_doors()
            self.workers.stop()

    @asynccontextmanager
    async def turn_of(self, client: str) -> AsyncIterator[None]:
        """Waits for one of the places at work that an address may have."""
        semaphore, waiting = self._turns.setdefault(client, (asyncio.Semaphore(self.limits.at_work_per_address), []))
        waiting.append(None)
        try:
            async with semaphore:
                yield
        finally:
            waiting.pop()
            if not waiting:
                del self._turns[client]

    async def _serve(self) -> None:
        with self._begun:
            self._loop, self._end = asyncio.get_running_loop(), asyncio.Event()
            if self._stopped:
                return
        listening = [asyncio.create_task(self._listen(door)) for door in self._doors]
        await self._end.wait()
        for task in listening:
            task.cancel()
        await asyncio.wait(listening)
        self._let_in_who_waits()
        self._close_doors()
        await self._say_farewell()

    async def _listen(self, door: Door) -> None:
        loop = asyncio.get_running_loop()
        while True:
            try:
                line, address = await loop.sock_accept(door.listening)
            except OSError as trouble:
                log.warning("A connection could not be taken: %s", trouble)
                await asyncio.sleep(BREATH_S)
                continue
            self._let_in(door, line, str(address[0]))

    def _let_in_who_waits(self) -> None:
        """Whoever is at a door already would be turned away by its closing."""
        for door in self._doors:
            with suppress(OSError):  # nobody is left
                while self.limits.last_request_s:
                    line, address = door.listening.accept()
                    self._let_in(door, line, str(address[0]))

    def _let_in(self, door: Door, line: socket.socket, client: str) -> None:
        # asyncio does this only where the listening socket was made by its own name of the protocol: without it the first answer after
        # a TLS 1.3 handshake waits 40 ms behind what the handshake still says (RFC 896 against the client's delayed acknowledgment)
        with suppress(OSError):  # gone already
            line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        newcomer = Connection(self, door, client)
        if self.crowd.let_in(newcomer):
            newcomer.task = asyncio.create_task(self._attend(newcomer, door, line))
            newcomer.task.add_done_callback(partial(_close, line))  # it may be ended before it has begun
        else:
            line.close()

    async def _attend(self, connection: Connection, door: Door, line: socket.socket) -> None:
        try:
            streams = await self._opened(door, line)
        except (OSError, TimeoutError, ssl.SSLError):
            pass  # no handshake, or none in its time
        else:
            await connection.attend(streams)
        finally:
            self.crowd.leave(connection)

    async def _opened(self, door: Door, line: socket.socket) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        """The connection's two ends, after the handshake where there is one; only this connection waits for it."""
        loop = asyncio.get_running_loop()
        reader = asyncio.StreamReader(loop=loop)
        protocol = asyncio.StreamReaderProtocol(reader, loop=loop)
        patience_s = self.limits.handshake_s if door.secure else None
        transport, _ = await loop.connect_accepted_socket(lambda: protocol, line, ssl=door.certificates, ssl_handshake_timeout=patience_s)
        return reader, asyncio.StreamWriter(transport, protocol, reader, loop)

    async def _say_farewell(self) -> None:
        """Streams end, answers are given; what has not arrived whole was never read, and what takes longer is left."""
        connections = self.crowd.connections()
        for one in connections:
            one.ending.set()
        if connections and self.limits.last_request_s:
            await asyncio.sleep(self.limits.last_request_s)
        for one in self.crowd.connections():
            if one.state not in {ANSWERING, STREAMING} and one.task is not None:
                one.task.cancel()
        tasks = [one.task for one in self.crowd.connections() if one.task is not None]
        if tasks:
            await asyncio.wait(tasks, timeout=self.limits.farewell_s)

    def _close_doors(self) -> None:
        for door in self._doors:
            door.listening.close()


def _close(line: socket.socket, _task: asyncio.Task[None]) -> None:
    line.close()
