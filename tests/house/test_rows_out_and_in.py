"""Rows on their way out of a house and back in: their order, how many go at once, what is no export, and what late rows become."""

from __future__ import annotations

import io
import json
import stat
import zipfile
from pathlib import Path
from typing import Any

import pytest

from honeyhold.errors import BadRequest
from honeyhold.house import export, quarantine
from honeyhold.house.export import CHUNK, FORMAT, JSON_NAME, VERSION
from replication.houses import device, small_house


@pytest.mark.parametrize(
    ("named", "depth"),
    [
        ({}, 0), ({"a": [None]}, 0), ({"a": []}, 0), ({"a": ["b"], "b": [None]}, 1),
        ({"a": ["b", "c"], "b": ["c"], "c": ["d"], "d": []}, 3),
        ({"a": [None, "b"], "b": ["c", None], "c": []}, 2), ({"a": ["gone"]}, 1), ({"a": ["a"]}, 1), ({"a": ["b"], "b": ["a"]}, 2),
    ],
)  # fmt: skip
def test_how_many_rows_must_come_before_one(named: dict[str, list[str | None]], depth: int) -> None:
    """Along the longest way; rows that name each other in a ring come to an end."""
    assert export._depth("a", named) == depth


def sizes(table: str, rows: list[dict[str, Any]]) -> list[int]:
    made = export._chunks(table, rows)
    assert [row for together in made for row in together] == rows
    return [len(together) for together in made]


@pytest.mark.parametrize(
    ("number", "found"), [(0, []), (1, [1]), (CHUNK, [CHUNK]), (CHUNK + 1, [CHUNK, 1]), (2 * CHUNK + 3, [CHUNK, CHUNK, 3])]
)
def test_as_many_rows_go_at_once_as_an_entry_holds(number: int, found: list[int]) -> None:
    assert sizes("person", [{"id": f"{one}"} for one in range(number)]) == found


def test_a_lines_reservations_go_together_and_lines_one_by_one() -> None:
    """However many: a line that is half promised would stand in the queue for the rest."""
    of = [{"line": f"{one}"} for one in range(CHUNK - 1)] + [{"line": "last"}] * 3 + [{"line": "more"}]
    assert sizes("reservation", of) == [CHUNK + 2, 1]
    assert sizes("reservation", [{"line": "one"}] * (CHUNK + 5)) == [CHUNK + 5]
    assert sizes("line", [{"line": "one"}] * 3) == [1, 1, 1] and sizes("movement", [{"line": "one"}] * (CHUNK + 5)) == [CHUNK, 5]


def test_devices_that_come_in_are_lost() -> None:
    """Their keys are not in the file."""
    assert export._chunks("device", [{"id": "d", "lost": False}]) == [[{"id": "d", "lost": True}]]


def written(**other: Any) -> bytes:
    return json.dumps({"format": FORMAT, "version": VERSION, "rows": {"person": [{"id": "p"}]}, **other}).encode()


def zipped(**files: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, content in files.items():
            archive.writestr(name.replace("_", "."), content)
    return made.getvalue()


@pytest.mark.parametrize("content", [written(), written(version=VERSION - 1), zipped(all_json=written())])
def test_an_export_is_read_as_it_lies_in_the_zip_or_alone(content: bytes) -> None:
    assert JSON_NAME == "all.json" and export._read(content) == {"person": [{"table": "person", "id": "p"}]}


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no export of a honey house (JSONDecodeError)"), (b"PK", "no export of a honey house (BadZipFile)"),
        (zipped(other_json=written()), "no export of a honey house (KeyError)"), (b"[]", "no export of a honey house (TypeError)"),
        (written(format="other"), "no export of a honey house (AssertionError)"),
        (written(rows=[]), "no export of a honey house (AssertionError)"),
        (written(version=True), "no export of a honey house (AssertionError)"), (written(rows={"person": 7}), "(TypeError)"),
        (written(version="1"), "no export of a honey house (AssertionError)"), (b"[" * 200_000, "(RecursionError)"),
        (b"\xff\xfe\xfd", "no export"),
        (written(version=VERSION + 1), f"A newer Honeyhold made this export (version {VERSION + 1})."),
        (written(rows={"later": []}), f"A newer Honeyhold made this export (version {VERSION})."),
    ],
)  # fmt: skip
def test_what_is_no_export_of_this_version_is_refused_in_words(content: bytes, words: str) -> None:
    with pytest.raises(BadRequest) as trouble:
        export._read(content)
    assert words in str(trouble.value)
    chosen = "Choose a file that `honeyhold export` or Settings, everything out, has made."
    assert trouble.value.remedy == ("Update this one, then read it again." if "newer" in words else chosen)


def test_what_is_put_out_only_its_owner_reads_and_how_much_it_is_is_told(tmp_path: Path) -> None:
    (tmp_path / "out.zip").write_bytes(b"what was there before, and longer" * 99)
    (tmp_path / "out.zip").chmod(0o600)
    assert export.put_out(tmp_path / "out.zip", b"x" * 1234) == (
        f"{tmp_path / 'out.zip'}: 1,234 bytes. Names and addresses are in it: keep it where you keep your records."
    )
    export.put_out(tmp_path / "new.zip", b"x")
    assert (tmp_path / "out.zip").read_bytes() == b"x" * 1234 and stat.S_IMODE((tmp_path / "new.zip").stat().st_mode) == 0o600


def test_a_late_orders_number_gets_a_letter_where_another_has_it(tmp_path: Path) -> None:
    house = small_house(tmp_path)
    hand = device(house, bars=10)
    who = hand.note_person(name="Orla")
    first, second = hand.promise([("bar", 1)], person=who), hand.promise([("bar", 1)], person=who)
    hand.exchange()
    number, long = str(first.number), "N" * 20

    def called(order: str, name: str) -> None:
        house.records.sql('UPDATE "order" SET number = ? WHERE id = ?', name, order)

    with house.records.write():
        assert quarantine._free_number(house.records, number, first.order) == number, "it is its own"
        assert quarantine._free_number(house.records, "Z-1", "another") == "Z-1"
        assert quarantine._free_number(house.records, number, "another") == f"{number}b"
        called(second.order, f"{number}b")
        assert quarantine._free_number(house.records, number, "another") == f"{number}c"
        called(second.order, long)
        assert quarantine._free_number(house.records, long, "another") == f"{'N' * 18}b"
    house.close()


def reserved(units: Any, good: str = "bar") -> dict[str, Any]:
    return {"table": "reservation", "id": "r", "good": good, "units": units}


@pytest.mark.parametrize(
    ("asked", "left"),
    [
        ([reserved(3)], [reserved(3)]), ([reserved(5)], [reserved(5)]), ([reserved(6)], [reserved(5)]),
        ([reserved(4), reserved(4), reserved(1)], [reserved(4), reserved(1)]), ([reserved(-2)], [reserved(-2)]),
        ([reserved(0)], [reserved(0)]),
        ([reserved(5), reserved(-2), reserved(2)], [reserved(5), reserved(-2)]), ([reserved(1, "unknown")], []),
        ([reserved(1, "short")], []),
        ([reserved("3")], [reserved("3")]), ([{"table": "line", "units": 99}], [{"table": "line", "units": 99}]),
        ([{"table": "order", "id": "o"}], [{"table": "order", "id": "o"}]),
        ([{"table": "order", "id": "o", "number": 7}], [{"table": "order", "id": "o", "number": "7"}]),
    ],
)  # fmt: skip
def test_a_late_promise_gets_what_the_pool_can_still_pay(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asked: list[dict[str, Any]], left: list[dict[str, Any]]
) -> None:
    """Five bars are there; what is below nothing already pays for nothing."""
    house = small_house(tmp_path)
    monkeypatch.setattr(quarantine, "pools", lambda records: {"bar": 5, "short": -3})
    with house.records.write():
        assert quarantine._as_the_house_can(house.records, asked) == left
    house.close()


@pytest.mark.parametrize(
    ("reason", "why", "by"),
    [
        ("lost", "the device was declared lost", ""), ("fork at 7", "two copies of the device wrote", ""), ("odd", "odd", ""),
        ("earlier name d7", "the device has another name now", "d7"), ("earlier name", "the device has another name now", ""),
    ],
)  # fmt: skip
def test_why_an_entry_is_kept_apart_and_who_handed_it_in(reason: str, why: str, by: str) -> None:
    late = {"device": "d1", "reason": reason}
    assert quarantine._why(reason) == why and quarantine._handed_in_by(late) == by
    for names, said in (({"d1": "Phone", "d7": "Tablet"}, ("Phone", "Tablet")), ({}, ("an earlier device", "another device"))):
        assert quarantine._name(late, names) == (f"{said[0]}, handed in by {said[1]}" if by else said[0])


@pytest.mark.parametrize(
    ("body", "rows"),
    [
        (None, 0), ([{"table": "order"}], 0), ({}, 0), ({"rows": {}}, 0), ({"rows": [{}]}, 1),
        ({"rows": [{"table": "order"}, 7, "x", None]}, 1),
        *(({"rows": [{name: 7}, {name: "x"}]}, 1) for name in ("table", "id", "good", "order", "person")),
        *(({"rows": [{name: None}]}, 0) for name in ("table", "id", "good", "order")), ({"rows": [{"person": None}]}, 1),
    ],
)  # fmt: skip
def test_of_an_entry_that_may_be_anything_only_rows_are_read(body: Any, rows: int) -> None:
    assert len(quarantine._rows(body)) == rows
