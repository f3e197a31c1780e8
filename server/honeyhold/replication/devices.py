"""Who may speak: one-time codes, tokens, marks, and devices declared lost."""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta
from typing import Any

from honeyhold.operations.context import HOUSE
from honeyhold.operations.errors import NoSuchThing, UnknownDevice, WrongCode
from honeyhold.records.models import Device, DeviceState, EnrolCode
from honeyhold.records.store import Records

CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Figures and capitals that are not mistaken for one another when read aloud or off a screen."""

CODE_LENGTH = 8
CODE_MINUTES = 10

SEEN_STEP_S = 300
SKEW_STEP_S = 3


def hashed(secret: str) -> str:
    """The SHA-256 of a secret; all that the house keeps of it. Tokens have 256 bits, so no slow hash is needed."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def tidy_code(code: str) -> str:
    """A code as typed (any case, with or without its dash) as it was made."""
    return "".join(letter for letter in code.upper() if letter.isalnum())


def new_code(records: Records, role: str, now: datetime) -> dict[str, str]:
    """A one-time code for a keeper's or helper's device, good for ten minutes; inside a write."""
    letters = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    expires_at = (now + timedelta(minutes=CODE_MINUTES)).isoformat()
    records.run(EnrolCode.delete().where(EnrolCode.expires_at < now.isoformat()))
    records.run(EnrolCode.insert(hash=hashed(letters), role=role, expires_at=expires_at))
    return {"code": f"{letters[:4]}-{letters[4:]}", "expires_at": expires_at}


def use_code(records: Records, code: str, now: datetime) -> str:
    """The role a code stands for; it is used up. Raises `WrongCode`; inside a write."""
    found = records.first(EnrolCode.select().where(EnrolCode.hash == hashed(tidy_code(code))))
    if found is None or datetime.fromisoformat(found["expires_at"]) < now:
        raise WrongCode(
            "This code is not good: mistyped, used already, or older than ten minutes.",
            "Ask an owner's device for a fresh code (Settings), or look at the window in which Honeyhold was started.",
        )
    records.run(EnrolCode.delete().where(EnrolCode.hash == found["hash"]))
    return str(found["role"])


def next_mark(records: Records) -> str:
    """A, B, ... Z, AA, AB, ...: never one that was given before."""
    letters = ""
    number = 1 + max((_place(row["mark"]) for row in records.dicts(Device.select(Device.mark))), default=0)
    while number > 0:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _place(mark: str) -> int:
    """A is 1, Z 26, AA 27."""
    place = 0
    for letter in mark:
        place = 26 * place + ord(letter) - ord("A") + 1
    return place


def add_state(records: Records, device: str, token_hash: str, reported_epoch: str) -> None:
    """The house's side of a new device's chain. `reported_epoch`: in which the house has heard all that the device holds."""
    records.run(DeviceState.insert(id=device, token_hash=token_hash, reported_epoch=reported_epoch))


def all_known(records: Records) -> list[dict[str, Any]]:
    """`{"id", "name", "mark", "role", "lost", "token_hash"}` of every device."""
    rows = records.dicts(
        Device.select(Device, DeviceState.token_hash).join(DeviceState, on=(Device.id == DeviceState.id)).where(Device.id != HOUSE)
    )
    return [{name: row[name] for name in ("id", "name", "mark", "role", "lost", "token_hash")} for row in rows]


def add_house(records: Records) -> None:
    """The chain under which the house itself writes."""
    records.run(DeviceState.insert(id=HOUSE).on_conflict_ignore())


def device_of(records: Records, token: str) -> dict[str, Any]:
    """The device row that a token belongs to, lost or not. Raises `UnknownDevice`."""
    states = records.rows_of(DeviceState, "token_hash", hashed(token)) if token else []
    device = records.row(Device, states[0]["id"]) if states else None
    if device is None:
        raise UnknownDevice(
            "No device of this house carries that token.",
            "Add this device again with a fresh code; entries not sent yet stay on the device.",
        )
    return device


def is_frozen(records: Records, device: str) -> bool:
    """Whether the device was found to be copied: what it says is kept apart."""
    state = records.row(DeviceState, device)
    return bool(state and state["frozen"])


def device_by_id(records: Records, device: str) -> dict[str, Any]:
    """A device row by its id. Raises `NoSuchThing`."""
    found = records.row(Device, device)
    if found is None:
        raise NoSuchThing(f"There is no device {device}.", "Choose one from the list in Settings.")
    return found


def note_seen(records: Records, device: str, now: datetime, clock: str | None, heard_at: datetime | None = None) -> None:
    """Remembers when the device was in reach, how long it usually is not, and how far off its clock is.

    `heard_at` is when it last spoke as far as the running house remembers. An exchange that says nothing new writes
    nothing: the moment is written down at most once in `SEEN_STEP_S`, the clock when it went off by `SKEW_STEP_S`.
    """
    state = records.row(DeviceState, device)
    assert state is not None
    written_at = datetime.fromisoformat(state["seen_at"]) if state["seen_at"] else None
    changes: dict[str, Any] = {}
    last = max((moment for moment in (written_at, heard_at) if moment), default=None)
    if last:
        gap_s = max(0.0, (now - last).total_seconds())
        if gap_s > 60:  # a poll a few seconds later says nothing about time spent without signal
            changes["gap_s"] = round(0.7 * state["gap_s"] + 0.3 * min(gap_s, 30 * 86400))
    if written_at is None or changes or abs((now - written_at).total_seconds()) >= SEEN_STEP_S:
        changes["seen_at"] = now.isoformat()
    if clock:
        theirs = datetime.fromisoformat(clock.replace("Z", "+00:00"))
        skew_s = round((theirs - now).total_seconds())
        if abs(skew_s - state["skew_s"]) >= SKEW_STEP_S:
            changes["skew_s"] = skew_s
    if changes:
        records.change(DeviceState, device, changes)


def new_token() -> str:
    """A random token of 256 bits."""
    return secrets.token_urlsafe(32)
