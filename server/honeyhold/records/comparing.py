"""What records hold, whole, so that two places of the same records can be compared: every row, every device's chain, every sum."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from honeyhold.records.backup import OF_ONE_PLACE
from honeyhold.records.check import disagreements
from honeyhold.records.store import Records

ENTRIES: Final = """
SELECT device, seq, hash, body FROM operation UNION ALL SELECT device, seq, hash, body FROM pending_entry ORDER BY device, seq"""
MODULUS: Final = 1 << 256
Columns = dict[str, list[str]]


@dataclass(frozen=True)
class Held:
    """What was found in one place."""

    tables: dict[str, tuple[int, int]]
    """By table, how many rows, and the sum of their digests: the same whatever the order in which a place gives them."""
    chains: dict[str, tuple[int, str]]
    """By device, how many entries, and the digest of their hashes one after the other."""
    devices: list[tuple[Any, ...]]
    """Id, name, mark, role, lost."""
    position: int
    epoch: str
    wrong: list[str]
    """Sums that disagree and chains that are broken, in words."""

    def told(self) -> str:
        """In a line, of what both places have."""
        rows = sum(number for number, _ in self.tables.values())
        return (
            f"{len(self.tables)} tables, {rows:,} rows, {len(self.chains)} devices' chains, every sum, the list of devices, "
            f"the last position ({self.position:,}) and the epoch: the same."
        )


def columns_of(file: Records, database: Records) -> Columns:
    """What is compared: the tables that a file of records has, and of each the columns of a database, where `rowid` is one."""
    with file.read(), database.read():
        tables = [name for name in file.database.get_tables() if not name.startswith("sqlite_")]
        return {table: [column.name for column in database.database.get_columns(table)] for table in tables}


def held(records: Records, columns: Columns) -> Held:
    """Reads everything; as of one moment, if nobody writes between the look and the sums."""
    with records.view():
        tables = {table: _table(records, table, names) for table, names in columns.items()}
        chains, broken = _chains(records)
        devices = [_plain(row) for row in records.sql("SELECT id, name, mark, role, lost FROM device ORDER BY id").fetchall()]
        position = int(records.sql("SELECT COALESCE(MAX(position), 0) FROM operation").fetchone()[0])
        epoch = records.meta("epoch")
    return Held(tables, chains, devices, position, epoch, [*disagreements(records), *broken])


def differences(old: Held, new: Held) -> list[str]:
    """In what the new place is not the old one, in words; what is wrong in the new one too."""
    found = [f"wrong in the new place: {one}" for one in new.wrong]
    for table in sorted(old.tables.keys() | new.tables.keys()):
        (before, sum_before), (after, sum_after) = old.tables.get(table, (0, 0)), new.tables.get(table, (0, 0))
        if before != after:
            found.append(f"table {table}: {before:,} rows in the old place, {after:,} in the new one")
        elif sum_before != sum_after:
            found.append(f"table {table}: {before:,} rows in both, but not the same")
    for device in sorted(old.chains.keys() | new.chains.keys()):
        if old.chains.get(device) != new.chains.get(device):
            found.append(f"the chain of device {device} is another one")
    for what, one, other in (("last position", old.position, new.position), ("epoch", old.epoch, new.epoch)):
        if one != other:
            found.append(f"{what}: {one} in the old place, {other} in the new one")
    return found if old.devices == new.devices else [*found, "the list of devices is another one"]


def _table(records: Records, table: str, names: list[str]) -> tuple[int, int]:
    """How many rows, and the sum of their digests. Rows are given in any order, and no two of a table are alike."""
    number = total = 0
    listed = ", ".join(f'"{name}"' for name in names)
    for row in records.each_row(f'SELECT {listed} FROM "{table}"'):
        if table == "meta" and row[names.index("key")] in OF_ONE_PLACE:
            continue
        number += 1
        total += int.from_bytes(hashlib.sha256(json.dumps(_plain(row)).encode()).digest())
    return number, total % MODULUS


def _chains(records: Records) -> tuple[dict[str, tuple[int, str]], list[str]]:
    """The chain of each device, and where one does not hold together, in words."""
    last: dict[str, tuple[int, str, Any]] = {}
    broken: list[str] = []
    for device, seq, own_hash, body in records.each_row(ENTRIES):
        number, before, chain = last.get(device, (0, "", hashlib.sha256()))
        said = json.loads(body)
        if isinstance(said, dict) and said.get("before", before) != before:
            broken.append(f"the chain of device {device}: its entry {seq} does not follow the one before it")
        chain.update(own_hash.encode())
        last[device] = (number + 1, own_hash, chain)
    for device, ends in records.sql("SELECT id, last_hash FROM device_state ORDER BY id").fetchall():
        if last.get(device, (0, ""))[1] != ends:
            broken.append(f"the chain of device {device} does not end where its state says")
    return {device: (number, chain.hexdigest()) for device, (number, _, chain) in last.items()}, broken


def _plain(row: Iterable[Any]) -> tuple[Any, ...]:
    """Yes and no as numbers, and what a database does not take as it is carried into one (`carrying.py`)."""
    return tuple(
        int(value) if isinstance(value, bool) else value.replace("\0", "\\x00") if isinstance(value, str) else value for value in row
    )
