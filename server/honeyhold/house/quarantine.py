"""What lost, copied and renamed devices still sent: shown so that a keeper can read it, and settled by a keeper, never by a clock.

An entry taken in lands under the house's own name, for the device's chain is at an end. It is held to the same rules as any
other, but what the shelf can no longer pay for waits: nobody's sure promise becomes short because a lost device came back.
"""

from __future__ import annotations

from typing import Any, Final

from honeyhold.errors import BadRequest
from honeyhold.house.house import House
from honeyhold.operations.allocations import pools
from honeyhold.operations.errors import NoSuchThing, Refused
from honeyhold.operations.keeping_apart import keep_apart, must_have_room_apart, stored_as_said
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.upgrade import upgraded_rows
from honeyhold.records.models import Device, LateEntry, Order, Person
from honeyhold.records.store import Records
from honeyhold.replication.exchange import last_position, moment_text
from honeyhold.replication.recovery import still_silent

Json = dict[str, Any]

LATE_MAX: Final = 500
"""As many are shown at once; when these are settled the next come."""

EARLIER_NAME: Final = "earlier name"
"""Followed by the device that handed the entry in."""

WORDS: Final = {
    "lost": "the device was declared lost", "fork": "two copies of the device wrote", EARLIER_NAME: "the device has another name now",
}  # fmt: skip


def late_entries(house: House) -> dict[str, Any]:
    """`{"entries": [...], "waiting": n, "silent": [names]}`: what is not settled yet, oldest first, in words a keeper can read.

    `silent`: devices that a house put back from a backup has not heard yet; until it has, nothing is taken in.
    """
    with house.records.read():
        query = LateEntry.select().where(LateEntry.settled == False).order_by(LateEntry.device, LateEntry.seq, LateEntry.received_at)  # noqa: E712
        rows = house.records.dicts(query.limit(LATE_MAX))
        waiting = house.records.dicts(LateEntry.select(LateEntry.seq).where(LateEntry.settled == False))  # noqa: E712
        names = {row["id"]: row["name"] for row in house.records.dicts(Device.select(Device.id, Device.name))}
        people = {row["id"]: row for late in rows for row in _rows(late["body"]) if row.get("table") == "person" and "id" in row}
        entries = [_readable(house.records, row, names, people) for row in rows]
        return {"entries": entries, "waiting": len(waiting), "silent": still_silent(house.records, house.epoch)}


def take_in_late(house: House, device: str, seq: int, entry_hash: str) -> int:
    """One late entry lands under the house's name, with the rights of the device that wrote it; its position.

    Raises `NoSuchThing`, or `Refused` with the reason (it then stays to be settled).
    """
    with house.records.write():
        _nobody_is_awaited(house)
        late = _one(house.records, device, seq, entry_hash)
        body = late["body"]
        _may_be_taken_in(body)
        rows = upgraded_rows(body["kind"], body["version"], _rows(body))
        answer = house.write_inside(body["kind"], _as_the_house_can(house.records, rows), _role(house.records, late))
        if answer.position is not None:
            _settled(house, late, answer.position, "")
        position = last_position(house.records)
    if answer.position is None:
        raise Refused(answer.why, answer.remedy)
    house.news.ring(position)
    return answer.position


def put_aside_late(house: House, device: str, seq: int, entry_hash: str, note: str) -> None:
    """The keeper has dealt with it otherwise; it stays in the records with the note. Raises `NoSuchThing`."""
    with house.records.write():
        _settled(house, _one(house.records, device, seq, entry_hash), None, note)


def hand_in(house: House, by: str, entries: list[Any]) -> int:
    """Entries that a device wrote under an earlier name, which the house no longer takes from it: kept apart; how many were new.

    What the house has already is not kept twice. Raises `BadRequest` for what names no device of its own.
    """
    kept, reason = 0, f"{EARLIER_NAME} {by}"
    with house.records.write():
        now = moment_text(house.clock.now())
        must_have_room_apart(house.records, by, reason)
        for entry in entries:
            author = entry.get("device") if isinstance(entry, dict) else None
            if not isinstance(author, str) or not 0 < len(author) <= 64 or author == by or not (author.isascii() and author.isprintable()):
                raise BadRequest(f"The device {author!r:.80} is no earlier name of this one.", "Hand in what was written before.")
            if not stored_as_said(house.records, entry):
                kept += keep_apart(house.records, author, entry, now, reason)
    return kept


def _one(records: Records, device: str, seq: int, entry_hash: str) -> Json:
    where = (LateEntry.device == device) & (LateEntry.seq == seq) & (LateEntry.hash == entry_hash)
    found = records.first(LateEntry.select().where(where))
    if found is None or found["settled"]:
        raise NoSuchThing("This late entry is not there, or was settled already.", "Look at the list again.")
    return found


def _settled(house: House, late: Json, position: int | None, note: str) -> None:
    where = (LateEntry.device == late["device"]) & (LateEntry.seq == late["seq"]) & (LateEntry.hash == late["hash"])
    values = {"settled": True, "settled_at": moment_text(house.clock.now()), "position": position, "note": note}
    house.records.run(LateEntry.update(**values).where(where))


def _nobody_is_awaited(house: House) -> None:
    """After a restore a device that has not been heard may have promised the very bars that a late order would get."""
    silent = still_silent(house.records, house.epoch)
    if silent:
        raise Refused(
            f"The records were put back from a backup, and {', '.join(silent)} did not say yet what was promised there meanwhile.",
            "Take it in when that device has been in reach; or remove the device if it is lost or sold.",
        )


def _may_be_taken_in(body: Any) -> None:
    """Only what a person may enter: what is the house's own to write does not come in by this door."""
    name = body.get("kind") if isinstance(body, dict) else None
    kind = KINDS.get(name) if isinstance(name, str) else None
    rows = body.get("rows") if isinstance(body, dict) else None
    readable = isinstance(rows, list) and len(rows) == len(_rows(body)) and type(body.get("version")) is int and body["version"] > 0
    if kind is None or kind.who == "house" or not readable:
        raise Refused("This entry cannot be read, or is none that a person writes.", "Put it aside, with a note of what you did.")
    if kind.name == "give_back":
        raise Refused("It gives back what is free again already.", "Put it aside: there is nothing to do.")


def _handed_in_by(late: Json) -> str:
    """The device that handed the entry in under an earlier name of its own; empty where its writer sent it."""
    reason: str = late["reason"]
    return reason.removeprefix(EARLIER_NAME).strip() if reason.startswith(EARLIER_NAME) else ""


def _role(records: Records, late: Json) -> str:
    """What the writer might have entered: no more than the device under whose name it stands, nor than the one that handed it in."""
    devices = {late["device"], _handed_in_by(late) or late["device"]}
    known = [row for row in (records.row(Device, one) for one in devices) if row]
    return "keeper" if known and all(row["role"] == "keeper" for row in known) else "helper"


def _as_the_house_can(records: Records, rows: list[Json]) -> list[Json]:
    """The rows with what the pool cannot pay left out (it waits then), and with an order number that nobody else has."""
    left = pools(records)
    made: list[Json] = []
    for row in rows:
        if row.get("table") == "reservation" and isinstance(row.get("units"), int) and row["units"] > 0:
            good = str(row.get("good"))
            units = min(row["units"], max(0, left.get(good, 0)))
            left[good] = left.get(good, 0) - units
            made += [{**row, "units": units}] if units else []
        elif row.get("table") == "order" and "number" in row:
            made.append({**row, "number": _free_number(records, str(row["number"]), row.get("id"))})
        else:
            made.append(row)
    return made


def _free_number(records: Records, number: str, order: Any) -> str:
    """Two copies of a device count on from the same number: the later order gets a letter more."""
    tried = number
    for letter in "bcdefghijklmnopqrstuvwxyz":
        if not records.has(Order, (Order.number == tried) & (Order.id != order)):
            return tried
        tried = f"{number[:18]}{letter}"
    return tried


def _rows(body: Any) -> list[Json]:
    """The rows of an entry that may be anything: those that are dictionaries, and whose ids are ids."""
    rows = body.get("rows") if isinstance(body, dict) else None
    return [row for row in rows if isinstance(row, dict) and _names_are_texts(row)] if isinstance(rows, list) else []


def _names_are_texts(row: Json) -> bool:
    return all(isinstance(row.get(name, ""), str) for name in ("table", "id", "good", "order")) and isinstance(row.get("person") or "", str)


def _readable(records: Records, late: Json, names: dict[str, str], people: dict[str, Json]) -> Json:
    body, rows = late["body"], _rows(late["body"])
    order = next((row for row in rows if row.get("table") == "order"), {})
    known = records.row(Order, str(order.get("id", "")) or _order_named(rows)) or {}
    person = order.get("person") or known.get("person") or next((row.get("id") for row in rows if row.get("table") == "person"), None)
    who = {**(records.row(Person, str(person)) or {}), **people.get(str(person), {})} if person else {}
    goods = [row for row in rows if row.get("table") == "line"] or [row for row in rows if row.get("table") == "movement"]
    said = body if isinstance(body, dict) else {}
    return {
        "device": late["device"], "name": _name(late, names), "seq": late["seq"], "hash": late["hash"],
        "received_at": late["received_at"], "why": _why(late["reason"]),
        "kind": str(said.get("kind", ""))[:40], "made_at": str(said.get("made_at", ""))[:40],
        "number": str(order.get("number") or known.get("number") or ""),
        "person": str(who.get("name", "")), "phone": str(who.get("phone", "")),
        "goods": [{"good": row.get("good", ""), "units": row["units"]} for row in goods if type(row.get("units")) is int],
        "cents": sum(row["cents"] for row in rows if row.get("table") == "payment" and type(row.get("cents")) is int),
        "nothing_to_do": said.get("kind") == "give_back",
    }  # fmt: skip


def _why(reason: str) -> str:
    return next((words for begin, words in WORDS.items() if reason.startswith(begin)), reason)


def _name(late: Json, names: dict[str, str]) -> str:
    """Whose entry it is said to be; where another device handed it in, that one is named: it may have said any name."""
    by = _handed_in_by(late)
    said = names.get(late["device"], "an earlier device")
    return f"{said}, handed in by {names.get(by, 'another device')}" if by else said


def _order_named(rows: list[Json]) -> str:
    return next((str(row["order"]) for row in rows if row.get("order")), "")
