"""The real server of many houses, as whoever keeps it starts it."""

from __future__ import annotations

import http.client
import json
import os
import random
import re
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

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


class Process:
    """One server: its process and where it listens."""

    def __init__(self, address: str, data: Path, *options: str, port: int = 0) -> None:
        command = [sys.executable, "-m", "honeyhold.app.command_line", "host", "--database", address, "--data", str(data)]
        command += ["--port", str(port), *options]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(SERVER)})
        assert self.process.stdout is not None
        said = self.process.stdout.readline()
        found = re.search(r"http://NAME\.localhost:(\d+)/", said)
        assert found is not None, said
        self.port = int(found[1])

    def ask(self, house: str, path: str, token: str = "", body: Any = None) -> tuple[int, Any]:
        """Status and JSON of one request, on a connection of its own. Raises `AWAY`."""
        return asked(self.port, house, path, token, body)

    def end(self) -> None:
        """Killed if it still runs; waited for."""
        if self.process.poll() is None:
            self.process.kill()
        assert self.process.stdout is not None
        self.process.stdout.close()
        self.process.wait(PATIENCE_S)


@contextmanager
def running(address: str, data: Path, *options: str) -> Iterator[Process]:
    """A server that is gone at the end."""
    process = Process(address, data, *options)
    try:
        yield process
    finally:
        process.end()


AWAY = (OSError, http.client.HTTPException)
"""As what a server comes that is gone, or goes."""


class Sender(threading.Thread):
    """A device that writes and sends without pause, to whichever server answers; it remembers what it was told has landed."""

    def __init__(self, house: str, identity: dict[str, Any], ports: Callable[[], list[int]], seed: int) -> None:
        super().__init__(daemon=True)
        self.house, self.writer, self._ports = house, Writer(identity, random.Random(seed)), ports
        self.answered: set[str] = set()
        self.cursor = self.troubles = 0
        self.wrong: list[Any] = []
        self.ending = threading.Event()

    def run(self) -> None:
        """Until `ending`; then what is in hand is sent to its end."""
        turn = 0
        while not self.ending.is_set() or self.writer.entries:
            if not self.ending.is_set():
                self.writer.write("note_person", [self.writer.person()])
            ports, turn = self._ports(), turn + 1
            with suppress(*AWAY):
                self._say(ports[turn % len(ports)])
                continue
            self.troubles += 1

    def landed(self, most_s: float = PATIENCE_S) -> int:
        """So many were answered, and all that was written is; waits for that."""
        self.ending.set()
        self.join(most_s)
        assert not self.is_alive() and not self.wrong and not self.writer.entries, (self.wrong, len(self.writer.entries))
        return len(self.answered)

    def _say(self, port: int) -> None:
        ask = self.writer.ask(self.writer.entries[:50], self.cursor)
        status, answer = asked(port, self.house, "/api/exchange", self.writer.identity["token"], ask)
        if status != 200:
            self.troubles += 1
            if status < 500:
                self.wrong.append(answer)
                self.writer.entries.clear()
            return
        if answer["refused"] or answer["expects"]:
            self.wrong.append((answer["refused"], answer["expects"]))
        self.cursor = answer["cursor"]
        told = {one["id"] for one in answer["landed"]}
        self.answered |= told
        self.writer.entries = [one for one in self.writer.entries if one["id"] not in told]


class Listener(threading.Thread):
    """A device that holds a stream, and opens another at once where it ends; it remembers what it heard and how long it heard nothing."""

    def __init__(self, house: str, token: str, ports: Callable[[], list[int]]) -> None:
        super().__init__(daemon=True)
        self.house, self.token, self._ports = house, token, ports
        self.positions: list[int] = []
        self.away_s: list[float] = []
        self.opened = 0
        self.changed = threading.Condition()
        self.ending = threading.Event()

    def run(self) -> None:
        """Stream after stream."""
        turn, since_s = 0, time.monotonic()
        while not self.ending.is_set():
            ports, turn = self._ports(), turn + 1
            with suppress(*AWAY):
                line = http.client.HTTPConnection("127.0.0.1", ports[turn % len(ports)], timeout=PATIENCE_S)
                headers = {"Host": f"{self.house}.localhost", "Authorization": f"Bearer {self.token}"}
                line.request("GET", "/api/stream", headers=headers)
                answer = line.getresponse()
                if answer.status == 200:
                    self._listen(answer, time.monotonic() - since_s)
                    since_s = time.monotonic()
                line.close()

    def heard(self, position: int) -> None:
        """Waits until that was told."""
        with self.changed:
            assert self.changed.wait_for(lambda: bool(self.positions) and max(self.positions) >= position, PATIENCE_S), self.positions

    def _listen(self, answer: http.client.HTTPResponse, away_s: float) -> None:
        for line in iter(answer.readline, b""):
            if line.startswith(b"data: "):
                with self.changed:
                    if away_s >= 0:
                        self.opened += 1
                        self.away_s.append(away_s)
                        away_s = -1.0
                    self.positions.append(json.loads(line[6:])["position"])
                    self.changed.notify_all()


def kept_ids(house: House) -> set[str]:
    """The ids of all entries that are in the records."""
    with house.records.read():
        return {row[0] for row in house.records.sql("SELECT id FROM operation WHERE position IS NOT NULL").fetchall()}
