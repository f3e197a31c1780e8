"""Everything out, any day: a zip of CSV files whose columns are explained, and one JSON that an empty house reads back.

Generic over the tables of the one message: what a later version adds is in it too, and a test asks for its line in columns.csv.
Keys, codes and hashes are never in it; nor is the log of entries, which holds nothing that is not in the rows.
"""

from __future__ import annotations

import csv
import io
import json
import os
import zipfile
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, Final

from honeyhold.errors import BadRequest
from honeyhold.house.cards import cards_of
from honeyhold.house.house import House
from honeyhold.operations.errors import NoSuchThing
from honeyhold.records.models import ROWS, Adjustment, Line, Order, Parcel, Payment, Person, Standing, shared_fields
from honeyhold.records.people import all_same
from honeyhold.replication.exchange import moment_text
from honeyhold.stock import ledger

FORMAT: Final = "honeyhold-export"
VERSION: Final = 1
JSON_NAME: Final = "all.json"
CHUNK: Final = 200
FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet would take for the beginning of a formula."""
BOOKS_EXPLAINED: Final = "\n".join([
    "", "journal.csv: for an accountant, worked out from the tables above: every sale, payment and count of the till, by double entry.",
    "  A sale is booked on the day it left; what was canceled was never sold. Sums are in dollars.",
    *(f"  {name}: {meaning}" for name, meaning in ledger.COLUMNS.items()), "",
    "accounts.csv: the balance of each account; all debits together are all credits.",
    *(f"  {name}: {meaning}" for name, meaning in ledger.ACCOUNTS.items()), "",
])  # fmt: skip

Json = dict[str, Any]
Tables = dict[str, list[Json]]


def whole(house: House) -> bytes:
    """The zip of everything."""
    return _zipped(house, _tables(house), with_books=True)


def put_out(target: Path, content: bytes) -> str:
    """Writes what `whole` gave into a file that its owner alone may read; what to say of it. Raises `OSError`."""
    with os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as opened:
        opened.write(content)
    return f"{target}: {len(content):,} bytes. Names and addresses are in it: keep it where you keep your records."


def of_person(house: House, person: str) -> bytes:
    """The zip of what the records hold of one person. Raises `NoSuchThing`."""
    records = house.records
    with records.read():
        same = all_same(records, person)
        people = records.shared_rows("person", Person, Person.id.in_(same))
        if not people:
            raise NoSuchThing(f"There is no person {person}.", "Choose one from the Book.")
        orders = records.shared_rows("order", Order, Order.person.in_(same))
        ids = [row["id"] for row in orders]
        standing = records.shared_rows("standing", Standing, Standing.person.in_(same))
        found: Tables = {"person": people, "standing": standing, "order": orders}
        for table, model in (("line", Line), ("payment", Payment), ("adjustment", Adjustment), ("parcel", Parcel)):
            found[table] = [row for order in ids for row in records.shared_rows(table, model, model.order == order)]
    return _zipped(house, found)


def bring_in(house: House, content: bytes) -> int:
    """Reads an export into an empty house, whole or not at all; how many rows. Raises `BadRequest` or `Refused`."""
    tables = _read(content)
    house.write_many("bring_in", [rows for table in ROWS for rows in _chunks(table, tables.get(table, []))])
    return sum(map(len, tables.values()))


def _tables(house: House) -> Tables:
    with house.records.view():
        found = {table: house.records.shared_rows(table, model) for table, model in ROWS.items()}
        queue = dict(house.records.sql("SELECT id, queue FROM line WHERE waits > 0").fetchall())
    places = {line: json.loads(text) for line, text in queue.items()}
    found["line"].sort(key=lambda row: places.get(row["id"], []))  # who waits comes last, first come first
    stands_for = {row["id"]: [row["replaces"], row["goes_with"]] for row in found["order"]}
    same_as = {row["id"]: [row["same_as"]] for row in found["person"]}
    found["person"].sort(key=lambda row: _depth(row["id"], same_as))
    found["order"].sort(key=lambda row: _depth(row["id"], stands_for))  # what stands for another order comes after it
    found["reservation"].sort(key=lambda row: row["line"])
    return found


def _depth(row_id: str, named: dict[str, list[str | None]]) -> int:
    """How many rows must come before it, one behind the other, along whichever of the rows it names is longest."""
    depth, ring = 0, {one for one in named.get(row_id, ()) if one}
    while ring and depth < len(named):
        depth, ring = depth + 1, {one for before in ring for one in named.get(before, ()) if one}
    return depth


def _zipped(house: House, tables: Tables, with_books: bool = False) -> bytes:
    told: Json = {
        "format": FORMAT, "version": VERSION, "made_at": moment_text(house.clock.now()), "demo": house.is_demo(),
        "rows": {table: [{key: value for key, value in row.items() if key != "table"} for row in rows] for table, rows in tables.items()},
    }  # fmt: skip
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("READ-ME.txt", explanation(list(tables)) + (BOOKS_EXPLAINED if with_books else ""))
        for table, rows in told["rows"].items():
            archive.writestr(f"{table}.csv", csv_text([field.name for field in shared_fields(ROWS[table])], rows))
        archive.writestr("people.vcf", cards_of(tables["person"]))
        for name, text in _books(tables).items() if with_books else ():
            archive.writestr(name, text)
        archive.writestr(JSON_NAME, json.dumps(told, ensure_ascii=False, indent=1))
    return made.getvalue()


def _books(tables: Tables) -> dict[str, str]:
    """The two files for an accountant."""
    entries = ledger.journal(tables)
    return {
        "journal.csv": csv_text(list(ledger.COLUMNS), ledger.journal_rows(entries)),
        "accounts.csv": csv_text(["account", "debit", "credit", "text"], ledger.account_rows(entries)),
    }


def csv_text(names: list[str], rows: list[Json]) -> str:
    """Rows as CSV (RFC 4180, with the mark by which spreadsheets know UTF-8); no cell is taken for a formula."""
    text = io.StringIO()
    written = csv.writer(text, lineterminator="\r\n")
    written.writerow(names)
    written.writerows([_cell(row.get(name)) for name in names] for row in rows)
    return "\ufeff" + text.getvalue()


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, dict)):
        value = json.dumps(value, ensure_ascii=False, sort_keys=True)
    if isinstance(value, str) and value.startswith(FORMULA) and not value.removeprefix("+").isdigit():
        return "'" + value
    return value


@cache
def columns() -> dict[tuple[str, str], str]:
    """What each table (the empty column) and each column means."""
    text = (resources.files("honeyhold.house") / "columns.csv").read_text("utf-8")
    return {(row["table"], row["column"]): row["meaning"] for row in csv.DictReader(io.StringIO(text))}


def explanation(tables: list[str]) -> str:
    """The page that lies in the zip: what each file and each column is."""
    lines = ["Everything that Honeyhold holds, as tables (.csv) and once more in one file (all.json).", ""]
    lines += ["Whoever has these files has the names and addresses in them: keep them where you keep your records.", ""]
    lines += ["An apostrophe before = + - @ keeps a spreadsheet from taking a text for a formula; all.json has the text as it is."]
    lines += ["`honeyhold import FILE` reads it into an empty house. Keys of devices are not in it: add them again with a code.", ""]
    lines += ["people.vcf: the people as cards (vCard), for a phone's contacts.", ""]
    for table in tables:
        lines += ["", f"{table}.csv: {columns().get((table, ''), '')}"]
        lines += [f"  {field.name}: {columns().get((table, field.name), '')}" for field in shared_fields(ROWS[table])]
    return "\n".join(lines) + "\n"


def _read(content: bytes) -> Tables:
    """The rows of an export by table. Raises `BadRequest` saying what is wrong with the file."""
    remedy = "Choose a file that `honeyhold export` or Settings, everything out, has made."
    try:
        if content[:2] == b"PK":
            content = zipfile.ZipFile(io.BytesIO(content)).read(JSON_NAME)
        told = json.loads(content)
        assert told["format"] == FORMAT and isinstance(told["rows"], dict) and type(told["version"]) is int
        tables = {table: [{"table": table, **row} for row in rows] for table, rows in told["rows"].items()}
    except (ValueError, KeyError, TypeError, AssertionError, zipfile.BadZipFile, RecursionError) as trouble:
        raise BadRequest(f"This file is no export of a honey house ({type(trouble).__name__}).", remedy) from None
    if told["version"] > VERSION or set(tables) - set(ROWS):
        raise BadRequest(f"A newer Honeyhold made this export (version {told['version']}).", "Update this one, then read it again.")
    return tables


def _chunks(table: str, rows: list[Json]) -> list[list[Json]]:
    """As many rows at once as an entry holds; a line's reservations stay together, and who waits keeps the place."""
    if table == "device":
        rows = [{**row, "lost": True} for row in rows]  # their keys are not here: none of them can speak any more
    if table == "line":
        return [[row] for row in rows]
    made: list[list[Json]] = []
    for row in rows:
        together = made and table == "reservation" and made[-1][-1]["line"] == row["line"]
        if made and (together or len(made[-1]) < CHUNK):
            made[-1].append(row)
        else:
            made.append([row])
    return made
