"""Takes one operation: once, in its device's order, whole or not at all, with an answer that never changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from marshmallow import ValidationError
from peewee import DataError, IntegrityError

from honeyhold.operations import allocations, pending
from honeyhold.operations.canonical import entry_hash
from honeyhold.operations.context import HOUSE, OperationContext, require
from honeyhold.operations.errors import NotCanonical, Refused
from honeyhold.operations.fast_validation import FastShape
from honeyhold.operations.keeping_apart import keep_apart, keepable, may_be_looked_up, printable
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.kinds.destinations import stay_where_promised
from honeyhold.operations.kinds.joining import joined_by_its_kind
from honeyhold.operations.kinds.together import said_by_its_kind
from honeyhold.operations.lot_codes import as_meant
from honeyhold.operations.schemas import EnvelopeSchema, OperationSchema, in_words, read_row
from honeyhold.operations.upgrade import upgraded_rows
from honeyhold.operations.writing import check_was, write_rows
from honeyhold.records.errors import SumsDisagree, first_line
from honeyhold.records.models import DeviceState, Line, Operation
from honeyhold.records.store import Records

ENVELOPE = EnvelopeSchema(unknown="exclude")
OPERATION = OperationSchema()
QUICK_ENVELOPE, QUICK_OPERATION = FastShape(ENVELOPE), FastShape(OPERATION)


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
    may_wait: bool = False
    """Whether what cannot land yet is kept until its cause has come: the house still waits for devices to return."""
    epoch_begins: int = 0
    """Where the places of this epoch begin in every queue (`waiting_lines.py`)."""
    places: dict[str, int] = field(default_factory=dict)
    """Place by id of entries that landed before the house was put back: where they stood in the queue then."""


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
    waits: bool = False
    """It is kept and not judged yet."""


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
        why = f"Entry {given['seq']} is not the one the main computer knows: this device's store was copied or put back."
        records.run(DeviceState.update(frozen=why).where(DeviceState.id == who.device))
        return _kept_apart(records, who, given, next_seq, why)
    answer = _waits(records, who, given) if who.may_wait else None
    if answer is None:
        answer, rows = land(records, who, given)
        if answer.waits:
            pending.keep(records, given, who.now, who.heard, _place(records, who, given))
        else:
            _store(records, who, given, answer, rows)
    records.change(DeviceState, who.device, {"last_seq": given["seq"], "last_hash": given["hash"]})
    return answer


def judge(records: Records, who: Who, waiting: dict[str, Any]) -> Answer:
    """What becomes of an entry that waited: landed, refused (where `who` may wait no longer), or waiting still."""
    answer, rows = land(records, who, waiting["body"])
    if not answer.waits:
        pending.let_go(records, waiting["number"])
        _store(records, who, waiting["body"], answer, rows)
    return answer


def _waits(records: Records, who: Who, given: dict[str, Any]) -> Answer | None:
    """An entry that hangs on one of the same device that waits is kept behind it; None if it hangs on none."""
    if given["id"] in who.refused or not pending.must_follow(records, who.device, given):
        return None
    if keepable(given) is not given:
        return None  # no file takes it: it is refused, not kept
    pending.keep(records, given, who.now, who.heard, _place(records, who, given))
    return Answer(given["id"], waits=True)


def _place(records: Records, who: Who, given: dict[str, Any]) -> int:
    return who.places.get(given["id"], who.epoch_begins + next_position(records))


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
    which = device, given["seq"], given["id"]
    found = records.sql(
        "SELECT id, hash, position, why, remedy FROM operation WHERE (device = ? AND seq = ?) OR id = ? "
        "UNION ALL SELECT id, hash, NULL, NULL, NULL FROM pending_entry WHERE (device = ? AND seq = ?) OR id = ? LIMIT 1",
        *which, *which,
    ).fetchone()  # fmt: skip
    return dict(zip(("id", "hash", "position", "why", "remedy"), found, strict=True)) if found else None


def _answer_again(stored: dict[str, Any]) -> Answer:
    return Answer(stored["id"], stored["position"], stored["why"] or "", stored["remedy"] or "")


def _kept_apart(records: Records, who: Who, given: dict[str, Any], next_seq: int, why: str) -> Answer:
    known = _stored(records, who.device, given)
    if known is not None and known["hash"] == given["hash"]:
        return _answer_again(known)
    keep_apart(records, who.device, given, who.now, "fork")
    remedy = "It is kept apart for the owner to settle. Add this device under a new name."
    return Answer(given["id"], None, why, remedy, (next_seq, f"{why} Add this device under a new name."))


def land(records: Records, who: Who, given: dict[str, Any]) -> tuple[Answer, list[dict[str, Any]]]:
    """What the rules say of one entry, with its rows if they landed; nothing is stored of it otherwise.

    What cannot be read is refused at once; what the records do not allow waits while devices may still return.
    """
    context = None
    try:
        with records.savepoint():
            if given["id"] in who.refused:
                raise Refused(*who.refused[given["id"]])
            context = _read(records, who, given)
            _carry_out(context)
    except (Refused, IntegrityError, DataError) as trouble:
        if context is not None and context.may_wait:
            return Answer(given["id"], waits=True), []
        allocations.spend(records, who.device, _readable_spent(given))
        return _refusal(given["id"], trouble), []
    rows = [{key: value for key, value in row.items() if key != "was"} for row in context.rows]
    return Answer(given["id"], context.position), rows


def _refusal(entry_id: str, trouble: Exception) -> Answer:
    if isinstance(trouble, Refused):
        return Answer(entry_id, None, str(trouble), trouble.remedy)
    first = first_line(trouble)  # PostgreSQL tells of the row besides, and whose it may be
    if isinstance(trouble, DataError):  # PostgreSQL takes no NUL in a text, as SQLite does
        return Answer(entry_id, None, f"It holds what the records cannot keep ({printable(first)}).", "Type the text again.")
    return Answer(entry_id, None, f"The records do not allow it ({first}).", "Enter it again, or tell the owner.")


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
        raise Refused(
            f"The main computer knows no entry of kind {given['kind']!r}.", "Update the main computer or the app, then enter it again."
        )
    may = kind.who == "all" or (who.role == "keeper" and (kind.who == "keeper" or who.device == HOUSE))
    require(may, f"Only {'the main computer' if kind.who == 'house' else 'an owner'} may enter {kind.name}.", "Ask the owner.")
    rows = upgraded_rows(kind.name, given["version"], given["rows"])
    rows = [read_row(row, f"Row {index + 1}") for index, row in enumerate(rows)]
    as_meant(records, who.device, who.heard, rows)
    spent = given.get("spent", {})
    require(kind.may_spend or not spent, f"An entry of kind {kind.name} takes nothing of what was set aside.", "Enter it again.")
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
        recovering=who.recovering, fact=kind.fact, may_wait=who.may_wait, returned=given["id"] in who.places,
        place=who.places.get(given["id"], who.epoch_begins + position),
    )


def _carry_out(context: OperationContext) -> None:
    """Rule, shares, rows; the sums are looked at before the write and again after it."""
    kind = KINDS[context.kind]
    for good in context.spent:
        known = context.records.sql("SELECT 1 FROM balance WHERE good = ?", good).fetchone()
        require(known is not None, f"It takes {good} of what was set aside, which the main computer does not know.", "Enter it again.")
    if kind.first:
        kind.first(context)
    before = allocations.pools(context.records)
    check_was(context)
    kind.rule(context)
    joined_by_its_kind(context)
    said_by_its_kind(context)
    stay_where_promised(context)
    wanted = _newly_wanted(context)
    allocations.spend(context.records, context.device, context.spent)
    write_rows(context)
    _assert_kept(context, before)
    if context.device != HOUSE:
        allocations.note_demand(context.records, context.device, context.today, wanted)


def _newly_wanted(context: OperationContext) -> dict[str, int]:
    """Units more than before that a caller asked for in this entry, by good; also what they then went without."""
    wanted: dict[str, int] = {}
    for row in context.of("lost_sale"):
        if not row.get("undoes"):
            wanted[row["good"]] = wanted.get(row["good"], 0) + row["units"]
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
            raise allocations.too_few(context.records, good, least - units)
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
        if may_be_looked_up(good)
        and isinstance(units, int) and not isinstance(units, bool) and 0 < units <= 1_000_000_000
    }


def _store(records: Records, who: Who, given: dict[str, Any], answer: Answer, rows: list[dict[str, Any]]) -> None:
    landed = answer.position is not None
    records.add(Operation, {
        "device": who.device, "seq": given["seq"], "id": given["id"], "hash": given["hash"],
        "kind": printable(str(given.get("kind")))[:40], "made_at": printable(str(given.get("made_at")))[:40],
        "received_at": who.now, "body": keepable(given), "position": answer.position,
        "rows": rows if landed else None, "why": None if landed else answer.why, "remedy": None if landed else answer.remedy,
    })  # fmt: skip
