"""The house's certificates, judged by OpenSSL as a browser would judge them: believed for the house, and for nothing else."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from honeyhold.app import certificates
from honeyhold.app.certificates import CERTIFICATE_DAYS, RENEW_BEFORE_DAYS, SecureFiles, may_vouch_for, secure_files

NOW = datetime.now(UTC)
NAMES = ["192.168.1.20", "honeyhouse.local"]


@contextmanager
def shaking_hands(certificate: Path, key: Path) -> Iterator[int]:
    """A port on which somebody proves that it holds the certificate, once for every caller."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate, key)
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def answer() -> None:
            while True:
                try:
                    caller, _ = listening.accept()
                except OSError:
                    return
                with caller:
                    try:
                        context.wrap_socket(caller, server_side=True).close()
                    except OSError:
                        continue

        threading.Thread(target=answer, daemon=True).start()
        yield listening.getsockname()[1]


def believes(files: SecureFiles, name: str) -> bool:
    """Whether a device that trusts the authority believes that this is `name`."""
    context = ssl.create_default_context(cafile=str(files.authority))
    with shaking_hands(files.certificate, files.key) as port, socket.create_connection(("127.0.0.1", port), 10) as line:
        try:
            context.wrap_socket(line, server_hostname=name).close()
        except ssl.SSLCertVerificationError:
            return False
    return True


def test_a_device_that_trusts_the_house_believes_its_names_and_no_other(tmp_path: Path) -> None:
    files = secure_files(tmp_path, NAMES, NOW)
    assert [name for name in ["localhost", "127.0.0.1", *NAMES, "192.168.1.21", "other.local"] if believes(files, name)] == [
        "localhost", "127.0.0.1", *NAMES,
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["bank.example.org", "203.0.113.7"])
def test_a_stolen_authority_cannot_vouch_for_the_internet(tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """RFC 5280, 6.1.4 (g): names outside the permitted subtrees make the chain invalid. The check that we leave out is put aside."""
    monkeypatch.setattr(certificates, "may_vouch_for", lambda _name: True)
    files = secure_files(tmp_path, [name], NOW)
    said = x509.load_pem_x509_certificate(files.certificate.read_bytes()).extensions.get_extension_for_class(x509.SubjectAlternativeName)
    assert name in {str(entry.value) for entry in said.value}
    assert not believes(files, name)


def test_names_beyond_the_house_are_left_out(tmp_path: Path) -> None:
    asked = ["10.0.0.3", "172.32.0.1", "8.8.8.8", "LOCALHOST", "shed.local", "local.example.org", "::1"]
    assert [name for name in asked if may_vouch_for(name)] == ["10.0.0.3", "LOCALHOST", "shed.local"]
    assert believes(secure_files(tmp_path, ["8.8.8.8", "shed.local"], NOW), "shed.local")


def test_a_second_start_changes_nothing_and_a_new_name_only_the_certificate(tmp_path: Path) -> None:
    first = secure_files(tmp_path, NAMES, NOW)
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}
    secure_files(tmp_path, NAMES, NOW + timedelta(days=30))
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before
    second = secure_files(tmp_path, [*NAMES, "10.1.2.3"], NOW)
    assert second.fingerprint == first.fingerprint
    assert (tmp_path / "authority.key").read_bytes() == before["authority.key"]
    assert believes(second, "10.1.2.3")


def test_it_is_renewed_long_before_it_ends(tmp_path: Path) -> None:
    def ends() -> datetime:
        return x509.load_pem_x509_certificate((tmp_path / "house.crt").read_bytes()).not_valid_after_utc

    fingerprint = secure_files(tmp_path, NAMES, NOW).fingerprint
    first = ends()
    later = NOW + timedelta(days=CERTIFICATE_DAYS - RENEW_BEFORE_DAYS)
    assert secure_files(tmp_path, NAMES, later).fingerprint == fingerprint
    assert ends() - first > timedelta(days=300)


def test_an_authority_near_its_end_is_followed_by_a_new_one(tmp_path: Path) -> None:
    first = secure_files(tmp_path, NAMES, NOW - timedelta(days=3650 - 30))
    second = secure_files(tmp_path, NAMES, NOW)
    assert second.fingerprint != first.fingerprint
    assert believes(second, "honeyhouse.local")


def test_keys_are_for_the_house_alone(tmp_path: Path) -> None:
    secure_files(tmp_path, NAMES, NOW)
    assert {file.name: oct(file.stat().st_mode & 0o777) for file in tmp_path.glob("*.key")} == {
        "authority.key": "0o600", "house.key": "0o600",
    }  # fmt: skip
