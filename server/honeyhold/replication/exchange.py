"""One round trip: entries in, answers out, then waiting lines, then shares, then what changed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from honeyhold.operations import allocations
from honeyhold.operations.apply import Answer, Who, next_position, take
from honeyhold.operations.context import HOUSE
from honeyhold.operations.schemas import PROTOCOL
from honeyhold.records.models import Balance, DeviceState
from honeyhold.records.store import Records
from honeyhold.replication import allocation
from honeyhold.replication.changes import changes_after
from honeyhold.replication.devices import note_seen
from honeyhold.replication.mirror import keep_since
from honeyhold.replication.recovery import all_was_said, epoch_begins, places_told, recovering
from honeyhold.replication.sessions import Sessions


@dataclass(frozen=True)
class Moment:
    """What the house knows of itself while it answers: its epoch, its time, its day, and what devices said last."""

    epoch: str
    now: datetime
    today: date
    covered_to: int
    sessions: Sessions

    @property
    def time_text(self) -> str:
        """The house's time as it is written in answers."""
        return moment_text(self.now)


def moment_text(moment: datetime) -> str:
    """A moment in UTC to the second, `2026-07-20T14:10:03Z`."""
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def receive(records: Records, device: dict[str, Any], ask: dict[str, Any], moment: Moment) -> tuple[list[Answer], bool]:
    """Takes the operations in order and notes what the device says of itself; inside a write.

    Returns the answers and whether anything was landed. Reading stops at the first that is not in its place.
    """
    was_recovering = recovering(records, moment.epoch)
    if was_recovering:
        _hear_grants(records, device["id"], ask)
    who = _who(device, ask, moment, was_recovering)
    answers: list[Answer] = []
    for operation in ask["operations"]:
        answers.append(take(records, who, operation))
        if answers[-1].expects and not answers[-1].why:
            break
    for operation, answer in zip(ask["operations"], answers, strict=False):
        if answer.position and operation.get("kind") == "give_back":
            moment.sessions.returned(device["id"], operation.get("spent", {}), moment.now)
    note_seen(records, device["id"], moment.now, ask.get("clock"), moment.sessions.seen_at(device["id"]))
    if was_recovering and ask["epoch"] == moment.epoch and not (answers and answers[-1].expects):
        _note_reported(records, device["id"], ask, moment.epoch)
    return answers, any(answer.position for answer in answers)


def _who(device: dict[str, Any], ask: dict[str, Any], moment: Moment, was_recovering: bool) -> Who:
    """Who speaks; what was said of its entries before a restore counts only while the house recovers from it."""
    who = Who(
        device["id"], device["role"], moment.time_text, moment.today.isoformat(), heard=ask["cursor"],
        epoch_begins=epoch_begins(moment.epoch),
    )  # fmt: skip
    if not was_recovering:
        return who
    refused = {row["id"]: (row["why"], row["remedy"]) for row in ask.get("refused", [])}
    return replace(who, recovering=True, may_wait=True, refused=refused, places=places_told(ask, moment.epoch))


@dataclass(frozen=True)
class Allocation:
    """What one exchange moves: what this device is asked to give back, and whether another must hear that it is."""

    ask_back: dict[str, int]
    must_ring: bool = False


def give_shares(records: Records, device: dict[str, Any], ask: dict[str, Any], moment: Moment) -> Allocation:
    """Grants what the device wants as far as the pool goes; says who should give back. Inside a write.

    What a device should give back is worked out anew each time it speaks, from what every device in reach said last: an ask
    is never stored, so none is lost with a restart or goes stale.
    """
    sessions, name = moment.sessions, device["id"]
    sessions.hear(name, ask.get("wants", {}), ask.get("callers", {}), moment.now)
    owed = allocation.owed_back(records, name)
    if _state(records, name)["frozen"] or recovering(records, moment.epoch):
        return Allocation(owed)
    grants, asked_back = allocation.divide_among(records, sessions, name, moment.now, moment.today)
    for good, units in grants.items():
        allocations.grant(records, name, good, units)
    rung = [
        good for good, givers in asked_back.items()
        if sessions.must_ring(good, {giver: units for giver, units in givers.items() if giver != name})
    ]  # fmt: skip
    mine = {good: givers[name] for good, givers in asked_back.items() if name in givers}
    return Allocation({**mine, **owed}, bool(rung))


def answer_to(
    records: Records, device: dict[str, Any], ask: dict[str, Any], answers: list[Answer], moment: Moment, ask_back: dict[str, int]
) -> dict[str, Any]:
    """The answer of `operations/README.md`; inside the same write, so that it is one view of the records."""
    state = _state(records, device["id"])
    same_epoch = ask["epoch"] in (None, moment.epoch)
    changes, cursor, more = changes_after(records, ask["cursor"]) if same_epoch else ([], ask["cursor"], True)
    expects = next((answer.expects for answer in answers if answer.expects), None)
    held = allocations.counters(records, device["id"])
    left = {good: granted - spent for good, (granted, spent) in held.items() if granted > spent}
    pool = allocations.pools(records)
    return {
        "protocol": PROTOCOL, "request": ask["request"], "epoch": moment.epoch,
        "landed": [{"id": answer.id, "position": answer.position} for answer in answers if answer.position],
        "refused": [{"id": a.id, "why": a.why, "remedy": a.remedy} for a in answers if a.why],
        "changes": changes, "cursor": cursor, "more": more,
        "granted": {good: granted for good, (granted, _) in held.items()},
        "spent": {good: spent for good, (_, spent) in held.items()},
        "ask_back": {good: min(units, left[good]) for good, units in ask_back.items() if good in left},
        "pool": pool, "short": short_units(records), "last_seq": state["last_seq"],
        "expects": {"seq": expects[0], "why": expects[1]} if expects else None,
        "covered_to": moment.covered_to, "keep_since": keep_since(moment.today), "house_time": moment.time_text,
    }


def short_units(records: Records) -> dict[str, int]:
    """Goods of which more is promised than lies on the shelf, and how much more."""
    rows = records.sql("SELECT good, promised, on_hand FROM balance WHERE promised > on_hand AND promised > 0").fetchall()
    return {good: promised - max(0, on_hand) for good, promised, on_hand in rows}


def last_position(records: Records) -> int:
    """The position of the last landed operation."""
    return next_position(records) - 1


def _state(records: Records, device: str) -> dict[str, Any]:
    state = records.row(DeviceState, device)
    assert state is not None
    return state


def _hear_grants(records: Records, device: str, ask: dict[str, Any]) -> None:
    """A restored house may have forgotten grants that the device still holds: both sides keep the greater number."""
    known = {row["good"] for row in records.dicts(Balance.select(Balance.good))}
    held = allocations.counters(records, device)
    for good, granted in ask.get("granted", {}).items():
        lack = granted - held.get(good, (0, 0))[0]
        if good in known and lack > 0 and device != HOUSE:
            allocations.grant(records, device, good, lack)


def _note_reported(records: Records, device: str, ask: dict[str, Any], epoch: str) -> None:
    """The device has said all it holds when the house has read all it wrote."""
    spent = {good: units for good, (_, units) in allocations.counters(records, device).items()}
    if all_was_said(records, device, ask, spent):
        records.change(DeviceState, device, {"reported_epoch": epoch})
