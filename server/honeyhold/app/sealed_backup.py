"""Backups that leave the machine, sealed with a passphrase: on a stick or somebody else's disk nobody reads a name or an address.

AES-256 in GCM, its key from the passphrase by scrypt (RFC 7914), both as the `cryptography` library has them. A digest (SHA-256) of the
whole file stands at its end: so a file that was damaged is told from a passphrase that is wrong. Without the passphrase nobody opens it.
"""

from __future__ import annotations

import hashlib
import io
import os
import unicodedata
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from honeyhold.records.backup import page_of, position_of_backup
from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.whole_file import write_whole

ENDING: Final = ".sealed"
MAGIC: Final = b"honeyhold sealed backup 1\n"
SALT_BYTES, NONCE_BYTES, KEY_BYTES, DIGEST_BYTES = 16, 12, 32, 32
SCRYPT: Final = {"n": 2**17, "r": 8, "p": 1}
"""A hundred megabytes and half a second for each guess."""
LETTERS_MIN: Final = 12
RECORDS, PAGE = "records.db", "records.db.json"


class WrongPassphrase(RecordsTrouble):
    """The file is whole, and this passphrase does not open it."""

    code = "wrong-passphrase"


def seal(backup: Path, folder: Path, passphrase: str) -> Path:
    """A sealed copy of a verified backup and its page, read back before it has its name. Raises `RecordsTrouble`, `OSError`."""
    position_of_backup(backup)
    content = _sealed(_packed(backup), checked(passphrase))
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    target = folder / (backup.stem + ENDING)
    write_whole(target, content)
    if target.read_bytes() != content:
        target.unlink()
        raise RecordsTrouble(f"{target} does not read as it was written.", "Use another stick or disk.")
    return target


def is_sealed(file: Path) -> bool:
    """Whether a file is a sealed backup, damaged or not: by how it begins, or by its name."""
    with file.open("rb") as opened:
        return opened.read(len(MAGIC)) == MAGIC or file.suffix == ENDING


@contextmanager
def opened(file: Path, passphrase: str, beside: Path) -> Iterator[Path]:
    """The backup in it, for as long as the block goes on, in a folder within `beside` that nobody else can read.

    Raises `WrongPassphrase`, and `RecordsTrouble` where the file is not what was written.
    """
    content = _unsealed(file, passphrase)
    with TemporaryDirectory(prefix="opened-", dir=beside) as folder:
        backup = Path(folder) / f"{file.stem}.db"
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            for name, target in ((RECORDS, backup), (PAGE, page_of(backup))):
                if name in packed.namelist():
                    target.write_bytes(packed.read(name))
        yield backup


def checked(passphrase: str) -> str:
    """A passphrase that is long enough. Raises `RecordsTrouble`."""
    if len(passphrase) < LETTERS_MIN:
        raise RecordsTrouble(f"The passphrase has fewer than {LETTERS_MIN} letters.", "Take several words that nobody would guess.")
    return passphrase


def passphrase_in(file: Path) -> str:
    """The passphrase that a file holds: its first line. Raises `RecordsTrouble` where others can read it or there is none."""
    try:
        others = os.name != "nt" and file.stat().st_mode & 0o077
        words = file.read_text("utf-8").splitlines()
    except (OSError, ValueError) as trouble:
        raise RecordsTrouble(f"The passphrase file {file} cannot be read ({trouble}).", "Name a file with the passphrase in it.") from None
    if others:
        raise RecordsTrouble(f"Others on this machine can read {file}.", f"Make it yours alone: chmod 600 {file}")
    return checked(words[0] if words else "")


def _packed(backup: Path) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.write(backup, RECORDS)
        if page_of(backup).exists():
            packed.write(page_of(backup), PAGE)
    return target.getvalue()


def _sealed(content: bytes, passphrase: str) -> bytes:
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM  # every command reads this module, and few seal something

    salt, nonce = os.urandom(SALT_BYTES), os.urandom(NONCE_BYTES)
    head = MAGIC + salt
    body = head + nonce + AESGCM(_key(passphrase, salt)).encrypt(nonce, content, head)
    return body + hashlib.sha256(body).digest()


def _unsealed(file: Path, passphrase: str) -> bytes:
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    body = _whole(file)
    head = body[: len(MAGIC) + SALT_BYTES]
    nonce = body[len(head) : len(head) + NONCE_BYTES]
    try:
        return AESGCM(_key(passphrase, head[len(MAGIC) :])).decrypt(nonce, body[len(head) + NONCE_BYTES :], head)
    except InvalidTag:
        raise WrongPassphrase(f"This passphrase does not open {file.name}.", "Type it again; nothing was changed.") from None


def _whole(file: Path) -> bytes:
    """All of the file but its digest. Raises `RecordsTrouble` where a bit of it is not as it was written."""
    content = file.read_bytes()
    body, digest = content[:-DIGEST_BYTES], content[-DIGEST_BYTES:]
    least = len(MAGIC) + SALT_BYTES + NONCE_BYTES
    if not body.startswith(MAGIC) or len(body) < least or hashlib.sha256(body).digest() != digest:
        raise RecordsTrouble(f"The backup {file.name} is not what was written: its digest differs.", "Use an older backup.")
    return body


def _key(passphrase: str, salt: bytes) -> bytes:
    """From the letters as they are typed anywhere: one letter with its accent, or two, are the same."""
    from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

    letters = unicodedata.normalize("NFC", passphrase).encode("utf-8", "surrogatepass")
    return Scrypt(salt=salt, length=KEY_BYTES, **SCRYPT).derive(letters)
