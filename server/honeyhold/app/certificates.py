"""The house's own certificates, so that phones and tablets get the secure address without which a browser keeps nothing.

A small authority of the house signs one certificate for the machine it runs on. The authority is bound by name
constraints (RFC 5280, 4.2.1.10): it can vouch for this house's kind of address only (`localhost`, names ending in `.local`,
private and link-local IPv4 networks), so a phone that trusts it does not trust it for anything on the internet.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from ipaddress import IPv4Address, IPv4Network, ip_address
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from honeyhold.api.elsewhere import OWN_NETWORKS
from honeyhold.records.whole_file import write_whole

AUTHORITY_DAYS = 3650
CERTIFICATE_DAYS = 397
"""No longer than browsers take from anybody; it is made anew long before it ends, also while Honeyhold runs."""
RENEW_BEFORE_DAYS = 60
SAY_BEFORE_DAYS = 365
"""So long before its own end the authority says at every start that the devices will have to trust a new one."""
EARLIER = timedelta(days=1)
"""Valid since yesterday: a phone's clock may be behind."""
OWN_NAMES = ("localhost", "local")

AUTHORITY, AUTHORITY_SHOWN, CERTIFICATE = "authority.pem", "authority.crt", "house.pem"
NEXT, NEXT_SHOWN = "authority-next.pem", "authority-next.crt"
"""The authority that follows: made and shown a year before the present one ends, so that every device can trust it in time."""
OLD_FILES = ("authority.key", "house.key", "house.crt")
"""What earlier versions had besides."""

Key = ec.EllipticCurvePrivateKey
Pair = tuple[Key, x509.Certificate]


@dataclass(frozen=True)
class Following:
    """The authority that takes the present one's place, for devices to load ahead of time."""

    authority: Path
    """Its certificate alone."""
    fingerprint: str
    day: date
    """From then on it is the one that the main computer shows."""


@dataclass(frozen=True)
class SecureFiles:
    """Where the server finds what it needs, and how a person recognises the authority."""

    authority: Path
    """The certificate alone, for devices to load."""
    certificate: Path
    """What the server shows, with its key in the same file: a pair that one write puts in place cannot come apart."""
    fingerprint: str
    """SHA-256 of the authority's certificate, in groups of four letters as a phone's settings show it."""
    words: str = ""
    """What a person must be told: that devices have to trust the house anew, or will have to."""
    following: Following | None = None
    """None until its last year."""


def secure_files(folder: Path, names: Iterable[str], now: datetime) -> SecureFiles:
    """The house's certificates in `folder`, made or renewed where needed.

    `names` are the names and IPv4 addresses of this machine; those the authority may not vouch for are left out.
    `now` is the machine's time, not the house's: a demo that plays in another year still shows a certificate of today.
    A file that cannot be read is made anew; an authority that had to be is told of in `words`. Raises `OSError` when the folder
    cannot be written.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    wanted = sorted({name.lower() for name in names if may_vouch_for(name)} | {"localhost", "127.0.0.1"})
    authority, words = _authority(folder, now)
    public, shown = folder / AUTHORITY_SHOWN, folder / CERTIFICATE
    if not public.exists() or public.read_bytes() != _pem(authority[1]):
        write_whole(public, _pem(authority[1]))
    if not _still_good(_read_pair(shown), authority[1], wanted, now):
        write_whole(shown, _with_key(*_new_certificate(authority, wanted, now)))
    for old in OLD_FILES:
        (folder / old).unlink(missing_ok=True)
    return SecureFiles(public, shown, fingerprint(authority[1]), words, _following(folder, authority[1], now))


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


def _authority(folder: Path, now: datetime) -> tuple[Pair, str]:
    """The authority as it is, or a new one; and what there is to say of that."""
    file = folder / AUTHORITY
    pair = _read_pair(file) or _older_pair(folder)
    if pair is not None and _serves(pair, now):
        if not file.exists():
            write_whole(file, _with_key(*pair))
        return pair, _soon(pair[1], now)
    announced = _read_pair(folder / NEXT)
    follows = announced is not None and _serves(announced, now)
    words = _why_anew(pair, file, folder, now, follows)
    made = announced if announced is not None and follows else _new_authority(now)
    write_whole(file, _with_key(*made))
    for gone in (NEXT, NEXT_SHOWN):
        (folder / gone).unlink(missing_ok=True)
    return made, words


def _new_authority(now: datetime) -> Pair:
    key = ec.generate_private_key(ec.SECP256R1())
    return key, _authority_certificate(key, now)


def _serves(pair: Pair, now: datetime) -> bool:
    """Whether an authority is far enough from its end to be the one that is shown."""
    return now + timedelta(days=RENEW_BEFORE_DAYS) < pair[1].not_valid_after_utc


def _is_in_its_last_year(authority: x509.Certificate, now: datetime) -> bool:
    return authority.not_valid_after_utc <= now + timedelta(days=SAY_BEFORE_DAYS)


def _following(folder: Path, authority: x509.Certificate, now: datetime) -> Following | None:
    """The authority that takes this one's place, made once in its last year."""
    if not _is_in_its_last_year(authority, now):
        return None
    file, public = folder / NEXT, folder / NEXT_SHOWN
    pair = _read_pair(file)
    if pair is None or pair[1].not_valid_after_utc <= authority.not_valid_after_utc:
        pair = _new_authority(now)
        write_whole(file, _with_key(*pair))
    if not public.exists() or public.read_bytes() != _pem(pair[1]):
        write_whole(public, _pem(pair[1]))
    return Following(public, fingerprint(pair[1]), _last_day(authority))


def _last_day(authority: x509.Certificate) -> date:
    return (authority.not_valid_after_utc - timedelta(days=RENEW_BEFORE_DAYS)).date()


def _soon(authority: x509.Certificate, now: datetime) -> str:
    if not _is_in_its_last_year(authority, now):
        return ""
    day = f"{_last_day(authority):%Y-%m-%d}"
    return f"The certificate that devices trust is followed by a new one on {day}. Load it on each device before: Settings, this device."


def _why_anew(pair: Pair | None, file: Path, folder: Path, now: datetime, follows: bool) -> str:
    """What to say when another authority takes the place of one; a file that cannot be read is kept beside it."""
    there_was = file.exists() or (folder / AUTHORITY_SHOWN).exists()
    if pair is None and file.exists():
        file.replace(folder / f"authority-damaged-{now:%Y%m%d-%H%M%S}.pem")
    if not there_was:
        return ""
    why = "is at its end" if pair is not None else "could not be read, or its key is gone"
    if follows:
        return f"The certificate that devices trust {why}; the next one takes its place. A device that has not loaded it loads it now."
    return f"The certificate that devices trust {why}; a new one was made. On each device load it again and compare the letters."


def _older_pair(folder: Path) -> Pair | None:
    """The authority as earlier versions kept it, in two files."""
    key, certificate = folder / OLD_FILES[0], folder / AUTHORITY_SHOWN
    return _pair_of(key.read_bytes(), certificate.read_bytes()) if key.exists() and certificate.exists() else None


def _read_pair(file: Path) -> Pair | None:
    content = file.read_bytes() if file.exists() else b""
    return _pair_of(content, content)


def _pair_of(key_text: bytes, certificate_text: bytes) -> Pair | None:
    """Key and certificate if they can be read and belong together; a torn or a mixed pair is none."""
    try:
        key = serialization.load_pem_private_key(key_text, None)
        certificate = x509.load_pem_x509_certificate(certificate_text)
    except ValueError:
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        return None
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


def _new_certificate(authority: Pair, names: list[str], now: datetime) -> Pair:
    signer, issuer = authority
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Honeyhold")])
    certificate = (
        _builder(subject, issuer.subject, key, now, CERTIFICATE_DAYS, issuer.not_valid_after_utc)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_general_name(name) for name in names]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )
    return key, certificate


def _builder(
    subject: x509.Name, issuer: x509.Name, key: Key, now: datetime, days: int, latest: datetime | None = None
) -> x509.CertificateBuilder:
    ends = now + timedelta(days=days) - EARLIER
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(min(ends, latest) if latest else ends)
    )


def _still_good(pair: Pair | None, authority: x509.Certificate, names: list[str], now: datetime) -> bool:
    if pair is None:
        return False
    certificate = pair[1]
    try:
        certificate.verify_directly_issued_by(authority)
        said = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, InvalidSignature, x509.ExtensionNotFound):
        return False
    ends = min(now + timedelta(days=RENEW_BEFORE_DAYS), authority.not_valid_after_utc - timedelta(days=1))
    has = {str(name.value) for name in said}
    return has >= set(names) and certificate.not_valid_before_utc <= now and ends < certificate.not_valid_after_utc


def _general_name(name: str) -> x509.GeneralName:
    address = _address(name)
    return x509.IPAddress(address) if address is not None else x509.DNSName(name)


def _address(name: str) -> IPv4Address | None:
    try:
        found = ip_address(name)
    except ValueError:
        return None
    return found if isinstance(found, IPv4Address) else None


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _with_key(key: Key, certificate: x509.Certificate) -> bytes:
    text = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return text + _pem(certificate)
