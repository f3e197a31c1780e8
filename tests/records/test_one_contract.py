"""What the records promise, whatever keeps them: the same tests on SQLite's file and in a PostgreSQL database."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from peewee import DatabaseError, DataError, IntegrityError

import postgresql_server
from honeyhold.operations.apply import next_position
from honeyhold.records.check import disagreements
from honeyhold.records.errors import NewerRecords, RecordsTrouble
from honeyhold.records.migrations import steps as migrations
from honeyhold.records.models import ROWS, Balance, Good, LateEntry, Line, Operation, Order, Parcel, PendingEntry, Person, Setting
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.store import Records

Open = Callable[[], Records]
LARGEST = 2**63 - 1
STORES = ("sqlite", "postgresql")


@pytest.fixture(params=STORES)
def store(request: pytest.FixtureRequest) -> str:
    """Which of the two."""
    if request.param == "postgresql":
        postgresql_server.needed()
    return str(request.param)


@pytest.fixture
def opened(store: str, tmp_path: Path) -> Iterator[Open]:
    """Opens the same records, again and again."""
    if store == "sqlite":
        yield lambda: SqliteRecords(tmp_path / "honeyhold.db")
        return
    from honeyhold.records.postgresql_records import PostgresqlRecords

    with postgresql_server.swept():
        address = postgresql_server.cluster().database()
        yield lambda: PostgresqlRecords(address)


@pytest.fixture
def records(opened: Open) -> Iterator[Records]:
    made = opened()
    yield made
    made.close()


def operation(records: Records, seq: int, **other: Any) -> dict[str, Any]:
    """An entry of one device at the next position, added."""
    row = {
        "device": "d", "seq": seq, "id": f"op{seq}", "hash": f"{seq:064x}", "kind": "note", "made_at": "2026-07-20T14:10:03Z",
        "received_at": "2026-07-20T14:10:04Z", "body": {"rows": []}, "position": next_position(records), "rows": [], "why": None,
        "remedy": None, **other,
    }  # fmt: skip
    records.add(Operation, row)
    return row


def good(records: Records, name: str = "bar") -> None:
    """A good with its balance."""
    records.add(Good, {"id": name, "name": name})
    records.run(Balance.insert(good=name).on_conflict_ignore())


def test_new_records_are_of_the_newest_schema_and_whole(records: Records) -> None:
    with records.read():
        assert migrations.schema_version(records) == migrations.steps()[-1][0]
        for model in ROWS.values():
            assert records.dicts(model.select()) == []
    assert disagreements(records) == []


def test_the_two_have_the_same_tables_and_columns(tmp_path: Path) -> None:
    """What a step adds to the one it adds to the other, in the same order: a yes or no apart, and the count of rows that SQLite hides."""
    from honeyhold.records.postgresql_records import PostgresqlRecords

    server = postgresql_server.needed()
    file = SqliteRecords(tmp_path / "honeyhold.db")
    with postgresql_server.swept():
        database = PostgresqlRecords(server.database())
        with file.read(), database.read():
            tables = sorted(file.database.get_tables())
            assert tables == sorted(database.database.get_tables()) and len(tables) >= 25
            for table in tables:
                here = [(one.name, one.null and not one.primary_key) for one in file.database.get_columns(table)]
                there = [(one.name, one.null) for one in database.database.get_columns(table) if one.name != "rowid"]
                assert here == there, table
                keys = [sorted(tuple(key)[:3] for key in one.database.get_foreign_keys(table)) for one in (file, database)]
                assert keys[0] == keys[1], table
                indexes = [{one.name for one in which.database.get_indexes(table) if not one.unique} for which in (file, database)]
                assert indexes[0] == indexes[1] - {"line_rowid"}, table
        database.close()
    file.close()


def test_a_write_that_fails_leaves_nothing(records: Records) -> None:
    with pytest.raises(ZeroDivisionError), records.write():
        records.add(Person, {"id": "p", "name": "Ruth"})
        records.set_meta("half", "yes")
        raise ZeroDivisionError
    with records.read():
        assert records.row(Person, "p") is None and records.meta("half") == ""


def test_what_the_database_refuses_leaves_nothing_and_the_next_write_lands(records: Records) -> None:
    with pytest.raises(IntegrityError), records.write():
        good(records)
        records.add(Line, {"id": "l", "order": "nowhere", "good": "bar", "units": 1})
    with pytest.raises(DatabaseError, match="nowhere"), records.write():
        good(records)
        records.sql("INSERT INTO nowhere VALUES (1)")
    with records.write():
        good(records, "jar")
    with records.read():
        assert [row["id"] for row in records.dicts(Good.select())] == ["jar"]


def test_a_savepoint_takes_back_only_its_own_also_after_the_database_refused(records: Records) -> None:
    with records.write():
        good(records)
        with pytest.raises(IntegrityError), records.savepoint():
            records.add(Person, {"id": "p", "name": "Ruth"})
            with records.savepoint():
                records.add(Person, {"id": "q", "name": "Joan"})
            records.add(Good, {"id": "bar", "name": "again"})
        records.add(Person, {"id": "r", "name": "Ann"})
    with records.read():
        assert [row["id"] for row in records.dicts(Person.select())] == ["r"] and records.there(Good, "bar")


def test_a_write_inside_a_write_is_a_mistake(records: Records) -> None:
    with records.write(), pytest.raises(RecordsTrouble, match="inside another"), records.write():
        pass


def test_positions_have_no_hole_and_none_twice_whoever_writes(records: Records) -> None:
    """Four threads, ten writes each; a third of them fails."""

    def entries(first: int) -> None:
        for number in range(first, first + 10):
            try:
                with records.write():
                    operation(records, number, device=f"d{first}")
                    if number % 3 == 0:
                        raise InterruptedError
            except InterruptedError:
                continue

    threads = [threading.Thread(target=entries, args=(first,)) for first in (100, 200, 300, 400)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with records.read():
        found = [row["position"] for row in records.dicts(Operation.select().order_by(Operation.position))]
    landed = [number for first in (100, 200, 300, 400) for number in range(first, first + 10) if number % 3]
    assert found == list(range(1, len(landed) + 1))


def test_one_writer_at_a_time_while_others_read(records: Records) -> None:
    """A reader beside a write sees what was before, at once; a second writer begins when the first has ended."""
    seen: list[Any] = []
    inside, may_end = threading.Event(), threading.Event()

    def write() -> None:
        with records.write():
            records.set_meta("who", "first")
            inside.set()
            may_end.wait(30)
            seen.append("first ends")

    def write_behind() -> None:
        with records.write():
            seen.append(records.meta("who"))

    first, second = threading.Thread(target=write), threading.Thread(target=write_behind)
    first.start()
    assert inside.wait(30)
    second.start()
    with records.read():
        assert records.meta("who") == ""
    may_end.set()
    first.join()
    second.join()
    assert seen == ["first ends", "first"]


def test_a_view_stays_what_it_was_at_its_first_look(records: Records) -> None:
    def write() -> None:
        with records.write():
            records.set_meta("when", "later")

    with records.view():
        assert records.meta("when") == ""
        other = threading.Thread(target=write)
        other.start()
        other.join()
        assert records.meta("when") == ""
    with records.read():
        assert records.meta("when") == "later"


def test_rows_come_back_as_they_were_given(records: Records) -> None:
    """Times as text, yes and no, the largest whole number, texts of every script, lists, dictionaries, and nothing."""
    person = {"id": "p", "name": "Zoë 🐝 蜂 'x' \"y\" % ? ; --", "note": "line\nbreak\ttab", "hidden": True, "same_as": None}
    told = {"rows": ["ü", None, {"a": [1, True]}], "nul": "\0"}
    with records.write():
        records.add(Person, person)
        records.add(Setting, {"id": "nothing", "value": None})
        records.add(Setting, {"id": "told", "value": told})
        good(records)
        records.change(Good, "bar", {"net_g": LARGEST, "gross_g": -LARGEST, "glass": True, "steps": [[10, 2500]]})
    with records.read():
        found = records.row(Person, "p")
        assert found is not None and found == {**found, **person} and found["hidden"] is True
        assert records.row(Setting, "nothing") == {"id": "nothing", "value": None}
        assert records.row(Setting, "told") == {"id": "told", "value": told}
        bar = records.first(Good.select())
        assert bar is not None and bar == records.row(Good, "bar")
        assert (bar["net_g"], bar["gross_g"], bar["glass"], bar["upright"], bar["steps"]) == (LARGEST, -LARGEST, True, False, [[10, 2500]])
        assert bar["bears_g"] is None


def test_a_text_with_nul_is_kept_the_same_or_refused_whole(records: Records, store: str) -> None:
    with records.write():
        try:
            with records.savepoint():
                records.add(Person, {"id": "p", "name": "a\0b"})
        except DataError:
            assert store == "postgresql"
        records.add(Person, {"id": "q", "name": "after"})
    with records.read():
        row = records.row(Person, "p")
        assert (row["name"] if row else "refused") == ("a\0b" if store == "sqlite" else "refused")
        assert records.there(Person, "q")


def test_a_number_past_64_bits_is_refused(records: Records) -> None:
    with pytest.raises((DataError, OverflowError)), records.write():
        records.add(Good, {"id": "bar", "name": "bar", "net_g": LARGEST + 1})
    with records.read():
        assert not records.there(Good, "bar")


def test_texts_are_in_the_order_of_their_bytes(records: Records) -> None:
    names = ["a", "B", "_", "ä", "Z", "1", "-", "a b", "ab", "🐝", "ﬀ"]
    with records.write():
        for name in names:
            records.add(Setting, {"id": name, "value": 1})
    with records.read():
        expected = sorted(names, key=lambda name: name.encode())
        assert [row["id"] for row in records.shared_rows("setting", Setting)] == expected
        assert [row[0] for row in records.sql("SELECT id FROM setting WHERE id >= ? ORDER BY id DESC", "a").fetchall()] == [
            name for name in reversed(expected) if name.encode() >= b"a"
        ]


def test_sums_are_whole_numbers(records: Records) -> None:
    with records.write():
        good(records)
        good(records, "jar")
        records.sql("UPDATE balance SET on_hand = ? WHERE good = ?", 2**40, "bar")
        records.sql("UPDATE balance SET on_hand = ? WHERE good = ?", 2**40, "jar")
    with records.read():
        total = records.sql("SELECT SUM(on_hand) FROM balance").fetchone()[0]
    assert total == 2**41 and json.dumps(total)


def test_upserts_add_to_what_is_there(records: Records) -> None:
    text = "INSERT INTO lot_balance (good, lot, units) VALUES (?, ?, ?) ON CONFLICT (good, lot) DO UPDATE SET units = lot_balance.units + ?"
    with records.write():
        good(records)
        records.run(Balance.insert(good="bar").on_conflict_ignore())
        records.sql(text, "bar", "", 3, 3)
        records.sql(text, "bar", "", 4, 4)
        records.set_meta("key", "one")
        records.set_meta("key", "two")
    with records.read():
        assert records.sql("SELECT units FROM lot_balance").fetchall() == [(7,)] and records.meta("key") == "two"
        assert records.sql("SELECT COUNT(*) FROM balance").fetchone()[0] == 1


def test_what_came_first_is_told_first(records: Records) -> None:
    """Rows of one order stay in the order in which they came, whatever was changed since; nothing stands at the end where it was put."""
    with records.write():
        good(records)
        records.add(Order, {"id": "o", "number": "A-1", "taken_on": "2026-07-20"})
        for name in ("z", "m", "a"):
            records.add(Line, {"id": name, "order": "o", "good": "bar", "units": 1})
        records.change(Line, "z", {"units": 9})
        for number, day in enumerate([None, "2026-07-01", "2026-07-09"]):
            records.add(Parcel, {"id": f"p{number}", "order": "o", "arrived": "fine", "arrived_on": day})
    with records.read():
        assert [row["id"] for row in records.rows_of(Line, "order", "o")] == ["z", "m", "a"]
        newest = records.sql("SELECT id FROM line ORDER BY rowid DESC").fetchall()
        assert [name for (name,) in newest] == ["a", "m", "z"]
        late = Parcel.select(Parcel.id).order_by(Parcel.arrived_on.desc(nulls="LAST"))
        assert [row["id"] for row in records.dicts(late)] == ["p2", "p1", "p0"]


def test_waiting_lines_are_told_by_their_first_place(records: Records) -> None:
    with records.write():
        good(records)
        records.add(Order, {"id": "o", "number": "A-1", "taken_on": "2026-07-20"})
        for name, queue in (("a", [[10, 1]]), ("b", [[9, 2], [12, 1]]), ("c", [[2**40, 1]])):
            records.add(Line, {"id": name, "order": "o", "good": "bar", "units": 3, "waits": 1, "queue": queue})
    with records.read():
        found = records.dicts(Line.select(Line.id).order_by(records.whole_at("queue", 0, 0), Line.id))
    assert [row["id"] for row in found] == ["b", "a", "c"]


def test_many_ids_are_one_value(records: Records) -> None:
    with records.write():
        for number in range(50):
            records.add(Person, {"id": f"p{number}", "name": "x"})
    with records.read():
        many = [f"p{number}" for number in range(0, 40_000, 2)]
        assert len(records.dicts(Person.select().where(Person.id.in_(records.these(many))))) == 25
        assert records.dicts(Person.select().where(Person.id.in_(records.these([])))) == []


def test_entries_that_wait_are_counted_on(records: Records) -> None:
    row = {"device": "d", "hash": "h", "received_at": "t", "heard": 0, "place": 1, "body": {}}
    with records.write():
        for seq in (1, 2):
            records.run(PendingEntry.insert(seq=seq, id=f"e{seq}", **row))
        records.run(LateEntry.insert(device="d", seq=1, hash="h", received_at="t", reason="lost", body={}))
    with records.read():
        first, second = records.dicts(PendingEntry.select().order_by(PendingEntry.number))
        assert first["number"] < second["number"] and second["seq"] == 2
        assert records.sql("SELECT COUNT(*) FROM late_entry WHERE NOT settled").fetchone()[0] == 1


def test_they_are_there_when_opened_again(opened: Open) -> None:
    first = opened()
    with first.write():
        operation(first, 1)
    first.close()
    again = opened()
    with again.read():
        assert next_position(again) == 2
    again.close()


def test_a_step_that_fails_leaves_them_where_they_were(opened: Open, store: str, monkeypatch: pytest.MonkeyPatch) -> None:
    name = "steps" if store == "sqlite" else "postgresql_steps"
    known = getattr(migrations, name)()
    opened().close()
    broken = (known[-1][0] + 1, "CREATE TABLE half (id TEXT); INSERT INTO nowhere VALUES (1)")
    monkeypatch.setattr(migrations, name, lambda: [*known, broken])
    with pytest.raises(Exception, match="nowhere"):
        opened()
    monkeypatch.setattr(migrations, name, lambda: [*known, (broken[0], "CREATE TABLE whole (id TEXT)")])
    records = opened()
    with records.read():
        assert migrations.schema_version(records) == broken[0]
        assert records.database.table_exists("whole") and not records.database.table_exists("half")
    records.close()


def test_newer_records_are_left_alone(opened: Open) -> None:
    records = opened()
    with records.write():
        records.set_meta("schema_version", "99")
    records.close()
    with pytest.raises(NewerRecords, match="99"):
        opened()


def test_a_balance_that_was_put_wrong_is_named(records: Records) -> None:
    with records.write():
        good(records)
        records.sql("UPDATE balance SET on_hand = on_hand + 1")
    assert any(words.startswith("on hand: bar is kept as 1") for words in disagreements(records))
