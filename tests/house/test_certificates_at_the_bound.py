"""From which moment on a certificate is made anew, announced or told of: to the second; and what it says of itself."""

from __future__ import annotations

import hashlib
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.x509.oid import NameOID

from honeyhold.app.certificates import (
    AUTHORITY_DAYS,
    CERTIFICATE_DAYS,
    EARLIER,
    RENEW_BEFORE_DAYS,
    SAY_BEFORE_DAYS,
    may_vouch_for,
    secure_files,
)

BEGUN = datetime(2026, 7, 20, 14, 10, tzinfo=UTC)
SECOND = timedelta(seconds=1)
ENDS = BEGUN + timedelta(days=AUTHORITY_DAYS) - EARLIER
NAMES = ["192.168.1.20", "Honeyhouse.local"]
ANEW = "; a new one was made. On each device load it again and compare the letters."


def certificate_in(file: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(file.read_bytes())


def names_in(file: Path) -> list[str]:
    said = certificate_in(file).extensions.get_extension_for_class(x509.SubjectAlternativeName)
    return [str(one.value) for one in said.value]


def test_how_long_each_is_valid_and_what_it_is_called(tmp_path: Path) -> None:
    files = secure_files(tmp_path / "deep" / "er", [*NAMES, "8.8.8.8", "LOCALHOST"], BEGUN)
    authority, shown = certificate_in(files.authority), certificate_in(files.certificate)
    assert (authority.not_valid_before_utc, authority.not_valid_after_utc) == (BEGUN - EARLIER, ENDS)
    assert (shown.not_valid_before_utc, shown.not_valid_after_utc) == (BEGUN - EARLIER, BEGUN + timedelta(days=CERTIFICATE_DAYS) - EARLIER)
    called = [one.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value for one in (authority, shown)]
    assert called == ["Honey house, 2026-07-20", "Honeyhold"] and authority.issuer == authority.subject == shown.issuer
    assert names_in(files.certificate) == ["127.0.0.1", "192.168.1.20", "honeyhouse.local", "localhost"]
    whole = hashlib.sha256(authority.public_bytes(serialization.Encoding.DER)).hexdigest().upper()
    assert files.fingerprint.replace(" ", "") == whole and [len(part) for part in files.fingerprint.split(" ")] == [4] * 16
    assert (files.words, files.following) == ("", None)


@pytest.mark.parametrize(("left", "stays"), [(SECOND, True), (timedelta(0), False)])
def test_an_authority_is_shown_while_more_than_so_many_days_are_left(tmp_path: Path, left: timedelta, stays: bool) -> None:
    first = secure_files(tmp_path, NAMES, BEGUN)
    after = secure_files(tmp_path, NAMES, ENDS - timedelta(days=RENEW_BEFORE_DAYS) - left)
    assert (after.fingerprint == first.fingerprint) == stays
    day = f"{(ENDS - timedelta(days=RENEW_BEFORE_DAYS)).date()}"
    soon = f"The certificate that devices trust is followed by a new one on {day}. Load it on each device before: Settings, this device."
    assert after.words == (soon if stays else f"The certificate that devices trust is at its end{ANEW}")
    assert (after.following is not None) == stays


@pytest.mark.parametrize(("left", "told"), [(SECOND, False), (timedelta(0), True)])
def test_the_next_one_is_told_of_from_its_last_year_on(tmp_path: Path, left: timedelta, told: bool) -> None:
    secure_files(tmp_path, NAMES, BEGUN)
    files = secure_files(tmp_path, NAMES, ENDS - timedelta(days=SAY_BEFORE_DAYS) - left)
    assert (files.following is not None) == bool(files.words) == (tmp_path / "authority-next.crt").exists() == told
    if files.following is not None:
        assert files.following.day == (ENDS - timedelta(days=RENEW_BEFORE_DAYS)).date()
        assert files.following.authority == tmp_path / "authority-next.crt"


def test_an_authority_that_ends_no_later_does_not_follow(tmp_path: Path) -> None:
    """As where somebody copied the present one there."""
    first = secure_files(tmp_path, NAMES, BEGUN)
    shutil.copy(tmp_path / "authority.pem", tmp_path / "authority-next.pem")
    following = secure_files(tmp_path, NAMES, ENDS - timedelta(days=100)).following
    assert following is not None and following.fingerprint != first.fingerprint


def test_what_is_handed_out_is_put_right_where_it_is_not_what_is_kept(tmp_path: Path) -> None:
    secure_files(tmp_path, NAMES, BEGUN)
    late = ENDS - timedelta(days=100)
    secure_files(tmp_path, NAMES, late)
    public = [tmp_path / "authority.crt", tmp_path / "authority-next.crt"]
    right = [file.read_bytes() for file in public]
    for other in (b"something else", None):
        for file in public:
            file.write_bytes(other) if other else file.unlink()
        secure_files(tmp_path, NAMES, late)
        assert [file.read_bytes() for file in public] == right


@pytest.mark.parametrize(("earlier", "stays"), [(timedelta(0), True), (SECOND, False)])
def test_a_certificate_of_tomorrow_is_made_anew(tmp_path: Path, earlier: timedelta, stays: bool) -> None:
    """The machine's clock was ahead when it was made."""
    first = secure_files(tmp_path, NAMES, BEGUN)
    before = first.certificate.read_bytes()
    after = secure_files(tmp_path, NAMES, BEGUN - EARLIER - earlier)
    assert (after.certificate.read_bytes() == before) == stays and after.fingerprint == first.fingerprint


@pytest.mark.parametrize(
    ("names", "stays"), [(NAMES, True), (NAMES[:1], True), ([], True), ([*NAMES, "8.8.8.8"], True), ([*NAMES, "10.0.0.3"], False)]
)
def test_a_certificate_serves_while_it_has_every_name_there_is(tmp_path: Path, names: list[str], stays: bool) -> None:
    before = secure_files(tmp_path, NAMES, BEGUN).certificate.read_bytes()
    assert (secure_files(tmp_path, names, BEGUN).certificate.read_bytes() == before) == stays


def test_a_certificate_ends_no_later_than_its_authority(tmp_path: Path) -> None:
    secure_files(tmp_path, NAMES, BEGUN)
    files = secure_files(tmp_path, NAMES, ENDS - timedelta(days=100))
    assert certificate_in(files.certificate).not_valid_after_utc == ENDS
    before = files.certificate.read_bytes()
    assert secure_files(tmp_path, NAMES, ENDS - timedelta(days=61)).certificate.read_bytes() == before


@pytest.mark.parametrize(
    ("gone", "words"),
    [
        (["authority.pem"], f"The certificate that devices trust could not be read, or its key is gone{ANEW}"),
        (["authority.pem", "authority.crt"], ""),
    ],
)
def test_a_key_that_is_gone_is_told_of_and_a_folder_that_is_empty_is_not(tmp_path: Path, gone: list[str], words: str) -> None:
    first = secure_files(tmp_path, NAMES, BEGUN)
    for name in gone:
        (tmp_path / name).unlink()
    after = secure_files(tmp_path, NAMES, BEGUN)
    assert after.fingerprint != first.fingerprint and after.words == words and not list(tmp_path.glob("authority-damaged-*"))


def test_what_cannot_be_read_is_kept_under_the_moment_and_the_next_one_is_told_of_by_name(tmp_path: Path) -> None:
    secure_files(tmp_path, NAMES, BEGUN)
    late = ENDS - timedelta(days=100)
    secure_files(tmp_path, NAMES, late)
    (tmp_path / "authority.pem").write_bytes(b"torn")
    words = secure_files(tmp_path, NAMES, late).words
    assert words == (
        "The certificate that devices trust could not be read, or its key is gone; the next one takes its place. "
        "A device that has not loaded it loads it now."
    )
    assert (tmp_path / f"authority-damaged-{late:%Y%m%d-%H%M%S}.pem").read_bytes() == b"torn"
    assert not (tmp_path / "authority-next.pem").exists() and not (tmp_path / "authority-next.crt").exists()


@pytest.mark.parametrize(
    ("name", "may"),
    [
        ("10.0.0.0", True), ("10.255.255.255", True), ("9.255.255.255", False), ("11.0.0.0", False), ("172.15.255.255", False),
        ("172.16.0.0", True), ("172.31.255.255", True), ("172.32.0.0", False), ("192.167.255.255", False), ("192.168.0.0", True),
        ("192.168.255.255", True), ("192.169.0.0", False), ("169.254.1.1", True), ("127.0.0.1", True), ("local", False),
        ("localhost", True), ("a.LOCAL", True), ("mylocal", False), ("localhost.example.org", False), ("fe80::1", False),
    ],
)  # fmt: skip
def test_the_house_speaks_for_its_own_networks_to_their_ends(name: str, may: bool) -> None:
    assert may_vouch_for(name) == may
