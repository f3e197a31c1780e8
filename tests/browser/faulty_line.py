"""A line between devices and house that fails in every way a line can, drawn from a seed; every fault is counted."""

from __future__ import annotations

import http.client
import random
import threading
import time
from collections import Counter

from browser.house_process import Gate, HouseProcess, _GateHandler

FAULTS = ("lost on the way", "lost answer", "said twice", "late", "half an answer", "a stranger's page", "bad gateway", "drop by drop")
WATCHED = ("/api/exchange", "/api/mirror")
STRANGE = b"<!doctype html><title>Welcome</title><h1>Please accept our terms to use this network</h1>"
DROPS = 8


class FaultyLine(Gate):
    """`rate`: how often a request meets a fault; 0 heals it. `cut`: nothing gets through at all. `fell` counts faults by kind."""

    def __init__(self, house: HouseProcess, seed: int, rate: float) -> None:
        super().__init__(house)
        self.RequestHandlerClass = _FaultyHandler
        self.rate = rate
        self.cut = False
        self.fell: Counter[str] = Counter()
        self._chance = random.Random(seed)
        self._turn = threading.Lock()

    def fault(self, path: str) -> str | None:
        """What happens to this request. The faults are the seed's; which request meets which is up to the machine's threads."""
        with self._turn:
            if not path.startswith(WATCHED):
                return "cut" if self.cut and path.startswith("/api/") else None
            if self.cut:
                self.fell["cut off"] += 1
                return "cut"
            if self._chance.random() >= self.rate:
                return None
            chosen = self._chance.choice(FAULTS)
            self.fell[chosen] += 1
            return chosen

    def pause_s(self) -> float:
        """How long a late request is on its way."""
        with self._turn:
            return self._chance.uniform(0.05, 0.4)


class _FaultyHandler(_GateHandler):
    def _ask(self, gate: Gate, house: http.client.HTTPConnection, mishap: str | None) -> None:
        assert isinstance(gate, FaultyLine)
        fault = gate.fault(self.path)
        if fault in ("cut", "lost on the way"):
            return
        if fault == "late":
            time.sleep(gate.pause_s())
        if fault in ("a stranger's page", "bad gateway"):
            self._say(200 if fault == "a stranger's page" else 502, "text/html", STRANGE)
            return
        body = self.rfile.read(int(self.headers.get("Content-Length", "0")))
        kept = {name: value for name, value in self.headers.items() if name.lower() not in ("host", "accept-encoding", "connection")}
        for _ in range(2 if fault == "said twice" else 1):
            house.request(self.command, self.path, body or None, kept)
            answer = house.getresponse()
            if answer.getheader("Content-Type", "").startswith("text/event-stream"):
                self._stream(answer)
                return
            told = answer.read()
        if fault == "drop by drop":
            self._drop_by_drop(answer, told)
        else:
            self._pass_on(answer, told, fault)

    def _say(self, status: int, kind: str, body: bytes) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def _drop_by_drop(self, answer: http.client.HTTPResponse, body: bytes) -> None:
        self.send_response(answer.status)
        self.send_header("Content-Type", answer.getheader("Content-Type", ""))
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        size = max(1, len(body) // DROPS)
        for start in range(0, len(body), size):
            self.wfile.write(body[start : start + size])
            self.wfile.flush()
            time.sleep(0.03)
