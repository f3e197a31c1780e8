"""Browsers other than Chromium, as the system has them: Firefox by WebDriver BiDi, WebKit by WebDriver.

Both are standards of the W3C, spoken here without a library; a browser that is not there is no browser, and a test skips.
"""

from __future__ import annotations

import base64
import contextlib
import json
import os
import shutil
import signal
import socket
import struct
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Protocol

from browser.devices import LOADED
from browser.lanes import free_port

START_WAIT_S = 60
ANSWER_WAIT_S = 120
PREFERENCES = """user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("browser.startup.homepage_override.mstone", "ignore");
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("app.update.enabled", false);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
"""
ASYNC = """const [args, done] = arguments;
(async () => { %s })().then((answer) => done({ answer: answer ?? null }), (error) => done({ trouble: `${error}\\n${error.stack}` }));"""


class Driver(Protocol):
    """One browser with one page."""

    def open(self, address: str) -> None:
        """Loads an address."""

    def reload(self) -> None:
        """Loads the page anew."""

    def run(self, script: str, arguments: list[Any]) -> Any:
        """Runs an async function body with `args` in the page; gives what it returns."""


class Bidirectional:
    """Firefox: WebDriver BiDi, JSON over a WebSocket (RFC 6455). What is run is run as the page's own, with its import map."""

    def __init__(self, port: int) -> None:
        self._line = socket.create_connection(("127.0.0.1", port), timeout=ANSWER_WAIT_S)
        self._line.sendall(f"GET /session HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                           f"Sec-WebSocket-Key: {base64.b64encode(os.urandom(16)).decode()}\r\nSec-WebSocket-Version: 13\r\n\r\n".encode())  # fmt: skip
        self._heard = self._line.makefile("rb")
        first = self._heard.readline()
        if b" 101 " not in first:
            raise ConnectionError(f"Firefox answered {first!r}")
        while self._heard.readline() not in {b"\r\n", b""}:
            pass
        self._count = 0
        self._ask("session.new", {"capabilities": {}})
        self._page = self._ask("browsingContext.getTree", {})["contexts"][0]["context"]

    def close(self) -> None:
        """Hangs up."""
        self._heard.close()
        self._line.close()

    def open(self, address: str) -> None:
        """Loads an address."""
        self._ask("browsingContext.navigate", {"context": self._page, "url": address, "wait": "complete"})

    def reload(self) -> None:
        """Loads the page anew."""
        self._ask("browsingContext.reload", {"context": self._page, "wait": "complete"})

    def run(self, script: str, arguments: list[Any]) -> Any:
        """Runs an async function body with `args` in the page; gives what it returns."""
        function = f"async (words) => {{ const args = JSON.parse(words); return JSON.stringify((await (async () => {{ {script} }})()) ?? null); }}"
        told = self._ask("script.callFunction", {
            "functionDeclaration": function, "awaitPromise": True, "target": {"context": self._page},
            "arguments": [{"type": "string", "value": json.dumps(arguments)}],
        })  # fmt: skip
        if told["type"] != "success":
            raise AssertionError(told["exceptionDetails"]["text"])
        return json.loads(told["result"]["value"])

    def _ask(self, method: str, params: dict[str, Any]) -> Any:
        self._count += 1
        self._send(json.dumps({"id": self._count, "method": method, "params": params}).encode())
        while True:
            told = json.loads(self._hear())
            if told.get("id") != self._count:
                continue  # an event
            if told["type"] != "success":
                raise RuntimeError(f"{method}: {told.get('error')}: {told.get('message')}")
            return told["result"]

    def _send(self, words: bytes) -> None:
        mask = os.urandom(4)
        if len(words) < 126:
            length = struct.pack("!B", 0x80 | len(words))
        else:
            length = struct.pack("!BH", 0x80 | 126, len(words)) if len(words) < 1 << 16 else struct.pack("!BQ", 0x80 | 127, len(words))
        self._line.sendall(b"\x81" + length + mask + bytes(byte ^ mask[at % 4] for at, byte in enumerate(words)))

    def _hear(self) -> bytes:
        """One message, put together from its frames; pings are passed over."""
        words = b""
        while True:
            head, length = self._exactly(2)
            if length >= 126:
                (length,) = struct.unpack("!H", self._exactly(2)) if length == 126 else struct.unpack("!Q", self._exactly(8))
            part = self._exactly(length)
            if head & 0x0F == 8:
                raise ConnectionError("Firefox closed the line.")
            if head & 0x08:
                continue
            words += part
            if head & 0x80:
                return words

    def _exactly(self, length: int) -> bytes:
        part = self._heard.read(length)
        if len(part) < length:
            raise ConnectionError("Firefox is gone.")
        return part


class Classic:
    """WebKit: the W3C's WebDriver, JSON over HTTP."""

    def __init__(self, port: int, capabilities: dict[str, Any]) -> None:
        self._address = f"http://127.0.0.1:{port}/session"
        self._address += "/" + self._ask("", {"capabilities": {"alwaysMatch": capabilities}})["sessionId"]
        self._ask("timeouts", {"script": ANSWER_WAIT_S * 1000, "pageLoad": ANSWER_WAIT_S * 1000})

    def open(self, address: str) -> None:
        """Loads an address."""
        self._ask("url", {"url": address})

    def reload(self) -> None:
        """Loads the page anew."""
        self._ask("refresh", {})

    def run(self, script: str, arguments: list[Any]) -> Any:
        """Runs an async function body with `args` in the page; gives what it returns."""
        told = self._ask("execute/async", {"script": ASYNC % script, "args": [arguments]})
        if "trouble" in told:
            raise AssertionError(told["trouble"])
        return told["answer"]

    def _ask(self, command: str, body: dict[str, Any]) -> Any:
        request = urllib.request.Request(f"{self._address}/{command}".rstrip("/"), json.dumps(body).encode(), {"Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(request, timeout=ANSWER_WAIT_S) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as trouble:
            raise RuntimeError(f"{command}: {trouble.read().decode()[:500]}") from trouble


class OtherDevice:
    """One window of one device in another browser; the same words as a device in Chromium."""

    def __init__(self, driver: Driver, address: str) -> None:
        self.driver, self.address = driver, address
        driver.open(address)
        self.load()

    def load(self) -> None:
        """Makes the store's functions known to the test."""
        self.js(f"await ({LOADED})()")

    def reload(self) -> None:
        """Loads the page anew."""
        self.driver.reload()
        self.load()

    def js(self, script: str, *arguments: Any) -> Any:
        """Runs an async function body with `args`; gives what it returns."""
        return self.driver.run(script, list(arguments))

    def wait_for(self, condition: str, wait_s: float = 30) -> None:
        """Waits until a condition over `house` holds."""
        until = time.monotonic() + wait_s
        while not self.js(f"return Boolean({condition})"):
            if time.monotonic() > until:
                raise AssertionError(f"Not within {wait_s} s: {condition}\n{self.js('return JSON.stringify(house.status)')}")
            time.sleep(0.05)


def missing(engine: str) -> str:
    """What this system lacks for it; nothing when it can be started."""
    if engine == "firefox":
        return "" if _firefox_there() else "firefox-esr"
    if not shutil.which("WebKitWebDriver") or not _mini_browser():
        return "webkit2gtk-driver"
    return "" if "DISPLAY" in os.environ or shutil.which("xvfb-run") else "xvfb"


def _firefox_there() -> str | None:
    return next(filter(None, map(shutil.which, ("firefox-esr", "firefox"))), None)


def _mini_browser() -> Path | None:
    return next(iter(sorted(Path("/usr").glob("lib*/**/webkit2gtk-4.*/MiniBrowser"))), None)


@contextlib.contextmanager
def browser_of(engine: str) -> Iterator[Driver]:
    """The browser, started with a profile of its own; ended with all it started."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder, (_firefox if engine == "firefox" else _webkit)(Path(folder)) as driver:
        yield driver


@contextlib.contextmanager
def _firefox(folder: Path) -> Iterator[Driver]:
    port = free_port()
    (folder / "user.js").write_text(PREFERENCES)
    command = [str(_firefox_there()), "--headless", f"--remote-debugging-port={port}", "--no-remote", "--profile", str(folder)]
    with _running(command, folder, port), contextlib.closing(Bidirectional(port)) as driver:
        yield driver


@contextlib.contextmanager
def _webkit(folder: Path) -> Iterator[Driver]:
    port = free_port()
    command = ["WebKitWebDriver", f"--port={port}"]
    if "DISPLAY" not in os.environ:
        command = ["xvfb-run", "-a", *command]
    with _running(command, folder, port):
        yield Classic(port, {"webkitgtk:browserOptions": {"binary": str(_mini_browser()), "args": ["--automation"]}})


@contextlib.contextmanager
def _running(command: list[str], folder: Path, port: int) -> Iterator[None]:
    surroundings = {**os.environ, "HOME": str(folder), "MOZ_HEADLESS": "1", "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1"}
    with (folder / "said.log").open("wb") as log:
        process = subprocess.Popen(command, stdout=log, stderr=log, env=surroundings, start_new_session=True)
    try:
        until = time.monotonic() + START_WAIT_S
        while not _listens(port):
            if time.monotonic() > until or process.poll() is not None:
                raise RuntimeError(f"{command[0]} did not start:\n{(folder / 'said.log').read_text()[-2000:]}")
            time.sleep(0.1)
        yield
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGTERM)
            process.wait(10)


def _listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0
