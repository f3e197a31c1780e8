"""The house's certificates, judged by OpenSSL as a browser would judge them: believed for the house, and for nothing else."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import quote

import pytest
from cryptography import x509
from cryptography.x509.oid import ExtendedKeyUsageOID, ExtensionOID
from flask import Flask
from werkzeug.test import Client

from honeyhold.api import codes
from honeyhold.api.app import make_app
from honeyhold.api.introduction import introduction
from honeyhold.app import certificates, listeners
from honeyhold.app.certificates import AUTHORITY_DAYS, CERTIFICATE_DAYS, RENEW_BEFORE_DAYS, SecureFiles, may_vouch_for, secure_files
from honeyhold.app.listeners import Doors
from honeyhold.records import whole_file
from replication.houses import Watch, small_house

NOW = datetime.now(UTC)
NAMES = ["192.168.1.20", "honeyhouse.local"]


@contextmanager
def shaking_hands(certificate: Path) -> Iterator[int]:
    """A port on which somebody proves that it holds the certificate, once for every caller."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate)
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
    with shaking_hands(files.certificate) as port, socket.create_connection(("127.0.0.1", port), 10) as line:
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
    assert (tmp_path / "authority.pem").read_bytes() == before["authority.pem"]
    assert believes(second, "10.1.2.3")


def ends(folder: Path) -> datetime:
    """When the certificate that is shown ends."""
    return x509.load_pem_x509_certificate((folder / "house.pem").read_bytes()).not_valid_after_utc


def test_it_is_renewed_long_before_it_ends(tmp_path: Path) -> None:
    fingerprint = secure_files(tmp_path, NAMES, NOW).fingerprint
    first = ends(tmp_path)
    later = NOW + timedelta(days=CERTIFICATE_DAYS - RENEW_BEFORE_DAYS)
    assert secure_files(tmp_path, NAMES, later).fingerprint == fingerprint
    assert ends(tmp_path) - first > timedelta(days=300)


@pytest.mark.parametrize(("sooner_s", "renewed"), [(0, True), (1, False)])
def test_it_is_renewed_as_soon_as_no_more_than_so_many_days_are_left(tmp_path: Path, sooner_s: int, renewed: bool) -> None:
    secure_files(tmp_path, NAMES, NOW)
    first = ends(tmp_path)
    secure_files(tmp_path, NAMES, first - timedelta(days=RENEW_BEFORE_DAYS, seconds=sooner_s))
    assert (ends(tmp_path) > first) == renewed


def test_an_authority_serves_to_its_end_says_so_before_and_is_followed_by_a_new_one(tmp_path: Path) -> None:
    begun = NOW - timedelta(days=AUTHORITY_DAYS)
    first = secure_files(tmp_path, NAMES, begun)
    assert first.words == ""
    soon = secure_files(tmp_path, NAMES, begun + timedelta(days=AUTHORITY_DAYS - 300))
    assert soon.fingerprint == first.fingerprint and "is followed by a new one on" in soon.words
    assert soon.following is not None and first.following is None
    assert ends(tmp_path) <= x509.load_pem_x509_certificate(first.authority.read_bytes()).not_valid_after_utc
    second = secure_files(tmp_path, NAMES, NOW)
    assert second.fingerprint == soon.following.fingerprint != first.fingerprint and "is at its end" in second.words
    assert believes(second, "honeyhouse.local") and secure_files(tmp_path, NAMES, NOW).words == ""


def test_the_next_authority_is_announced_a_year_ahead_and_stays_the_same(tmp_path: Path) -> None:
    """A device that loaded it in that year trusts the main computer on the very day it changes; nothing to do then."""
    begun = NOW - timedelta(days=AUTHORITY_DAYS - RENEW_BEFORE_DAYS)
    secure_files(tmp_path, NAMES, begun)
    early, late = (secure_files(tmp_path, NAMES, NOW - timedelta(days=days)).following for days in (250, 4))
    assert early is not None and late is not None
    assert early.fingerprint == late.fingerprint and abs((early.day - NOW.date()).days) <= 1
    loaded = tmp_path / "loaded ahead.crt"
    loaded.write_bytes(late.authority.read_bytes())
    changed = secure_files(tmp_path, NAMES, NOW)
    assert changed.fingerprint == early.fingerprint and changed.following is None
    assert believes(replace(changed, authority=loaded), "honeyhouse.local")
    assert not (tmp_path / "authority-next.pem").exists()


def test_a_torn_authority_is_followed_by_the_one_that_was_announced(tmp_path: Path) -> None:
    secure_files(tmp_path, NAMES, NOW - timedelta(days=AUTHORITY_DAYS - 200))
    announced = secure_files(tmp_path, NAMES, NOW).following
    assert announced is not None
    (tmp_path / "authority.pem").write_bytes(b"torn")
    after = secure_files(tmp_path, NAMES, NOW)
    assert after.fingerprint == announced.fingerprint and "the next one takes its place" in after.words


@pytest.mark.parametrize("left", [0, 10, 400])
def test_a_torn_certificate_is_made_anew_and_devices_trust_it(tmp_path: Path, left: int) -> None:
    first = secure_files(tmp_path, NAMES, NOW)
    first.certificate.write_bytes(first.certificate.read_bytes()[:left])
    second = secure_files(tmp_path, NAMES, NOW)
    assert second.fingerprint == first.fingerprint and second.words == "" and believes(second, "honeyhouse.local")


@pytest.mark.parametrize("left", [0, 10, 400])
def test_a_torn_authority_is_kept_aside_made_anew_and_told_of(tmp_path: Path, left: int) -> None:
    first = secure_files(tmp_path, NAMES, NOW)
    (tmp_path / "authority.pem").write_bytes((tmp_path / "authority.pem").read_bytes()[:left])
    second = secure_files(tmp_path, NAMES, NOW)
    assert second.fingerprint != first.fingerprint and "load it again" in second.words
    assert len(list(tmp_path.glob("authority-damaged-*.pem"))) == 1 and believes(second, "honeyhouse.local")
    assert secure_files(tmp_path, NAMES, NOW).words == ""


def test_a_key_of_another_certificate_is_no_key(tmp_path: Path) -> None:
    """Two files of two makings, put together by hand or by a backup."""
    first, other = secure_files(tmp_path / "one", NAMES, NOW), secure_files(tmp_path / "other", NAMES, NOW)
    key, _, _ = other.certificate.read_bytes().partition(b"-----BEGIN CERTIFICATE-----")
    _, begin, certificate = first.certificate.read_bytes().partition(b"-----BEGIN CERTIFICATE-----")
    first.certificate.write_bytes(key + begin + certificate)
    assert believes(secure_files(tmp_path / "one", NAMES, NOW), "honeyhouse.local")


def test_what_the_authority_did_not_sign_is_made_anew(tmp_path: Path) -> None:
    first, other = secure_files(tmp_path / "one", NAMES, NOW), secure_files(tmp_path / "other", NAMES, NOW)
    first.certificate.write_bytes(other.certificate.read_bytes())
    assert believes(secure_files(tmp_path / "one", NAMES, NOW), "honeyhouse.local")


def test_a_write_cut_short_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = secure_files(tmp_path, NAMES, NOW)
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}

    def no_room(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(whole_file.os, "fsync", no_room)
    with pytest.raises(OSError, match="No space"):
        secure_files(tmp_path, [*NAMES, "10.1.2.3"], NOW)
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir() if file.suffix != ".part"} == before
    monkeypatch.undo()
    assert secure_files(tmp_path, [*NAMES, "10.1.2.3"], NOW).fingerprint == first.fingerprint


def test_an_authority_of_an_earlier_version_is_kept(tmp_path: Path) -> None:
    """It lay in two files; devices trust it."""
    first = secure_files(tmp_path, NAMES, NOW)
    whole = (tmp_path / "authority.pem").read_bytes()
    (tmp_path / "authority.key").write_bytes(whole.partition(b"-----BEGIN CERTIFICATE-----")[0])
    (tmp_path / "authority.pem").unlink()
    second = secure_files(tmp_path, NAMES, NOW)
    assert second.fingerprint == first.fingerprint and second.words == "" and not (tmp_path / "authority.key").exists()
    assert (tmp_path / "authority.pem").read_bytes() == whole
    assert secure_files(tmp_path, [*NAMES, "10.1.2.3"], NOW).fingerprint == first.fingerprint


def test_the_authority_signs_and_does_nothing_else_and_the_house_is_no_authority(tmp_path: Path) -> None:
    """RFC 5280: 4.2.1.9 basic constraints, 4.2.1.3 key usage, 4.2.1.10 name constraints, 4.2.1.12 extended key usage."""
    files = secure_files(tmp_path, NAMES, NOW)
    authority, house = (x509.load_pem_x509_certificate(file.read_bytes()) for file in (files.authority, files.certificate))
    assert {one.oid: one.critical for one in authority.extensions} == {
        ExtensionOID.BASIC_CONSTRAINTS: True, ExtensionOID.KEY_USAGE: True, ExtensionOID.NAME_CONSTRAINTS: True,
        ExtensionOID.SUBJECT_KEY_IDENTIFIER: False,
    }  # fmt: skip
    looked_at = (x509.BasicConstraints, x509.KeyUsage, x509.NameConstraints)
    basic, usage, names = (authority.extensions.get_extension_for_class(one).value for one in looked_at)
    assert (basic.ca, basic.path_length) == (True, 0) and names.permitted_subtrees and not names.excluded_subtrees
    usages = (
        "digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement", "key_cert_sign", "crl_sign",
    )  # fmt: skip
    assert [one for one in usages if getattr(usage, one)] == ["key_cert_sign", "crl_sign"]
    assert {one.oid: one.critical for one in house.extensions} == {
        ExtensionOID.BASIC_CONSTRAINTS: True, ExtensionOID.EXTENDED_KEY_USAGE: False, ExtensionOID.SUBJECT_ALTERNATIVE_NAME: False,
        ExtensionOID.AUTHORITY_KEY_IDENTIFIER: False,
    }  # fmt: skip
    basic, used_for = (house.extensions.get_extension_for_class(one).value for one in (x509.BasicConstraints, x509.ExtendedKeyUsage))
    assert (basic.ca, basic.path_length) == (False, None) and list(used_for) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert house.issuer == authority.subject and house.issuer != house.subject


def test_keys_are_for_the_house_alone(tmp_path: Path) -> None:
    folder = tmp_path / "certificates"
    secure_files(folder, NAMES, NOW)
    assert {file.name: oct(file.stat().st_mode & 0o777) for file in (folder, *folder.glob("*.pem"))} == {
        "certificates": "0o700", "authority.pem": "0o600", "house.pem": "0o600",
    }  # fmt: skip


def test_while_the_house_runs_a_new_address_and_a_new_year_are_believed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody starts it anew for that: the next connection is shown the new certificate, under the same authority."""
    addresses, now = ["10.0.0.7"], [NOW]
    monkeypatch.setattr(listeners, "own_names", lambda: addresses)
    monkeypatch.setattr(listeners, "machine_time", lambda: now[0])
    doors = Doors(Flask("honeyhold"))
    doors.open_here(0)
    first = doors.open_to_devices(tmp_path, "The house")
    thread = threading.Thread(target=doors.serve)
    thread.start()
    try:
        trust = ssl.create_default_context(cafile=str(tmp_path / "authority.crt"))
        port = int(first.secure_address.rstrip("/").rsplit(":", 1)[1])
        assert shown_to(trust, port, "10.0.0.7")
        addresses[:] = ["10.0.0.8"]
        doors.renew()
        serial = shown_to(trust, port, "10.0.0.8")
        assert doors.neighbourhood is not None and doors.neighbourhood.secure_address == f"https://10.0.0.8:{port}/"
        assert doors.neighbourhood.fingerprint == first.fingerprint
        assert first.earlier == () and doors.neighbourhood.earlier == (first.secure_address,)
        doors.renew()
        assert shown_to(trust, port, "10.0.0.8") == serial
        now[0] = NOW + timedelta(days=CERTIFICATE_DAYS - RENEW_BEFORE_DAYS)
        doors.renew()
        assert ends(tmp_path) > NOW + timedelta(days=CERTIFICATE_DAYS + 200)
    finally:
        doors.stop()
        thread.join(60)


def test_devices_are_told_of_the_next_certificate_and_where_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The letters in Settings are those of the very file that the page for the first time hands out."""
    house = small_house(tmp_path, Watch())
    device_of = house.enrol(house.new_code("helper")["code"], "Shed phone")
    app = make_app(house)
    ask = {"headers": {"Authorization": f"Bearer {device_of['token']}"}}
    assert app.test_client().get("/api/trust", **ask).get_json() == {"letters": None, "introduction": None, "next": None}
    monkeypatch.setattr(listeners, "own_names", lambda: ["10.0.0.7"])
    secure_files(tmp_path / "certificates", [], NOW - timedelta(days=AUTHORITY_DAYS - 300))
    doors = Doors(app)
    doors.open_here(0)
    where = doors.open_to_devices(tmp_path / "certificates", "The house")
    try:
        told = app.test_client().get("/api/trust", **ask).get_json()
        assert told["letters"] == where.fingerprint and told["next"]["address"] == where.introduction_address
        assert (NOW.date() + timedelta(days=230)).isoformat() < told["next"]["day"] < (NOW.date() + timedelta(days=250)).isoformat()
        page = introduction(tmp_path / "certificates" / "authority.crt", where, "The house")
        client = Client(page)
        loaded = x509.load_pem_x509_certificate(client.get("/next.crt").get_data())
        assert certificates.fingerprint(loaded) == told["next"]["letters"]
        assert told["next"]["letters"].split()[0] in client.get("/").get_data(as_text=True)
    finally:
        doors.stop()
        house.close()


def shown_to(trust: ssl.SSLContext, port: int, name: str) -> bytes:
    """The certificate that a trusting device is shown under a name; raises where it does not believe it."""
    with socket.create_connection(("127.0.0.1", port), 30) as line, trust.wrap_socket(line, server_hostname=name) as secure:
        found = secure.getpeercert(binary_form=True)
    assert found is not None
    return found


def test_a_code_also_opens_devices_where_they_were_before(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the new address and its code in the picture, so that what they have not sent is handed over from there."""
    house = small_house(tmp_path, Watch())
    owner = house.enrol(house.new_code("keeper")["code"], "Desk")
    app, addresses = make_app(house), ["10.0.0.7"]
    monkeypatch.setattr(listeners, "own_names", lambda: addresses)
    drawn: list[str] = []
    monkeypatch.setattr(codes, "picture_of", lambda address, _title: drawn.append(address) or "<svg/>")  # type: ignore[func-returns-value]
    doors = Doors(app)
    doors.open_here(0)
    before = doors.open_to_devices(tmp_path / "certificates", "The house").secure_address
    ask = {"json": {"role": "helper"}, "headers": {"Authorization": f"Bearer {owner['token']}"}}
    try:
        assert app.test_client().post("/api/codes", **ask).get_json()["earlier"] == []
        addresses[:] = ["10.0.0.8"]
        doors.renew()
        made = app.test_client().post("/api/codes", **ask).get_json()
        assert made["earlier"] == [{"address": before, "qr_svg": "<svg/>"}] and "//10.0.0.8:" in made["address"]
        assert drawn[-1] == f"{before}#settings/moved/{quote(made['address'], safe='')}"
    finally:
        doors.stop()
        house.close()
