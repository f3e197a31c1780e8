"""The kept statements write and read what Peewee does."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from honeyhold.records.models import Good, Lot, Order, Person, Setting
from honeyhold.records.sqlite_records import SqliteRecords

GIVEN: list[tuple[Any, dict[str, Any]]] = [
    (Person, {"id": "p1", "name": "Ruth"}),
    (Good, {"id": "g1", "name": "wax bar", "kind": "wax", "glass": True, "bears_g": None}),
    (Lot, {"id": "W26-204-1", "good": "g1", "made_on": "2026-07-20", "sources": ["a"], "measures": {"bars": 10}}),
    (Order, {"id": "o1", "number": "A-1", "person": "p1", "way": "post", "state": "promised", "taken_on": "2026-07-20"}),
    (Setting, {"id": "posting_days", "value": ["Mon"]}),
    (Setting, {"id": "nothing", "value": None}),
]


def test_the_same_rows_as_peewee_writes(tmp_path: Path) -> None:
    here, there = SqliteRecords(tmp_path / "swift.db"), SqliteRecords(tmp_path / "peewee.db")
    with here.write(), there.write():
        for model, values in GIVEN:
            here.add(model, values)
            there.run(model.insert(**values))
    with here.read(), there.read():
        for model, values in GIVEN:
            table = model._meta.table_name
            both = [one.sql(f'SELECT * FROM "{table}" WHERE id = ?', values["id"]).fetchall() for one in (here, there)]
            assert both[0] == both[1] != []
            assert here.row(model, values["id"]) == there.first(model.select().where(model.id == values["id"]))
            assert here.there(model, values["id"]) and not here.there(model, "none")
            assert here.row(model, "none") is None


def test_changes_and_rows_of(tmp_path: Path) -> None:
    records = SqliteRecords(tmp_path / "h.db")
    with records.write():
        for model, values in GIVEN[:2]:
            records.add(model, values)
        records.add(Lot, GIVEN[2][1])
        records.change(Lot, "W26-204-1", {"measures": {"bars": 9}, "note": "one cracked"})
        records.change(Good, "g1", {"glass": False})
    with records.read():
        assert records.row(Good, "g1") == records.first(Good.select())
        assert records.rows_of(Lot, "good", "g1") == records.dicts(Lot.select()) and records.rows_of(Lot, "good", "g2") == []
        assert records.dicts(Lot.select())[0]["measures"] == {"bars": 9}


def test_a_savepoint_lands_whole_or_not_at_all(tmp_path: Path) -> None:
    """One inside another too: they carry the same name."""
    records = SqliteRecords(tmp_path / "h.db")
    with records.write():
        records.add(Person, {"id": "kept"})
        with records.savepoint():
            records.add(Person, {"id": "outer"})
            with pytest.raises(InterruptedError), records.savepoint():
                records.add(Person, {"id": "inner"})
                raise InterruptedError
        with pytest.raises(InterruptedError), records.savepoint():
            records.add(Person, {"id": "other"})
            with records.savepoint():
                records.add(Person, {"id": "inside"})
            raise InterruptedError
    with records.read():
        assert sorted(row["id"] for row in records.dicts(Person.select())) == ["kept", "outer"]
