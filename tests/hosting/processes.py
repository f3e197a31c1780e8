"""The real server of many houses, as whoever keeps it starts it."""

from __future__ import annotations

import http.client
import json
import os
import queue
import random
import re
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any, Self

from begun import Begun
from honeyhold.house.house import House
from replication.busy_house import Writer

SERVER = Path(__file__).resolve().parents[2] / "server"
PATIENCE_S = 60


def asked(port: int, house: str, path: str, token: str = "", body: Any = None) -> tuple[int, Any]:
    """Status and JSON of one request to a house, on a connection of its own. Raises `AWAY`."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
    try:
        headers = {"Host": f"{house}.localhost:{port}", "Content-Type": "application/json"}
        if token:
            headers["Authorization"] = f"Bearer {token}"
        line.request("GET" if body is None else "POST", path, None if body is None else json.dumps(body), headers)
        answer = line.getresponse()
        return answer.status, json.loads(answer.read() or b"null")
    finally:
        line.close()


def until(is_so: Callable[[], Any], words: str) -> None:
    """Waits for a state that nobody tells."""
    patience_ends_s = time.monotonic() + PATIENCE_S
    while not is_so():
        assert time.monotonic() < patience_ends_s, f"not after {PATIENCE_S} s: {words}"
        time.sleep(0.01)


class Lines:
    """What a program says, line by line; whoever waits for a line does not wait for ever."""

    def __init__(self, said: IO[str]) -> None:
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._reading = threading.Thread(target=self._read, args=(said,), daemon=True)
        self._reading.start()

    def next(self) -> str:
        """The next one; empty where the program ended."""
        return self._lines.get(timeout=PATIENCE_S)

    def end(self) -> None:
        """Once the program is gone, and all that had its output."""
        self._reading.join(PATIENCE_S)
        assert not self._reading.is_alive(), "somebody still holds the output of a program that is gone"

    def _read(self, said: IO[str]) -> None:
        with said:
            for line in said:
                self._lines.put(line)
        self._lines.put("")


def host_words(address: str, data: Path, port: int, *options: str) -> list[str]:
    """What stands behind `honeyhold` for a server of many houses."""
    return ["host", "--database", address, "--data", str(data), "--port", str(port), *options]


def host_command(address: str, data: Path, port: int, *options: str) -> list[str]:
    """The server of many houses as it is typed."""
    return [sys.executable, "-m", "honeyhold.app.command_line", *host_words(address, data, port, *options)]


class Process:
    """One server: its process and where it listens."""

    def __init__(self, address: str, data: Path, *options: str, port: int = 0, as_typed: bool = False) -> None:
        """`as_typed`: by the command line itself, and not out of a process that has read the program."""
        self.process: subprocess.Popen[str] | Begun
        if as_typed:
            command = host_command(address, data, port, *options)
            self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(SERVER)})
        else:
            self.process = Begun(host_words(address, data, port, *options))
        assert self.process.stdout is not None
        self._lines = Lines(self.process.stdout)
        try:
            said = self._lines.next()
            found = re.search(r"http://NAME\.localhost:(\d+)/", said)
            assert found is not None, said
        except BaseException:
            self.end()
            raise
        self.port = int(found[1])

    def ask(self, house: str, path: str, token: str = "", body: Any = None) -> tuple[int, Any]:
        """Status and JSON of one request, on a connection of its own. Raises `AWAY`."""
        return asked(self.port, house, path, token, body)

    def end(self) -> None:
        """Killed if it still runs; waited for."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait(PATIENCE_S)
        self._lines.end()


@contextmanager
def running(address: str, data: Path, *options: str, as_typed: bool = False) -> Iterator[Process]:
    """A server that is gone at the end."""
    process = Process(address, data, *options, as_typed=as_typed)
    try:
        yield process
    finally:
        process.end()


AWAY = (OSError, http.client.HTTPException)
"""As what a server comes that is gone, or goes."""


REST_S = 0.05
"""After a refusal, so that nobody asks in a circle."""


class Sender(threading.Thread):
    """A device that writes and sends, to whichever server answers; it remembers what it was told has landed.

    It goes at the end of a `with`.
    """

    def __init__(self, house: str, identity: dict[str, Any], ports: Callable[[], list[int]], seed: int) -> None:
        super().__init__(daemon=True)
        self.house, self.writer, self._ports = house, Writer(identity, random.Random(seed)), ports
        self.answered: set[str] = set()
        self.cursor = self.troubles = self.refused = 0
        self.wrong: list[Any] = []
        self.ending, self._gone = threading.Event(), threading.Event()

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.ending.set()
        self._gone.set()
        self.join(2 * PATIENCE_S)

    def run(self) -> None:
        """Until `ending`; then what is in hand is sent to its end."""
        turn = 0
        while not self._gone.is_set() and (not self.ending.is_set() or self.writer.entries):
            if not self.ending.is_set():
                self.writer.write("note_person", [self.writer.person()])
            ports, turn = self._ports(), turn + 1
            try:
                if self._say(ports[turn % len(ports)]):
                    continue
            except ConnectionRefusedError:
                self.refused += 1  # nobody is at the port
            except AWAY:
                pass
            self.troubles += 1
            self._gone.wait(REST_S)

    def landed(self, most_s: float = PATIENCE_S) -> int:
        """So many were answered, and all that was written is; waits for that."""
        self.ending.set()
        self.join(most_s)
        assert not self.is_alive() and not self.wrong and not self.writer.entries, (self.wrong, len(self.writer.entries))
        return len(self.answered)

    def _say(self, port: int) -> bool:
        ask = self.writer.ask(self.writer.entries[:50], self.cursor)
        status, answer = asked(port, self.house, "/api/exchange", self.writer.identity["token"], ask)
        if status != 200:
            if status < 500:
                self.wrong.append(answer)
                self.writer.entries.clear()
            return False
        if answer["refused"] or answer["expects"]:
            self.wrong.append((answer["refused"], answer["expects"]))
        self.cursor = answer["cursor"]
        told = {one["id"] for one in answer["landed"]}
        self.answered |= told
        self.writer.entries = [one for one in self.writer.entries if one["id"] not in told]
        return True


class Listener(threading.Thread):
    """A device that holds a stream, and opens another at once where it ends; it remembers what it heard and how often nobody let it in.

    It goes at the end of a `with`.
    """

    def __init__(self, house: str, token: str, ports: Callable[[], list[int]]) -> None:
        super().__init__(daemon=True)
        self.house, self.token, self._ports = house, token, ports
        self.positions: list[int] = []
        self.opened = self.refused = 0
        self.changed = threading.Condition()
        self._gone = threading.Event()
        self._socket: socket.socket | None = None

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._gone.set()
        if self._socket is not None:
            with suppress(OSError):  # it has ended by itself
                self._socket.shutdown(socket.SHUT_RDWR)
        self.join(2 * PATIENCE_S)

    def run(self) -> None:
        """Stream after stream."""
        turn = 0
        while not self._gone.is_set():
            ports, turn = self._ports(), turn + 1
            line = http.client.HTTPConnection("127.0.0.1", ports[turn % len(ports)], timeout=PATIENCE_S)
            answer = self._opened(line)
            if answer is None:
                self.refused += 1
                self._gone.wait(REST_S)
            elif not self._gone.is_set():
                with suppress(*AWAY):
                    self._listen(answer)
            line.close()

    def _opened(self, line: http.client.HTTPConnection) -> http.client.HTTPResponse | None:
        with suppress(*AWAY):
            line.request("GET", "/api/stream", headers={"Host": f"{self.house}.localhost", "Authorization": f"Bearer {self.token}"})
            self._socket = line.sock
            answer = line.getresponse()
            return answer if answer.status == 200 else None
        return None

    def heard(self, position: int) -> None:
        """Waits until that was told."""
        with self.changed:
            assert self.changed.wait_for(lambda: bool(self.positions) and max(self.positions) >= position, PATIENCE_S), self.positions

    def _listen(self, answer: http.client.HTTPResponse) -> None:
        self.opened += 1
        for line in iter(answer.readline, b""):
            if line.startswith(b"data: "):
                with self.changed:
                    self.positions.append(json.loads(line[6:])["position"])
                    self.changed.notify_all()


def kept_ids(house: House) -> set[str]:
    """The ids of all entries that are in the records."""
    with house.records.read():
        return {row[0] for row in house.records.sql("SELECT id FROM operation WHERE position IS NOT NULL").fetchall()}
