"""What a device that does not know the house yet is shown, and what the doors tell of it."""

from __future__ import annotations

import html
import re
import socket
import subprocess
import sys
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from wsgiref.util import setup_testing_defaults

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.hashes import SHA256
from flask import Flask

from honeyhold.api.introduction import Neighbourhood, introduction, own_names
from honeyhold.app.certificates import secure_files
from honeyhold.app.listeners import Doors, NoCertificates

WHERE = Neighbourhood("https://192.168.1.20:8471/", "http://192.168.1.20:8472/", "")


def ask(app: object, path: str, method: str = "GET") -> tuple[str, dict[str, str], bytes]:
    """(status, headers, body) of a request to a WSGI application."""
    environ: dict[str, object] = {"PATH_INFO": path, "REQUEST_METHOD": method}
    setup_testing_defaults(environ)
    heard: list[tuple[str, dict[str, str]]] = []
    body = b"".join(app(environ, lambda status, headers: heard.append((status, dict(headers)))))  # type: ignore[operator]
    return *heard[0], body


def test_the_page_shows_the_letters_of_the_certificate_it_hands_out(tmp_path: Path) -> None:
    files = secure_files(tmp_path, [], datetime.now(UTC))
    app = introduction(files.authority, Neighbourhood(WHERE.secure_address, WHERE.introduction_address, files.fingerprint), "A <house>")
    status, headers, page = ask(app, "/")
    assert status == "200 OK" and headers["Content-Security-Policy"].startswith("default-src 'none'")
    text = page.decode()
    assert "A &lt;house&gt;" in text and WHERE.secure_address in html.unescape(text)
    shown = "".join(re.findall(r"<span>([0-9A-F]{4})</span>", text))
    _, _, certificate = ask(app, "/house.crt")
    assert shown == x509.load_pem_x509_certificate(certificate).fingerprint(SHA256()).hex().upper()


@pytest.mark.parametrize(
    ("path", "method"), [("/authority.key", "GET"), ("/../authority.key", "GET"), ("/", "POST"), ("/api/health", "GET")]
)
def test_nothing_else_is_to_be_had_there(tmp_path: Path, path: str, method: str) -> None:
    files = secure_files(tmp_path, [], datetime.now(UTC))
    status, _, body = ask(introduction(files.authority, WHERE, "House"), path, method)
    assert status == "404 Not Found" and not body


def test_own_names_are_told_once_each() -> None:
    names = own_names()
    assert len(names) == len(set(names)) and all(names)


def test_a_taken_port_is_said_plainly(tmp_path: Path) -> None:
    """In a process of its own: the server's library lets go of a socket that it could not bind only when it ends."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        house = [sys.executable, "-m", "honeyhold.app.command_line", "serve", "--no-browser"]
        command = [*house, "--data", str(tmp_path), "--port", str(port)]
        ended = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert ended.returncode == 1
    assert f"port {port}" in ended.stderr and "--port" in ended.stderr and "Traceback" not in ended.stderr


def test_a_taken_port_above_one_that_the_machine_chose_stops_nobody(tmp_path: Path) -> None:
    """Each door gets a port of its own then, and the page of the first time tells where the secure one is."""
    doors = Doors(Flask("honeyhold"))
    try:
        first = doors.open_here(0)
        with socket.socket() as another:
            with suppress(OSError):  # somebody listens there already: that will do
                another.bind(("0.0.0.0", first + 1))
                another.listen()
            where = doors.open_to_devices(tmp_path, "The house")
    finally:
        doors.stop()
    ports = {int(address.rstrip("/").rsplit(":", 1)[1]) for address in (where.secure_address, where.introduction_address)}
    assert len(ports) == 2 and not ports & {first, first + 1}


def test_certificates_that_cannot_be_written_are_told_with_what_to_do_and_nobody_listens_then(tmp_path: Path) -> None:
    (tmp_path / "in the way").write_text("a file", "utf-8")
    doors = Doors(Flask(__name__))
    doors.open_here(0)
    with pytest.raises(NoCertificates, match="cannot be read or written") as told:
        doors.open_to_devices(tmp_path / "in the way" / "certificates", "A house")
    assert told.value.remedy == "Make room there, or let this user write there."
