"""Everything out and back in: the same rows, the same sums; one person out, or forgotten; nothing a spreadsheet would run."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
import stat
import zipfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo_seed import play
from honeyhold.api.app import make_app
from honeyhold.app.command_line import main
from honeyhold.errors import BadRequest
from honeyhold.house import export
from honeyhold.house.house import House
from honeyhold.operations.errors import NoSuchThing, Refused
from honeyhold.records.models import ROWS, shared_fields
from house.test_serving import started
from replication.houses import device, small_house

SUMS = (
    "SELECT good, on_hand, promised FROM balance WHERE on_hand <> 0 OR promised <> 0 ORDER BY good",
    "SELECT good, lot, units FROM lot_balance WHERE units <> 0 ORDER BY good, lot",
    "SELECT id, sure, handed, waits FROM line ORDER BY id",
    'SELECT id, paid_cents, closed_on FROM "order" ORDER BY id',
)


def sums(house: House) -> list[Any]:
    with house.records.read():
        return [house.records.database.execute_sql(sql).fetchall() for sql in SUMS]


def rows(house: House) -> dict[str, Any]:
    with house.records.read():
        return {table: house.records.shared_rows(table, model) for table, model in ROWS.items() if table != "device"}


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    house = House.open(tmp_path_factory.mktemp("season") / "data")
    house.make_demo()
    house.clock.set(datetime(2027, 7, 24, 15, tzinfo=UTC))
    play(house)
    yield house
    house.close()


def test_a_season_goes_out_and_comes_back_with_the_same_rows_and_sums(season: House, tmp_path: Path) -> None:
    with season.records.write():
        season.records.add(ROWS["undoing"], {"id": "an-entry-undone", "position": 1})
    assert sums(season)[0] and rows(season)["undoing"]
    house = House.open(tmp_path / "data")
    number = export.bring_in(house, export.whole(season))
    assert number > 100 and sums(house) == sums(season) and house.check() == []
    there, here = rows(season), rows(house)
    for table in ROWS.keys() - {"device", "reservation"}:
        assert here[table] == there[table], table
    assert {one["mark"] for one in house.records.shared_rows("device", ROWS["device"])} >= {"A", "B"}
    with pytest.raises(Refused, match="empty house only"):
        house.write("note_person", [{"table": "person", "id": "x", "name": "X"}]) and export.bring_in(house, export.whole(season))
    assert house.enrol(house.new_code()["code"], "New phone")["mark"] == "C"  # no letter is given twice
    house.close()


def test_it_also_goes_out_while_the_house_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data, file = tmp_path / "data", tmp_path / "out.zip"
    with started(data):
        assert main(["export", str(file), "--data", str(data)]) == 0
    assert "keep your records" in capsys.readouterr().out and stat.S_IMODE(file.stat().st_mode) == 0o600
    assert main(["import", str(file), "--data", str(tmp_path / "empty")]) == 0
    assert "every sum agrees" in capsys.readouterr().out


NO_EXPORTS = [b"", b"PK\x03\x04broken", b"{}", b'{"format": "other"}', b'{"format": "honeyhold-export", "rows": []}']


@pytest.mark.parametrize("content", NO_EXPORTS)
def test_a_file_that_is_no_export_says_so_and_writes_nothing(tmp_path: Path, content: bytes) -> None:
    house = House.open(tmp_path / "data")
    with pytest.raises(BadRequest, match="no export"):
        export.bring_in(house, content)
    assert house.position() == 0
    house.close()


def test_an_export_with_one_bad_row_is_read_not_at_all(season: House, tmp_path: Path) -> None:
    told = json.loads(zipfile.ZipFile(io.BytesIO(export.whole(season))).read(export.JSON_NAME))
    told["rows"]["parcel"].append({"id": "bad", "order": "nowhere"})
    house = House.open(tmp_path / "data")
    with pytest.raises(Refused):
        export.bring_in(house, json.dumps(told).encode())
    assert house.position() == 0 and sums(house)[0] == []
    house.close()


def test_every_table_and_column_has_its_line() -> None:
    wanted = {(table, "") for table in ROWS} | {(table, field.name) for table, model in ROWS.items() for field in shared_fields(model)}
    told = export.columns()
    assert {place for place in wanted if not told.get(place)} == set(), "write what it means into house/columns.csv"
    assert told.keys() - wanted == set()


def test_every_table_lies_in_the_zip_with_all_its_columns(season: House) -> None:
    archive = zipfile.ZipFile(io.BytesIO(export.whole(season)))
    for table, model in ROWS.items():
        read = list(csv.reader(io.StringIO(archive.read(f"{table}.csv").decode("utf-8-sig"))))
        assert read[0] == [field.name for field in shared_fields(model)]
        with season.records.read():
            assert len(read) - 1 == len(season.records.shared_rows(table, model))
    text = archive.read("READ-ME.txt").decode()
    assert "price_cents: price of one, cents" in text
    assert b"token" not in b"".join(archive.read(name) for name in archive.namelist() if name.endswith("csv"))


def test_the_books_for_an_accountant_lie_in_the_zip_and_close(tmp_path: Path) -> None:
    """Debit is credit, to the cent; the customers' account is what every device says they owe, and the cash what the till should hold."""
    house = small_house(tmp_path)
    hand = device(house, bars=20)
    owing, canceled, ahead = (
        hand.promise([("bar", 3)], person=hand.note_person(name=name), way="pick_up", posting_cents=140).order
        for name in ("Ann", "Bob", "Cy")
    )
    hand.hand_over(owing, payment=(500, "cash"))
    hand.adjust(owing, -100, "heat")
    hand.pay(canceled, 900, "check", check_number="118")
    hand.let_go(canceled)
    hand.pay(ahead, 250, "transfer")
    hand.sell([("bar", 2)])
    hand.till("opening", 5000)
    hand.till("counted", 6090, "a dime")
    hand.exchange()
    archive = zipfile.ZipFile(io.BytesIO(export.whole(house)))
    rows_ = list(csv.DictReader(io.StringIO(archive.read("journal.csv").decode("utf-8-sig"))))
    cents = lambda text: int(text.replace(".", "") or 0)  # noqa: E731
    by_entry: dict[str, int] = {}
    for row in rows_:
        by_entry[row["entry"]] = by_entry.get(row["entry"], 0) + cents(row["debit"]) - cents(row["credit"])
    assert len(by_entry) == 9 and set(by_entry.values()) == {0}
    accounts = {row["account"]: cents(row["debit"]) - cents(row["credit"])
                for row in csv.DictReader(io.StringIO(archive.read("accounts.csv").decode("utf-8-sig")))}  # fmt: skip
    assert sum(accounts.values()) == 0 and (accounts["sales"], accounts["cash"], accounts["cash difference"]) == (-1500, 6090, 10)
    assert accounts["customers"] == sum(map(hand.mirror.owed, hand.mirror.rows["order"])) == 440 - 900 - 250
    assert "by double entry" in archive.read("READ-ME.txt").decode()
    house.close()


def test_what_was_sent_again_comes_back_with_what_it_stands_for(tmp_path: Path) -> None:
    here = small_house(tmp_path)
    hand = device(here, bars=10)
    order = hand.promise([("bar", 2)], person=hand.note_person(name="Ann"), way="pick_up").order
    hand.hand_over(order)
    hand.send_again(order, "heat")
    hand.till("counted", 0)
    hand.exchange()
    house = House.open(tmp_path / "again")
    export.bring_in(house, export.whole(here))
    assert sums(house) == sums(here) and house.check() == []
    assert {row["replaces"] for row in house.records.shared_rows("order", ROWS["order"])} == {None, order}
    house.close()
    here.close()


@given(st.text(max_size=40))
def test_no_text_becomes_a_formula_and_every_text_is_read_back(text: str) -> None:
    text = text.replace("\0", "")
    written = export.csv_text(["name"], [{"name": text}])
    (header, *cells) = list(csv.reader(io.StringIO(written.removeprefix("\ufeff"), newline="")))
    cell = cells[0][0] if cells and cells[0] else ""
    assert header == ["name"] and cell.removeprefix("'" if cell[1:] == text else "") == text
    assert not cell.startswith(("=", "-", "@", "\t", "\r")) and (not cell.startswith("+") or cell[1:].isdigit())


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        ("=1+1", "'=1+1"), ("-x", "'-x"), ("@a", "'@a"), ("\tx", "'\tx"), ("+1a", "'+1a"), ("+15550100", "+15550100"), ("1 = 1", "1 = 1"),
        (True, "true"), (False, "false"), (None, ""), (-3, "-3"), ([1, "ä"], '"[1, ""ä""]"'), ({"b": 1, "a": 2}, '"{""a"": 2, ""b"": 1}"'),
    ],
)  # fmt: skip
def test_a_cell_says_what_the_row_says(value: Any, cell: str) -> None:
    assert export.csv_text(["one", "two"], [{"two": value}]) == f"\ufeffone,two\r\n,{cell}\r\n"


def test_one_person_out_and_forgotten(season: House, tmp_path: Path) -> None:
    house = House.open(tmp_path / "data")
    export.bring_in(house, export.whole(season))
    with house.records.read():
        orla = next(row for row in house.records.shared_rows("person", ROWS["person"]) if row["name"] == "Orla Tennick")
    told = json.loads(zipfile.ZipFile(io.BytesIO(export.of_person(house, orla["id"]))).read(export.JSON_NAME))["rows"]
    assert [one["name"] for one in told["person"]] == ["Orla Tennick"] and told["order"] and told["line"]
    assert all(order["person"] == orla["id"] for order in told["order"])
    before = sums(house)
    house.forget_person(orla["id"])
    assert sums(house) == before and house.check() == []
    house.records.copy_to(tmp_path / "all.db")
    with closing(sqlite3.connect(tmp_path / "all.db")) as copy:
        dump = "\n".join(copy.iterdump())
    assert not [text for text in ("Orla Tennick", "2185550114", "Heron Sill") if text in dump]
    assert "Dez Maravall" in dump
    with pytest.raises(NoSuchThing):
        house.forget_person("nobody")
    house.close()


def test_only_an_owner_takes_records_out_or_forgets(season: House) -> None:
    ask = make_app(season).test_client()
    owner, helper = (season.enrol(season.new_code(role)["code"], role)["token"] for role in ("keeper", "helper"))
    for path in ("/api/export.zip", "/api/people/x/export.zip"):
        assert ask.get(path, headers={"Authorization": f"Bearer {helper}"}).status_code == 403
        assert ask.get(path).status_code == 401
    assert ask.post("/api/people/x/forget", headers={"Authorization": f"Bearer {helper}"}).status_code == 403
    answer = ask.get("/api/export.zip", headers={"Authorization": f"Bearer {owner}"})
    assert answer.status_code == 200 and zipfile.ZipFile(io.BytesIO(answer.data)).testzip() is None
    assert ask.get("/api/people/x/export.zip", headers={"Authorization": f"Bearer {owner}"}).status_code == 404
