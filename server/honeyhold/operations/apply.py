"""Takes one operation: once, in its device's order, whole or not at all, with an answer that never changes."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from typing import Any

from marshmallow import ValidationError
from peewee import IntegrityError

from honeyhold.operations import allocations
from honeyhold.operations.canonical import canonical_json, entry_hash
from honeyhold.operations.context import HOUSE, OperationContext, require
from honeyhold.operations.errors import NoRoomApart, NotCanonical, Refused
from honeyhold.operations.fast_validation import FastShape
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.lot_codes import as_meant
from honeyhold.operations.schemas import EnvelopeSchema, OperationSchema, in_words, read_row
from honeyhold.operations.upgrade import upgraded_rows
from honeyhold.operations.writing import check_was, write_rows
from honeyhold.records.errors import SumsDisagree
from honeyhold.records.models import DeviceState, LateEntry, Line, Operation
from honeyhold.records.store import Records

ENVELOPE = EnvelopeSchema(unknown="exclude")
OPERATION = OperationSchema()
QUICK_ENVELOPE, QUICK_OPERATION = FastShape(ENVELOPE), FastShape(OPERATION)
HASH = re.compile(r"[0-9a-f]{64}")
LATE_ENTRIES_MAX = 5_000
LATE_LENGTH_MAX = 16_000_000
"""What is kept apart of one device until an owner settles some: more than any honest device has ever written between two signals."""


@dataclass(frozen=True)
class Who:
    """The device that hands in operations, and the moment at which the house reads them."""

    device: str
    role: str
    now: str
    today: str
    recovering: bool = False
    heard: int = 2**53
    """The last position the device had heard of when it spoke."""
    refused: dict[str, tuple[str, str]] = field(default_factory=dict)
    """(why, remedy) by id of entries that this house refused before it was put back from a backup: that answer stands."""


@dataclass(frozen=True)
class Answer:
    """What became of an operation. `position` if it landed, `why` and `remedy` if it was refused.

    `expects` is set when it could not be read in its place: reading stops there, but for a copied device, whose entries
    are all kept apart (`expects`, and `why` as well).
    """

    id: str = ""
    position: int | None = None
    why: str = ""
    remedy: str = ""
    expects: tuple[int, str] | None = None


def take(records: Records, who: Who, given: Any) -> Answer:
    """Lands or refuses one operation inside the caller's write; a repeated one gets its stored answer."""
    state = records.row(DeviceState, who.device)
    assert state is not None, f"no state for device {who.device}"
    next_seq = int(state["last_seq"]) + 1
    trouble = _unreadable(who, given)
    if trouble:
        return Answer(expects=(next_seq, trouble))
    if state["frozen"]:
        return _kept_apart(records, who, given, next_seq, str(state["frozen"]))
    if given["seq"] > next_seq:
        return Answer(expects=(next_seq, f"Entry {given['seq']} came before entry {next_seq}."))
    stored = _stored(records, who.device, given)
    if stored is not None and given["seq"] < next_seq and stored["hash"] == given["hash"]:
        return _answer_again(stored)
    if given["seq"] < next_seq or given["before"] != state["last_hash"] or stored is not None:
        why = f"Entry {given['seq']} is not the one the house knows: this device's store was copied or put back."
        records.run(DeviceState.update(frozen=why).where(DeviceState.id == who.device))
        return _kept_apart(records, who, given, next_seq, why)
    answer, rows = _land(records, who, given)
    _store(records, who, given, answer, rows)
    return answer


def _unreadable(who: Who, given: Any) -> str:
    """Why the operation cannot even be placed in the chain; empty if it can."""
    if not isinstance(given, dict):
        return f"An operation is a dictionary; this is {given!r:.60}."
    try:
        if not QUICK_ENVELOPE.fits(given):
            ENVELOPE.load(given)
    except ValidationError as trouble:
        return f"The entry cannot be placed: {in_words(trouble.normalized_messages())}"
    if given["device"] != who.device:
        return f"The entry was written by the device {given['device']!r:.60}, not by this one."
    return ""


def _stored(records: Records, device: str, given: dict[str, Any]) -> dict[str, Any] | None:
    found = records.sql(
        "SELECT id, hash, position, why, remedy FROM operation WHERE (device = ? AND seq = ?) OR id = ? LIMIT 1",
        device, given["seq"], given["id"],
    ).fetchone()  # fmt: skip
    return dict(zip(("id", "hash", "position", "why", "remedy"), found, strict=True)) if found else None


def _answer_again(stored: dict[str, Any]) -> Answer:
    return Answer(stored["id"], stored["position"], stored["why"] or "", stored["remedy"] or "")


def stored_as_said(records: Records, given: Any) -> bool:
    """Whether the house has read this very entry already, landed or refused."""
    if not isinstance(given, dict) or not all(isinstance(given.get(name), str) and given[name].isascii() for name in ("id", "hash")):
        return False
    return records.has(Operation, (Operation.id == given["id"]) & (Operation.hash == given["hash"]))


def landed_as_said(records: Records, given: Any) -> bool:
    """Whether the house has landed this very entry."""
    found = stored_as_said(records, given)
    return found and records.has(Operation, (Operation.id == given["id"]) & Operation.position.is_null(False))


def must_have_room_apart(records: Records, device: str, reason: str = "") -> None:
    """Asked once before a page of entries is kept apart. Raises `NoRoomApart` where one device has filled what there is for it."""
    text = "SELECT COUNT(*), COALESCE(SUM(LENGTH(body)), 0) FROM late_entry WHERE settled = 0 AND (device = ? OR reason = ?)"
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
        "received_at": now, "reason": reason, "body": _keepable(given),
    }
    known = (LateEntry.device == device) & (LateEntry.seq == row["seq"]) & (LateEntry.hash == key)
    if records.has(LateEntry, known):
        return 0
    records.run(LateEntry.insert(**row))
    return 1


def _keepable(given: Any) -> Any:
    """An entry as the file can hold it: itself, or its text where it holds what no file takes (half a character, say)."""
    try:
        return given if canonical_json(given) != "null" else {"unreadable": "None"}
    except (NotCanonical, RecursionError):
        return {"unreadable": _printable(repr(given))[:100_000]}


def _printable(text: str) -> str:
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _kept_apart(records: Records, who: Who, given: dict[str, Any], next_seq: int, why: str) -> Answer:
    known = _stored(records, who.device, given)
    if known is not None and known["hash"] == given["hash"]:
        return _answer_again(known)
    keep_apart(records, who.device, given, who.now, "fork")
    remedy = "It is kept apart for the keeper to settle. Enrol this device under a new name."
    return Answer(given["id"], None, why, remedy, (next_seq, f"{why} Enrol this device under a new name."))


def _land(records: Records, who: Who, given: dict[str, Any]) -> tuple[Answer, list[dict[str, Any]]]:
    try:
        with records.savepoint():
            if given["id"] in who.refused:
                raise Refused(*who.refused[given["id"]])
            context = _read(records, who, given)
            _carry_out(context)
    except Refused as refusal:
        allocations.spend(records, who.device, _readable_spent(given))
        return Answer(given["id"], None, str(refusal), refusal.remedy), []
    except IntegrityError as trouble:
        allocations.spend(records, who.device, _readable_spent(given))
        return Answer(given["id"], None, f"The records do not allow it ({trouble}).", "Enter it again, or tell the keeper."), []
    rows = [{key: value for key, value in row.items() if key != "was"} for row in context.rows]
    return Answer(given["id"], context.position), rows


def _read(records: Records, who: Who, given: dict[str, Any]) -> OperationContext:
    """The operation as its rule sees it; raises `Refused` for anything that is not as it must be."""
    try:
        expected = entry_hash(given)
    except RecursionError:
        raise NotCanonical("The entry is nested too deeply to be read.", "Enter it again.") from None
    require(expected == given["hash"], "The entry's hash does not fit what it says.", "Enter it again; update the app.")
    try:
        if not QUICK_OPERATION.fits(given):
            OPERATION.load(given)
    except ValidationError as trouble:
        words = in_words(trouble.normalized_messages())
        raise Refused(f"The entry cannot be read: {words}", "Update the app on this device and enter it again.") from None
    kind = KINDS.get(given["kind"])
    if kind is None:
        raise Refused(f"The house knows no entry of kind {given['kind']!r}.", "Update the house or the app, then enter it again.")
    may = kind.who == "all" or (who.role == "keeper" and (kind.who == "keeper" or who.device == HOUSE))
    require(may, f"Only {'the house' if kind.who == 'house' else 'a keeper'} may enter {kind.name}.", "Ask the keeper.")
    rows = upgraded_rows(kind.name, given["version"], given["rows"])
    rows = [read_row(row, f"Row {index + 1}") for index, row in enumerate(rows)]
    as_meant(records, who.device, who.heard, rows)
    spent = given.get("spent", {})
    require(kind.may_spend or not spent, f"An entry of kind {kind.name} takes nothing from a share.", "Enter it again.")
    for table, (least, most) in kind.tables.items():
        number = sum(row["table"] == table for row in rows)
        require(least <= number <= most, f"{kind.name} holds {least} to {most} rows of {table}; this has {number}.", "Enter it again.")
    for row in rows:
        require(row["table"] in kind.tables, f"{kind.name} holds no rows of {row['table']}.", "Enter them by themselves.")
    names = [(row["table"], row["id"]) for row in rows]
    require(len(set(names)) == len(names), "Two of its rows have the same id.", "Enter it again.")
    position = next_position(records)
    return OperationContext(
        records, given["id"], who.device, who.role, kind.name, spent, rows, position, who.today,
        recovering=who.recovering, fact=kind.fact,
    )


def _carry_out(context: OperationContext) -> None:
    """Rule, shares, rows; the sums are looked at before the write and again after it."""
    kind = KINDS[context.kind]
    for good in context.spent:
        known = context.records.sql("SELECT 1 FROM balance WHERE good = ?", good).fetchone()
        require(known is not None, f"It takes {good} from the share, which the house does not know.", "Enter it again.")
    if kind.first:
        kind.first(context)
    before = allocations.pools(context.records)
    check_was(context)
    kind.rule(context)
    wanted = _newly_wanted(context)
    allocations.spend(context.records, context.device, context.spent)
    write_rows(context)
    _assert_kept(context, before)
    if context.device != HOUSE:
        allocations.note_demand(context.records, context.device, context.today, wanted)


def _newly_wanted(context: OperationContext) -> dict[str, int]:
    """Units more than before that a caller asked for in this entry, by good."""
    wanted: dict[str, int] = {}
    for row in context.of("line"):
        known = context.records.row(Line, row["id"])
        more = row.get("units", known["units"] if known else 0) - (known["units"] if known else 0)
        good = row.get("good") or (known["good"] if known else None)
        if more > 0 and good:
            wanted[good] = wanted.get(good, 0) + more
    return wanted


def _assert_kept(context: OperationContext, before: dict[str, int]) -> None:
    """No bar is promised twice: only what has already happened may take a pool below nothing (or further below)."""
    after = allocations.pools(context.records)
    for good, units in after.items():
        least = min(0, before.get(good, 0))
        if units < least and not context.fact and not context.recovering:
            raise Refused(
                f"It promises {least - units} {good} more than there are to promise.",
                "Call the customer back: take the order again with those units waiting.",
            )
    for line_id in context.lines_touched:
        line = context.records.row(Line, line_id)
        assert line is not None
        total = context.records.sql("SELECT SUM(units) FROM reservation WHERE line = ?", line_id).fetchone()[0]
        if (total or 0) != line["sure"] or line["sure"] < 0:
            raise SumsDisagree(f"The line {line_id} holds {line['sure']} but its reservations add up to {total}.", "Run: honeyhold check.")


def next_position(records: Records) -> int:
    """The position that the next landed operation gets."""
    return int(records.sql("SELECT MAX(position) FROM operation").fetchone()[0] or 0) + 1


def _readable_spent(given: dict[str, Any]) -> dict[str, int]:
    """What a refused entry took from the share, as far as it can be read."""
    spent = given.get("spent")
    if not isinstance(spent, dict):
        return {}
    return {
        good: units for good, units in spent.items()
        if isinstance(good, str) and good.isascii()  # an id; half a character would not even be looked up
        and isinstance(units, int) and not isinstance(units, bool) and 0 < units <= 1_000_000_000
    }


def _store(records: Records, who: Who, given: dict[str, Any], answer: Answer, rows: list[dict[str, Any]]) -> None:
    landed = answer.position is not None
    records.add(Operation, {
        "device": who.device, "seq": given["seq"], "id": given["id"], "hash": given["hash"],
        "kind": _printable(str(given.get("kind")))[:40], "made_at": _printable(str(given.get("made_at")))[:40],
        "received_at": who.now, "body": _keepable(given), "position": answer.position,
        "rows": rows if landed else None, "why": None if landed else answer.why, "remedy": None if landed else answer.remedy,
    })  # fmt: skip
    records.change(DeviceState, who.device, {"last_seq": given["seq"], "last_hash": given["hash"]})
