"""An nginx of the tests' own in front of two servers, by the example that is given to whoever keeps one (server/nginx.conf)."""

from __future__ import annotations

import os
import shutil
import socket
import ssl
import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

EXAMPLE = Path(__file__).resolve().parents[2] / "server" / "nginx.conf"
MISSING = "nginx is NOT INSTALLED (Debian: nginx): that its example in server/nginx.conf works was not looked at"
PATIENCE_S = 60


def program() -> str:
    """Where nginx is; empty where it is not."""
    return shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin:/usr/local/sbin:/opt/homebrew/bin") or ""


def certificate(folder: Path) -> None:
    """A certificate for example.org and all names below it, and its key."""
    key = ec.generate_private_key(ec.SECP256R1())
    name, now = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "example.org")]), datetime.now(UTC)
    made = x509.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key())
    day = timedelta(days=1)
    made = made.serial_number(x509.random_serial_number()).not_valid_before(now - day).not_valid_after(now + day)
    names = x509.SubjectAlternativeName([x509.DNSName("example.org"), x509.DNSName("*.example.org")])
    signed = made.add_extension(names, False).add_extension(x509.BasicConstraints(True, None), True).sign(key, hashes.SHA256())
    (folder / "example.org.pem").write_bytes(signed.public_bytes(serialization.Encoding.PEM))
    plain = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    (folder / "example.org.key").write_bytes(key.private_bytes(*plain))


@contextmanager
def in_front_of(ports: Sequence[int], folder: Path) -> Iterator[tuple[int, ssl.SSLContext]]:
    """(port, what a client trusts) while nginx runs; skipped, and said at the end of the run, where there is none."""
    if not program() and os.environ.get("HONEYHOLD_SERVERS_NEEDED"):
        pytest.fail(f"{MISSING}.")
    if not program():
        pytest.skip(f"{MISSING}.")
    folder.mkdir()
    certificate(folder)
    with closing(socket.socket()) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    changed = {"/etc/honeyhold/": f"{folder}/", "listen 443": f"listen 127.0.0.1:{port}"}
    changed |= {f"127.0.0.1:{8490 + place}": f"127.0.0.1:{worker}" for place, worker in enumerate(ports)}
    text = EXAMPLE.read_text("utf-8")
    for old, new in changed.items():
        assert old in text, old
        text = text.replace(old, new)
    places = " ".join(f"{what}_temp_path {folder}/{what};" for what in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
    around = f"daemon off; pid {folder}/pid; error_log {folder}/error.log; events {{}} http {{ access_log off; {places}\n{text}\n}}"
    (folder / "whole.conf").write_text(around, "utf-8")
    process = subprocess.Popen([program(), "-p", str(folder), "-c", str(folder / "whole.conf"), "-e", str(folder / "error.log")])
    try:
        until = time.monotonic() + PATIENCE_S
        while not _listens(port):
            assert process.poll() is None and time.monotonic() < until, (folder / "error.log").read_text("utf-8")
            time.sleep(0.02)
        yield port, ssl.create_default_context(cafile=str(folder / "example.org.pem"))
    finally:
        process.terminate()
        process.wait(PATIENCE_S)


def _listens(port: int) -> bool:
    try:
        socket.create_connection(("127.0.0.1", port), 1).close()
    except OSError:
        return False
    return True
