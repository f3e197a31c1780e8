"""What lost, copied and renamed devices send: kept beside the records, once, whatever it is, for a person to settle."""

from __future__ import annotations

import hashlib
import re
from typing import Any

from honeyhold.operations import pending
from honeyhold.operations.canonical import canonical_json
from honeyhold.operations.errors import NoRoomApart, NotCanonical
from honeyhold.records.models import LateEntry, Operation
from honeyhold.records.store import Records

HASH = re.compile(r"[0-9a-f]{64}")
LATE_ENTRIES_MAX = 5_000
LATE_LENGTH_MAX = 16_000_000
"""What is kept apart of one device until an owner settles some: more than any honest device has ever written between two signals."""


def stored_as_said(records: Records, given: Any) -> bool:
    """Whether the house has read this very entry already: landed, refused, or waiting for its cause."""
    if not isinstance(given, dict) or not all(may_be_looked_up(given.get(name)) for name in ("id", "hash")):
        return False
    known = records.has(Operation, (Operation.id == given["id"]) & (Operation.hash == given["hash"]))
    return known or pending.is_kept(records, given["id"], given["hash"])


def landed_as_said(records: Records, given: Any) -> bool:
    """Whether the house has landed this very entry, or will judge it yet."""
    return stored_as_said(records, given) and not records.has(Operation, (Operation.id == given["id"]) & Operation.position.is_null())


def must_have_room_apart(records: Records, device: str, reason: str = "") -> None:
    """Asked once before a page of entries is kept apart. Raises `NoRoomApart` where one device has filled what there is for it."""
    text = "SELECT COUNT(*), COALESCE(SUM(LENGTH(body)), 0) FROM late_entry WHERE NOT settled AND (device = ? OR reason = ?)"
    number, length = records.sql(text, device, reason).fetchone()
    if number >= LATE_ENTRIES_MAX or length >= LATE_LENGTH_MAX:
        raise NoRoomApart(number)


def keep_apart(records: Records, device: str, given: Any, now: str, reason: str) -> int:
    """Keeps what a lost or copied device sent, once, for the keeper to settle: whatever it is, none of it is dropped.

    How many entries that were not kept yet: 1 or 0.
    """
    seq = given.get("seq") if isinstance(given, dict) else None
    given_hash = given.get("hash") if isinstance(given, dict) else None
    placed = isinstance(seq, int) and not isinstance(seq, bool) and 0 < seq < 2**53
    hashed = isinstance(given_hash, str) and HASH.fullmatch(given_hash)
    # Two entries that carry no hash of their own must not be taken for one.
    key = given_hash if hashed else hashlib.sha256(repr(given).encode("utf-8", "backslashreplace")).hexdigest()
    row = {
        "device": device, "seq": seq if placed else 0, "hash": key,
        "received_at": now, "reason": reason, "body": keepable(given),
    }
    known = (LateEntry.device == device) & (LateEntry.seq == row["seq"]) & (LateEntry.hash == key)
    if records.has(LateEntry, known):
        return 0
    records.run(LateEntry.insert(**row))
    return 1


def keepable(given: Any) -> Any:
    """An entry as the file can hold it: itself, or its text where it holds what no file takes (half a character, say)."""
    try:
        return given if canonical_json(given) != "null" else {"unreadable": "None"}
    except (NotCanonical, RecursionError):
        return {"unreadable": printable(repr(given))[:100_000]}


def printable(text: str) -> str:
    """The text as every file and database can hold it."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8").replace("\0", "\\x00")


def may_be_looked_up(value: Any) -> bool:
    """Whether an id or a hash can be looked up at all: half a character cannot, nor NUL in PostgreSQL."""
    return isinstance(value, str) and value.isascii() and value.isprintable()
