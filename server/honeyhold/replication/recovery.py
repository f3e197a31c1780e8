"""A house that was put back from a backup: who has still to return, what came before its cause, and who stood where in the queue.

An epoch's name begins with the moment at which it began. A place in a queue is counted from there, so whoever waited in an earlier epoch
stands before everybody of a later one, in whatever order devices return.
"""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final

from honeyhold.operations import pending
from honeyhold.operations.apply import Who, judge
from honeyhold.operations.keeping_apart import keep_apart
from honeyhold.records.models import Device, DeviceState
from honeyhold.records.store import Records

FIRST_MOMENT: Final = datetime(2026, 1, 1, tzinfo=UTC)
PLACES_IN_AN_EPOCH: Final = 1 << 22
"""More entries than a house writes in a hundred years; with the seconds of sixty years they make a number that JSON carries exactly."""

SILENT: Final = """SELECT device.name FROM device_state JOIN device ON device.id = device_state.id
    WHERE NOT device.lost AND device_state.reported_epoch <> ?"""


def new_epoch(now: datetime, before: str) -> str:
    """The name of an epoch that begins now, after `before` whatever the machine's clock says."""
    seconds = max(int((now - FIRST_MOMENT).total_seconds()), _began_s(before) + 1)
    return f"{seconds:x}-{secrets.token_hex(4)}"


def epoch_begins(epoch: str) -> int:
    """Where an epoch's places in the queue begin; the first epoch's (whose name says no moment) at nothing."""
    return _began_s(epoch) * PLACES_IN_AN_EPOCH


def places_told(ask: dict[str, Any], epoch: str) -> dict[str, int]:
    """Where entries stood that landed before the house was put back, by id, as their device was told then."""
    return {
        entry: epoch_begins(told["epoch"]) + min(told["position"], PLACES_IN_AN_EPOCH)
        for entry, told in ask.get("places", {}).items() if _began_s(told["epoch"]) < _began_s(epoch)
    }  # fmt: skip


def recovering(records: Records, epoch: str) -> bool:
    """After a restore: whether some device that is not lost has not yet reported in the new epoch."""
    return records.sql(SILENT, epoch).fetchone() is not None


def still_silent(records: Records, epoch: str) -> list[str]:
    """Names of the devices that have not yet said all they have since the house was put back."""
    return [name for (name,) in records.sql(f"{SILENT} ORDER BY device.name", epoch).fetchall()]


def all_was_said(records: Records, device: str, ask: dict[str, Any], spent: dict[str, int]) -> bool:
    """Whether the house has read every entry that a device says it has written, and so counts all that it spent.

    An app of before does not say how many it wrote: then what it says it spent must be counted.
    """
    if "written" in ask:
        state = records.row(DeviceState, device)
        assert state is not None
        return bool(state["frozen"]) or int(state["last_seq"]) >= ask["written"]
    return all(units <= spent.get(good, 0) for good, units in ask.get("spent", {}).items() if units)


@dataclass(frozen=True)
class Judges:
    """When entries that waited are judged, and whether that is the last word."""

    now: str
    today: str
    epoch: str
    last_word: bool


def judge_waiting(records: Records, judges: Judges) -> None:
    """Lands what can land by now; with the last word everything else is refused, in the order in which it was entered. Inside a write."""
    while _some_landed(records, judges):
        pass
    if judges.last_word:
        for one in pending.all_kept(records):
            _judged(records, judges, one, may_wait=False)


def _some_landed(records: Records, judges: Judges) -> bool:
    """Tries each entry once, but for those that hang on one of the same device that still waits; whether any was judged."""
    judged = False
    behind: dict[str, tuple[set[str], set[str]]] = {}
    for one in pending.all_kept(records):
        written, named = behind.setdefault(one["device"], (set(), set()))
        writes, names = pending.written(one["body"]), pending.named(one["body"])
        if not (writes & named or names & written) and _judged(records, judges, one, may_wait=True):
            judged = True
        else:
            written |= writes
            named |= names
    return judged


def _judged(records: Records, judges: Judges, one: dict[str, Any], may_wait: bool) -> bool:
    """One that waited; whether it was judged."""
    device = records.row(Device, one["device"])
    assert device is not None, f"an entry of the device {one['device']} waits, and nobody knows it"
    begins = epoch_begins(judges.epoch)
    who = Who(
        one["device"], device["role"], one["received_at"], judges.today, recovering=True, heard=one["heard"], may_wait=may_wait,
        epoch_begins=begins, places={one["id"]: one["place"]} if one["place"] < begins else {},
    )  # fmt: skip
    answer = judge(records, who, one)
    if answer.why and device["lost"]:
        keep_apart(records, one["device"], one["body"], judges.now, "lost")  # nobody looks at a lost device
    return not answer.waits


def _began_s(epoch: str) -> int:
    found = re.match(r"([0-9a-f]{1,8})-", epoch)
    return int(found[1], 16) if found else 0
