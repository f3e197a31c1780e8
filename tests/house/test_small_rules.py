"""Rules of a house that hang on a file or a figure alone, at their bounds: where its records are, its demo, its clock, its last epoch."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from honeyhold.house import kept_certificates, last_epoch, where_kept
from honeyhold.house.cards import FOLD_BYTES, _folded, cards_of
from honeyhold.house.clock import OFFSET_KEY, ZONE_OTHERWISE, Clock
from honeyhold.house.demo import RealClock, WrongRecords, must_fit
from honeyhold.house.last_backup import LastBackup
from honeyhold.house.where_kept import FILE_NAME, HOST_NAME, NOTE_NAME, NoSuchStore
from honeyhold.records.models import Setting
from honeyhold.records.sqlite_records import SqliteRecords

NOON = datetime(2026, 7, 20, 12, tzinfo=UTC)


@pytest.fixture
def records(tmp_path: Path) -> Iterator[SqliteRecords]:
    """Those of a house without anything in it."""
    made = SqliteRecords(tmp_path / FILE_NAME)
    yield made
    made.close()


def set_to(records: SqliteRecords, **values: object) -> None:
    with records.write():
        for name, value in values.items():
            records.run(Setting.replace(id=name, value=value))


@pytest.mark.parametrize(("content", "noted", "has", "has_file"), [
    (None, None, False, False), (b"", None, True, False), (b"x" * 512, None, True, True), (None, "postgresql://db/houses\n", True, False),
    (None, " \n", False, False), (b"x" * 512, "postgresql://db/houses", True, True),
])  # fmt: skip
def test_whether_a_folder_has_records(tmp_path: Path, content: bytes | None, noted: str | None, has: bool, has_file: bool) -> None:
    """A file without a byte is a beginning that was broken off: it has nothing that a database could lack."""
    if content is not None:
        (tmp_path / FILE_NAME).write_bytes(content)
    if noted is not None:
        (tmp_path / NOTE_NAME).write_text(noted)
    assert where_kept.has_records(tmp_path) is has and where_kept.has_a_file(tmp_path) is has_file
    assert where_kept.database_of(tmp_path) == (noted or "").strip()
    if has_file and not (noted or "").strip():
        with pytest.raises(NoSuchStore, match=f"are in its file {FILE_NAME}, not in a database"):
            where_kept.opened(tmp_path, "postgresql://nowhere/houses")


@pytest.mark.parametrize("said", ["postgres://db/houses", "postgresql://db/houses"])
def test_an_address_comes_in_one_form(said: str) -> None:
    assert where_kept.address_in(said) == "postgresql://db/houses"


@pytest.mark.parametrize("said", ["", "db", "sqlite://db/houses", " postgresql://db/houses", "xpostgres://db", "postgresqll://db"])
def test_what_is_no_address_of_a_database_is_refused(said: str) -> None:
    with pytest.raises(NoSuchStore, match=r"^This is no address of a database that records can be in\.$") as trouble:
        where_kept.address_in(said)
    assert trouble.value.remedy == "Write it so: postgresql://user@host/name"


def test_a_folder_of_a_servers_house_is_no_house_of_its_own(tmp_path: Path) -> None:
    """It is noted once, and the note is not written again."""
    folder = tmp_path / "willow"
    folder.mkdir()
    where_kept.must_be_no_hosts(folder)
    where_kept.note_host(folder)
    said = "The records of this house are kept by a server of many houses (honeyhold houses).\n"
    assert (folder / HOST_NAME).read_text() == said
    (folder / HOST_NAME).write_text("as it was")
    where_kept.note_host(folder)
    assert (folder / HOST_NAME).read_text() == "as it was"
    with pytest.raises(NoSuchStore, match="belongs to a house that a server of many houses keeps") as trouble:
        where_kept.must_be_no_hosts(folder)
    for command in ("freeze willow", "restore willow BACKUP", "thaw willow"):
        assert f"honeyhold houses {command}" in trouble.value.remedy
    where_kept.note_host(tmp_path / "nowhere")  # the disk takes it not: it is noted another time


def test_a_copy_of_records_is_gone_when_nobody_looks_into_it_any_more(tmp_path: Path, records: SqliteRecords) -> None:
    left = tmp_path / f"{FILE_NAME}.here"
    left.write_bytes(b"of somebody who was stopped")
    with pytest.raises(ZeroDivisionError), where_kept.a_copy_of(tmp_path, records) as copy:
        with closing(sqlite3.connect(copy)) as found:
            assert found.execute("SELECT count(*) FROM setting").fetchone() == (0,)
        raise ZeroDivisionError
    assert copy == left and not left.exists()


def test_a_file_comes_in_the_place_of_a_folders_own(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"old")
    (tmp_path / "ready").write_bytes(b"new")
    where_kept.put_in_their_place(tmp_path, tmp_path / "ready")
    assert (tmp_path / FILE_NAME).read_bytes() == b"new" and not (tmp_path / "ready").exists()
    with where_kept.looked_into(tmp_path) as file:
        assert file == tmp_path / FILE_NAME
    assert file.exists(), "it is the folder's own"


@pytest.mark.parametrize(
    ("wants", "demo", "empty", "words"),
    [
        (False, False, False, None), (False, False, True, None), (True, True, False, None), (True, False, True, None),
        (True, True, True, None),
        (True, False, False, "are a real house's: the demo is never played into them"),
        (False, True, False, "are the demo's: its people and orders are invented"), (False, True, True, "are the demo's"),
    ],
)  # fmt: skip
def test_the_demo_and_a_real_house_never_mix(tmp_path: Path, wants: bool, demo: bool, empty: bool, words: str | None) -> None:
    if words is None:
        must_fit(tmp_path, wants_demo=wants, is_demo=demo, is_empty=empty)
        return
    with pytest.raises(WrongRecords, match=words) as trouble:
        must_fit(tmp_path, wants_demo=wants, is_demo=demo, is_empty=empty)
    assert str(tmp_path) in str(trouble.value)
    remedy = f"--demo --data {tmp_path}" if demo else "name an empty folder"
    assert trouble.value.remedy.endswith((remedy, f"{remedy}."))


@pytest.mark.parametrize(("mark", "moved"), [(True, True), (False, False), (None, False), (1, False), ("true", False)])
def test_only_a_clock_of_the_demo_is_moved(records: SqliteRecords, mark: object, moved: bool) -> None:
    set_to(records, demo=mark)
    clock = Clock(records, lambda: NOON)
    there = NOON + timedelta(days=9, seconds=7, milliseconds=600)
    if moved:
        clock.set(there)
        assert clock.now() == NOON + timedelta(days=9, seconds=8), "to the second"
    else:
        with pytest.raises(RealClock, match="never moved"):
            clock.set(there)
        assert clock.now() == NOON
    with pytest.raises(ValueError, match="says no time zone"):
        clock.set(there.replace(tzinfo=None))
    again = Clock(records, lambda: NOON)
    assert again.now() == clock.now() and again.left_out == timedelta()


def test_by_how_much_the_clock_of_a_real_house_had_been_moved_is_told_and_not_heeded(records: SqliteRecords) -> None:
    with records.write():
        records.set_meta(OFFSET_KEY, "-3600")
    assert Clock(records, lambda: NOON).now() == NOON and Clock(records, lambda: NOON).left_out == timedelta(hours=-1)
    set_to(records, demo=True)
    assert Clock(records, lambda: NOON).now() == NOON - timedelta(hours=1) and Clock(records, lambda: NOON).left_out == timedelta()


def test_the_day_is_that_of_where_the_house_stands(records: SqliteRecords) -> None:
    clock = Clock(records, lambda: datetime(2026, 7, 20, 4, 30, tzinfo=UTC))
    assert clock.zone() == ZoneInfo(ZONE_OTHERWISE) and clock.today() == date(2026, 7, 19)
    set_to(records, time_zone="Europe/Helsinki")
    assert clock.zone() == ZoneInfo("Europe/Helsinki") and clock.today() == date(2026, 7, 20)


def test_how_old_the_newest_backup_is() -> None:
    assert LastBackup(NOON, False).age_s(NOON + timedelta(minutes=2)) == 120.0 and LastBackup(None, True).age_s(NOON) is None


@pytest.mark.parametrize(
    ("noted", "epoch", "before", "later"),
    [
        ("", "10-abcd", False, "10-abcd"), ("10-abcd", "10-abcd", False, "10-abcd"), ("10-abcd", "f-abcd", True, "10-abcd"),
        ("10-abcd", "10-ffff", True, "10-ffff"), ("10-abcd", "11-abcd", False, "11-abcd"),
    ],
)  # fmt: skip
def test_records_stand_before_the_epoch_that_was_noted(tmp_path: Path, noted: str, epoch: str, before: bool, later: str) -> None:
    """Two epochs of one second are two: which came first nobody knows, so another begins."""
    if noted:
        last_epoch.note(tmp_path, noted)
    assert last_epoch.is_before_the_noted(tmp_path, epoch) is before and last_epoch.later(tmp_path, epoch) == later


def test_an_epoch_is_noted_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    last_epoch.note(tmp_path, "10-abcd")
    assert (tmp_path / last_epoch.FILE_NAME).read_text() == "10-abcd\n"
    written: list[bytes] = []
    monkeypatch.setattr(last_epoch, "write_whole", lambda file, content: written.append(content))
    for epoch in ("10-abcd", "11-abcd"):
        last_epoch.note(tmp_path, epoch)
    assert written == [b"11-abcd\n"]


KEPT = {"authority.pem": "A", "authority-next.pem": "B", "addresses.txt": "C"}


@pytest.mark.parametrize(
    ("here", "new_here", "found"),
    [
        ({}, False, KEPT), ({}, True, KEPT), ({"authority.pem": "own"}, False, {"authority.pem": "own"}),
        ({"authority.pem": "own, and longer"}, True, KEPT), ({"addresses.txt": "own"}, False, KEPT),
    ],
)  # fmt: skip
def test_what_devices_trust_stays_or_comes_out_of_the_backup(
    tmp_path: Path, here: dict[str, str], new_here: bool, found: dict[str, str]
) -> None:
    place = tmp_path / kept_certificates.FOLDER
    for name, content in here.items():
        place.mkdir(exist_ok=True)
        (place / name).write_text(content)
    kept_certificates.put_back(tmp_path, {**KEPT, "other.pem": "D"}, new_here)
    assert kept_certificates.known(tmp_path) == found and not (place / "other.pem").exists()
    if not here:
        assert (place / "authority.pem").stat().st_mode & 0o077 == place.stat().st_mode & 0o077 == 0


def test_a_backup_without_certificates_makes_no_folder_and_what_is_no_text_is_left_out(tmp_path: Path) -> None:
    kept_certificates.put_back(tmp_path, {}, True)
    assert not (tmp_path / kept_certificates.FOLDER).exists() and kept_certificates.known(tmp_path) == {}
    kept_certificates.put_back(tmp_path, KEPT, False)
    (tmp_path / kept_certificates.FOLDER / "authority.pem").write_bytes(b"\xff")
    (tmp_path / kept_certificates.FOLDER / "addresses.txt").unlink()
    assert kept_certificates.known(tmp_path) == {"authority-next.pem": "B"}


@pytest.mark.parametrize("line", ["", "a" * FOLD_BYTES, "a" * (FOLD_BYTES + 1), "é" * 90, "🐝" * 60, "a" * 74 + "é", "a" * 300])
def test_a_line_of_a_card_is_folded_where_it_is_full_and_no_letter_is_cut(line: str) -> None:
    pieces = _folded(line).removesuffix("\r\n").split("\r\n")
    assert pieces[0] + "".join(piece.removeprefix(" ") for piece in pieces[1:]) == line
    assert all(piece.startswith(" ") for piece in pieces[1:]) and all(len(piece.encode()) <= FOLD_BYTES for piece in pieces)
    for piece, after in zip(pieces, pieces[1:], strict=False):
        assert len(piece.encode()) + len(after[1].encode()) > FOLD_BYTES, "there was room for another letter"


SOMEBODY = dict.fromkeys(("phone", "unit", "street", "city", "state", "zip", "note", "same_as"), "") | {"hidden": False}
ADDRESS = {"unit": "Apt 2", "street": "1 Elm St", "city": "Ely", "state": "MN", "zip": "55731"}


@pytest.mark.parametrize(
    ("person", "lines"),
    [
        ({"name": "Orla"}, ["FN:Orla", "N:Orla;;;;"]), ({"name": "Ada van Pell"}, ["FN:Ada van Pell", "N:Pell;Ada van;;;"]),
        ({"name": "", "phone": "555-0100"}, ["FN:555-0100", "N:;;;;", "TEL;TYPE=VOICE:555-0100"]),
        ({"name": "O", "note": "a;b,c\\d\r\ne\rf\ng"}, ["FN:O", "N:O;;;;", "NOTE:a\\;b\\,c\\\\d\\ne\\nf\\ng"]),
        ({"name": "O", **ADDRESS}, ["FN:O", "N:O;;;;", "ADR:;Apt 2;1 Elm St;Ely;MN;55731;"]),
        *(({"name": "O", part: "x"}, ["FN:O", "N:O;;;;", f"ADR:;{words};"]) for part, words in (
            ("street", ";x;;;"), ("city", ";;x;;"), ("state", ";;;x;"), ("zip", ";;;;x"))),
        ({"name": "O", "unit": "x"}, ["FN:O", "N:O;;;;"]), ({"name": "", "street": "x"}, None), ({"name": "O", "hidden": True}, None),
        ({"name": "O", "same_as": "p2"}, None),
    ],
)  # fmt: skip
def test_a_card_says_what_is_known_of_somebody(person: dict[str, object], lines: list[str] | None) -> None:
    card = "" if lines is None else "\r\n".join(["BEGIN:VCARD", "VERSION:3.0", "UID:p1", *lines, "END:VCARD", ""])
    assert cards_of([{**SOMEBODY, "id": "p1", **person}]) == card
