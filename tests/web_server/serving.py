"""A server over a small application whose answers the tests hold back and let go; raw lines to speak to it."""

from __future__ import annotations

import json
import logging
import socket
import ssl
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from honeyhold.app.certificates import SecureFiles, secure_files
from honeyhold.app.listeners import proof_of
from honeyhold.app.web_server import Limits, Server

PATIENCE_S = 60
"""Nothing is measured by it: a test that has to wait for so long has failed."""
HELLO = b"GET /hello HTTP/1.1\r\nHost: localhost\r\n\r\n"
LAST_HELLO = HELLO.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n")


class Application:
    """Says what it was asked; `/held` waits until it is let go, `/long` has a long body, `/endless` one without an end, `/broken` fails."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.reached = threading.Semaphore(0)
        self.let_go = threading.Event()
        self.closed = 0

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        path = environ["PATH_INFO"]
        self.asked.append(path)
        if path == "/held":
            self.reached.release()
            assert self.let_go.wait(PATIENCE_S)
        if path == "/broken":
            raise ValueError("it is broken")
        start_response("200 OK", [("Content-Type", "application/json")])
        if path in {"/long", "/endless"}:
            return self._parts(400 if path == "/long" else 10**9)
        return [json.dumps(self._told(environ)).encode()]

    def _told(self, environ: dict[str, Any]) -> dict[str, Any]:
        told = {name: value for name, value in environ.items() if isinstance(value, str)}
        return {**told, "body": environ["wsgi.input"].read().decode("latin-1")}

    def _parts(self, number: int) -> Iterator[bytes]:
        try:
            for _ in range(number):
                yield b"x" * 10_000
        finally:
            self.closed += 1


@contextmanager
def serving(application: Any, limits: Limits, folder: Path | None = None) -> Iterator[tuple[Server, int, SecureFiles | None]]:
    """(server, port, its certificates) while it serves; with a folder for certificates it speaks TLS."""
    files = secure_files(folder, [], datetime.now(UTC)) if folder else None
    server = Server(limits)
    door = server.open(("127.0.0.1", 0), application, proof_of(files) if files else None)
    with running(server):
        yield server, door.port, files


@contextmanager
def running(server: Server) -> Iterator[None]:
    """While its doors are open; it may be stopped before the end."""
    thread = threading.Thread(target=server.serve)
    thread.start()
    try:
        yield
    finally:
        server.stop()
        thread.join(PATIENCE_S)
        assert not thread.is_alive(), "the server did not stop"


def warned(caplog: pytest.LogCaptureFixture) -> list[str]:
    """What the log heeds so far, or worse."""
    return [one.getMessage() for one in caplog.records if one.levelno >= logging.WARNING]


def line_to(port: int, files: SecureFiles | None = None) -> socket.socket:
    """A raw line to the server, encrypted where it speaks TLS."""
    line = socket.create_connection(("127.0.0.1", port), PATIENCE_S)
    return ssl.create_default_context(cafile=str(files.authority)).wrap_socket(line, server_hostname="localhost") if files else line


def rest_of(line: socket.socket) -> bytes:
    """Everything the server says until it closes the line, however it closes it."""
    said = b""
    while True:
        try:
            part = line.recv(65536)
        except ConnectionResetError:
            return said
        if not part:
            return said
        said += part


def one_answer(line: socket.socket) -> tuple[int, dict[str, str], bytes]:
    """(status, headers, body) of the next answer; its length must be told."""
    said = b""
    while b"\r\n\r\n" not in said:
        part = line.recv(65536)
        assert part, f"the line was closed after {said!r}"
        said += part
    head, _, body = said.partition(b"\r\n\r\n")
    first, *rest = head.decode("latin-1").split("\r\n")
    headers = {name.lower(): value.strip() for name, _, value in (one.partition(":") for one in rest)}
    while len(body) < int(headers["content-length"]):
        body += line.recv(65536)
    return int(first.split(" ")[1]), headers, body
