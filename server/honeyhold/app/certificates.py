"""The house's own certificates, so that phones and tablets get the secure address without which a browser keeps nothing.

A small authority of the house signs one certificate for the machine it runs on. The authority is bound by name
constraints (RFC 5280, 4.2.1.10): it can vouch for this house's kind of address only (`localhost`, names ending in `.local`,
private and link-local IPv4 networks), so a phone that trusts it does not trust it for anything on the internet.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv4Address, IPv4Network, ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_DAYS = 3650
CERTIFICATE_DAYS = 397
"""No longer than browsers take from anybody; it is made anew at a start long before it ends."""
RENEW_BEFORE_DAYS = 60
EARLIER = timedelta(days=1)
"""Valid since yesterday: a phone's clock may be behind."""
OWN_NAMES = ("localhost", "local")
OWN_NETWORKS = ("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")

Key = ec.EllipticCurvePrivateKey


@dataclass(frozen=True)
class SecureFiles:
    """Where the server finds what it needs, and how a person recognises the authority."""

    authority: Path
    certificate: Path
    key: Path
    fingerprint: str
    """SHA-256 of the authority's certificate, in groups of four letters as a phone's settings show it."""


def secure_files(folder: Path, names: Iterable[str], now: datetime) -> SecureFiles:
    """The house's certificates in `folder`, made or renewed where needed.

    `names` are the names and IPv4 addresses of this machine; those the authority may not vouch for are left out.
    `now` is the machine's time, not the house's: a demo that plays in another year still shows a certificate of today.
    Raises `OSError` when the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    wanted = sorted({name.lower() for name in names if may_vouch_for(name)} | {"localhost", "127.0.0.1"})
    authority_key, authority = _authority(folder, now)
    certificate, key = folder / "house.crt", folder / "house.key"
    if not _still_good(certificate, key, authority, wanted, now):
        _make_certificate(certificate, key, (authority_key, authority), wanted, now)
    return SecureFiles(folder / "authority.crt", certificate, key, fingerprint(authority))


def may_vouch_for(name: str) -> bool:
    """Whether a name or address lies within what the authority is bound to."""
    address = _address(name)
    if address is not None:
        return any(address in IPv4Network(network) for network in OWN_NETWORKS)
    return name.lower() == "localhost" or name.lower().endswith(".local")


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 of the whole certificate as upper-case hex, four letters to a group."""
    letters = certificate.fingerprint(hashes.SHA256()).hex().upper()
    return " ".join(letters[at : at + 4] for at in range(0, len(letters), 4))


def _authority(folder: Path, now: datetime) -> tuple[Key, x509.Certificate]:
    key_file, certificate_file = folder / "authority.key", folder / "authority.crt"
    if key_file.exists() and certificate_file.exists():
        certificate = x509.load_pem_x509_certificate(certificate_file.read_bytes())
        if now + timedelta(days=CERTIFICATE_DAYS) < certificate.not_valid_after_utc:
            return _read_key(key_file), certificate
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = _authority_certificate(key, now)
    _write_key(key_file, key)
    certificate_file.write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    return key, certificate


def _authority_certificate(key: Key, now: datetime) -> x509.Certificate:
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Honey house, {now:%Y-%m-%d}")])
    permitted: list[x509.GeneralName] = [x509.DNSName(own) for own in OWN_NAMES]
    permitted += [x509.IPAddress(IPv4Network(network)) for network in OWN_NETWORKS]
    usage = x509.KeyUsage(
        digital_signature=False, content_commitment=False, key_encipherment=False, data_encipherment=False, key_agreement=False,
        key_cert_sign=True, crl_sign=True, encipher_only=False, decipher_only=False,
    )  # fmt: skip
    return (
        _builder(name, name, key, now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(permitted, excluded_subtrees=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


def _make_certificate(file: Path, key_file: Path, authority: tuple[Key, x509.Certificate], names: list[str], now: datetime) -> None:
    signer, issuer = authority
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Honeyhold")])
    certificate = (
        _builder(subject, issuer.subject, key, now, CERTIFICATE_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_general_name(name) for name in names]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )
    _write_key(key_file, key)
    file.write_bytes(certificate.public_bytes(serialization.Encoding.PEM))


def _builder(subject: x509.Name, issuer: x509.Name, key: Key, now: datetime, days: int) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(now + timedelta(days=days) - EARLIER)
    )


def _still_good(file: Path, key: Path, authority: x509.Certificate, names: list[str], now: datetime) -> bool:
    if not (file.exists() and key.exists()):
        return False
    certificate = x509.load_pem_x509_certificate(file.read_bytes())
    said = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    has = {str(name.value) for name in said}
    by_us = certificate.issuer == authority.subject and certificate.not_valid_before_utc >= authority.not_valid_before_utc
    return by_us and has >= set(names) and now + timedelta(days=RENEW_BEFORE_DAYS) < certificate.not_valid_after_utc


def _general_name(name: str) -> x509.GeneralName:
    address = _address(name)
    return x509.IPAddress(address) if address is not None else x509.DNSName(name)


def _address(name: str) -> IPv4Address | None:
    try:
        found = ip_address(name)
    except ValueError:
        return None
    return found if isinstance(found, IPv4Address) else None


def _read_key(file: Path) -> Key:
    key = serialization.load_pem_private_key(file.read_bytes(), None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise ValueError(f"{file.name} holds no key of ours; move it away and start again.")
    return key


def _write_key(file: Path, key: Key) -> None:
    """A key is never readable by others, not even for the moment of its making."""
    text = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    file.unlink(missing_ok=True)
    with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as opened:
        opened.write(text)
