"""A real house for the browser tests: seeded, served on a free port, with a gate in front that can fail in every way."""

from __future__ import annotations

import base64
import contextlib
import hashlib
import http.client
import http.server
import json
import re
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import postgresql_server
from browser.lanes import GATES, HOUSES, Running, begun
from honeyhold.house.house import House
from honeyhold.house.where_kept import database_of

START_WAIT_S = 60
CODES = 14
GOODS: list[dict[str, Any]] = [
    {"table": "good", "id": "bar", "name": "wax bar", "plural": "wax bars", "short": "bars", "kind": "wax", "unit": "each",
     "net_g": 28, "gross_g": 29, "length_mm": 96, "width_mm": 32, "height_mm": 12, "price_cents": 250, "row": 10, "rank": 1,
     "sold": True},
    {"table": "good", "id": "pint", "name": "pint jar", "plural": "pint jars", "short": "pints", "kind": "honey",
     "unit": "each", "net_g": 680, "gross_g": 950, "length_mm": 80, "width_mm": 80, "height_mm": 130, "upright": True,
     "glass": True, "price_cents": 1400, "row": 12, "rank": 2, "sold": True},
]  # fmt: skip
BARS = 400
WORKER = "/service-worker.js"
A_FILE, ANOTHER_FILE = "/shell/book-room.js", "/shell/first.js"
"""Two of the files of the app that every phone keeps: what a later version has changed, and what comes broken."""
STRANGERS: dict[str, tuple[int, str, bytes]] = {
    "another's page": (200, "text/html", b"<h1>Welcome to the airport</h1>"),
    "not understood": (422, "application/problem+json", json.dumps({
        "type": "urn:honeyhold:bad-shape", "title": "Unprocessable", "status": 422, "detail": "The ask cannot be read: protocol: 1 is of long ago.",
        "remedy": "Close the app and open it again.",
    }).encode()),
}
STRANGERS["not known"] = (401, "application/problem+json", json.dumps({
    "type": "urn:honeyhold:unknown-device", "title": "Unauthorized", "status": 401, "detail": "No device of this house carries that key.",
    "remedy": "Enrol it again.",
}).encode())
"""What somebody else than the house answers: status, type, body."""
NOT_ASKED = {"host", "accept-encoding", "connection", "if-none-match", "if-modified-since"}
"""Headers that the gate keeps to itself: it must see whole answers, as they are."""


class HouseProcess:
    """`honeyhold serve` over a folder of its own. HONEYHOLD_SERVE may hold another command that starts it.

    Otherwise it is begun out of a process that has read the program already: the same command, in a fifth of the work.
    """

    def __init__(self, folder: Path, seed: Callable[[House], Any] | None = None) -> None:
        self._stands(folder)
        self.in_person(seed or goods_and_bars)
        self.in_person(lambda house: house.write("set_house", [{"table": "setting", "id": "ask_weather", "value": False}]))

    def _stands(self, folder: Path) -> None:
        self.folder = folder
        self._port = 0
        self._is_demo = False
        self.codes: list[str] = []
        self._process: Running | None = None
        self._log = folder.with_suffix(".log")

    @classmethod
    def copied(cls, template: HouseProcess, folder: Path) -> HouseProcess:
        """One like the template, which is not running, in a folder and at a port of its own: quicker than seeding it anew."""
        shutil.copytree(template.folder, folder)
        postgresql_server.copied_with(folder)
        house = cls.__new__(cls)
        house._stands(folder)
        house.in_person(lambda _house: None)  # the codes of the template may be too old by now
        return house

    @property
    def port(self) -> int:
        """Its own from the first time it is asked for until it has been let go."""
        self._port = self._port or HOUSES.take()
        return self._port

    @property
    def address(self) -> str:
        """Where the house is, without a slash at the end."""
        return f"http://127.0.0.1:{self.port}"

    def first_address(self) -> str:
        """What the command printed for the first device: where the house is, with its one-time code."""
        found = re.findall(r"#enrol=\S+", self._log.read_text())
        if not found:
            raise RuntimeError(f"The house printed no code for a first device:\n{self._log.read_text()[-3000:]}")
        return f"{self.address}/{found[-1]}"

    def code(self) -> str:
        """A fresh enrolment code for a keeper."""
        return self.codes.pop()

    def in_person(self, work: Callable[[House], Any]) -> Any:
        """Work done on the records while nobody serves them; the server is started again if it ran."""
        running = self._process is not None
        self.stop()
        house = House.open(self.folder)
        assert bool(database_of(self.folder)) == postgresql_server.chosen(), "the records are not where they were asked for"
        try:
            answer = work(house)
            self._is_demo = house.is_demo()
            self.codes = [house.new_code()["code"] for _ in range(CODES)]
        finally:
            house.close()
        if running:
            self.start()
        return answer

    def start(self) -> None:
        """Starts it and waits until it answers; raises with what it said otherwise."""
        demo = ["--demo"] if self._is_demo else []
        self._process = begun(self.folder, self.port, demo, self._log)
        until = time.monotonic() + START_WAIT_S
        while time.monotonic() < until and self._process.is_alive():
            if self._answers():
                return
            time.sleep(0.02)
        self.stop()
        raise RuntimeError(f"The house did not start within {START_WAIT_S} s:\n{self._log.read_text()[-3000:]}")

    @contextlib.contextmanager
    def running(self) -> Iterator[HouseProcess]:
        """Started, and stopped at the end whatever happens."""
        self.start()
        try:
            yield self
        finally:
            self.stop()
            HOUSES.give_back(self._port)
            self._port = 0

    def stop(self) -> None:
        """Ends it; waits until it is gone."""
        if self._process is None:
            return
        self._process.terminate()
        self._process.join(2)
        if self._process.is_alive():
            self._process.kill()
            self._process.join(5)
        self._process = None

    def _answers(self) -> bool:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=2)
        try:
            connection.request("GET", "/shell-list.js")
            return connection.getresponse().status == 200
        except OSError:
            return False
        finally:
            connection.close()


def goods_and_bars(house: House) -> None:
    """Two goods and four hundred bars."""
    house.write("set_good", GOODS)
    house.write("make", [
        {"table": "lot", "id": "W26-204-1", "good": "bar", "made_on": "2026-07-23"},
        {"table": "movement", "id": "opening-bars", "good": "bar", "lot": "W26-204-1", "units": BARS, "reason": "poured",
         "on": "2026-07-23"},
    ])  # fmt: skip


class Gate(http.server.ThreadingHTTPServer):
    """Stands between the devices and the house. What it does to a request is decided by `mishap(path)`:

    None lets it through; "shut" closes the line before, "lost answer" after the house has answered; "half an answer" cuts it;
    "another's page" is a captive portal's, "not understood" what a house of another time says, "not known" one that does not know the device.
    The kernel's large files come through only when `kernel` is set: most tests have no use for them. `changed` names web files (by address) that get a comment more, as if a new version had been put on the house; `edition`
    tells one such version from the next.
    """

    daemon_threads = True
    block_on_close = False
    altered = 0
    """How often a gate of this run gave out what is not the app as it stands, or the kernel: what a phone kept of it is not for the next test."""

    def __init__(self, house: HouseProcess) -> None:
        super().__init__(("127.0.0.1", GATES.take()), _GateHandler)
        self.house_port = house.port
        self.mishap: Callable[[str], str | None] = lambda _path: None
        self.changed: set[str] = set()
        self.edition = ""
        self.kernel = False
        self.fired: list[str] = []
        self.listening = 0
        """How many devices hear the house's stream through this gate now."""
        threading.Thread(target=self.serve_forever, args=(0.05,), daemon=True).start()

    @property
    def address(self) -> str:
        """Where the gate is, without a slash at the end."""
        return f"http://127.0.0.1:{self.server_address[1]}"

    @property
    def comment(self) -> bytes:
        """What the changed files end with."""
        return f"\n// a later version {self.edition}".rstrip().encode() + b"\n"

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A line that broke is this gate's business, not news."""

    def close(self) -> None:
        """Stops listening."""
        self.shutdown()
        self.server_close()
        GATES.give_back(self.server_address[1])


class _GateHandler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        gate = self.server
        assert isinstance(gate, Gate)
        mishap = gate.mishap(self.path)
        if mishap:
            gate.fired.append(mishap)
        self.close_connection = True
        kernel_file = self.path.startswith("/kernel/built/") and not self.path.endswith("/manifest.json")
        if mishap == "shut" or (kernel_file and not gate.kernel):
            return
        if mishap in STRANGERS:
            self._stranger(*STRANGERS[mishap])
            return
        with contextlib.suppress(OSError), contextlib.closing(
            http.client.HTTPConnection("127.0.0.1", gate.house_port, timeout=70)
        ) as house:
            self._ask(gate, house, mishap)

    do_POST = do_HEAD = do_GET

    def _ask(self, gate: Gate, house: http.client.HTTPConnection, mishap: str | None) -> None:
        Gate.altered += bool(gate.changed or gate.kernel)
        body = self.rfile.read(int(self.headers.get("Content-Length", "0")))
        kept = {name: value for name, value in self.headers.items() if name.lower() not in NOT_ASKED}
        house.request(self.command, self.path, body or None, kept)
        answer = house.getresponse()
        if answer.getheader("Content-Type", "").startswith("text/event-stream"):
            self._stream(answer)
        else:
            self._pass_on(answer, self._altered(gate, answer.read()), mishap)

    def finish(self) -> None:
        """A line that broke is closed all the same."""
        with contextlib.suppress(OSError):
            super().finish()
        self.rfile.close()
        self.connection.close()

    def _altered(self, gate: Gate, body: bytes) -> bytes:
        if self.path in gate.changed:
            return body + gate.comment
        if self.path != "/shell-list.js" or not gate.changed - {WORKER}:
            return body  # of the worker's own bytes the list says nothing here: a house of before, or one that was put back
        start, end = body.index(b"{"), body.rindex(b"}") + 1
        shell = json.loads(body[start:end])
        for address in gate.changed:
            connection = http.client.HTTPConnection("127.0.0.1", gate.house_port, timeout=10)
            connection.request("GET", address)
            text = connection.getresponse().read() + gate.comment
            connection.close()
            shell["files"][address] = "sha256-" + base64.b64encode(hashlib.sha256(text).digest()).decode()
        shell["version"] += f"-later{gate.edition}"
        return body[:start] + json.dumps(shell).encode() + body[end:]

    def _stranger(self, status: int, kind: str, body: bytes) -> None:
        self.rfile.read(int(self.headers.get("Content-Length", "0")))
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def _pass_on(self, answer: http.client.HTTPResponse, body: bytes, mishap: str | None) -> None:
        if mishap == "lost answer":
            return
        self.send_response(answer.status)
        for name, value in answer.getheaders():
            if name.lower() not in ("content-length", "transfer-encoding", "connection", "etag", "date", "server"):
                self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body[: len(body) // 2] if mishap == "half an answer" else body)

    def _stream(self, answer: http.client.HTTPResponse) -> None:
        self.send_response(answer.status)
        self.send_header("Content-Type", answer.getheader("Content-Type", ""))
        self.end_headers()
        gate = self.server
        assert isinstance(gate, Gate)
        heard = False
        try:
            while part := answer.read1(4096):
                self.wfile.write(part)
                self.wfile.flush()
                gate.listening += not heard
                heard = True
        finally:
            gate.listening -= heard

    def log_message(self, *_: object) -> None:
        """Quiet."""
