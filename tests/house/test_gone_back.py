"""Records that others put back, or that stand before what their folder knows: when a new epoch begins, and when no house begins at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from honeyhold.house import device_registry, kept_certificates, last_epoch, restoring
from honeyhold.house.restoring import Forecast, look_whether_history_went_back, must_reach_the_backups
from honeyhold.records.backup import Page, write_page
from honeyhold.records.errors import RecordsSilent, RecordsTrouble
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.timelines import OlderServer, Place, Timelines
from honeyhold.replication.recovery import FIRST_MOMENT, epoch_begins
from house.meta_rows import said, say

NOW = datetime(2026, 7, 20, 14, 10, 3, tzinfo=UTC)
HERE, THERE = "7/00000001/16384/1", "7/00000002/16384/1"
EPOCH, LATER = "10-abcd", "11-abcd"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A house's, beside the folder in which a server of many houses keeps its notes."""
    made = tmp_path / "willow"
    (made / "backups").mkdir(parents=True)
    return made


@pytest.fixture
def records(folder: Path) -> Iterator[SqliteRecords]:
    made = SqliteRecords(folder / "honeyhold.db")
    yield made
    made.close()


@pytest.mark.parametrize(
    ("known", "history", "noted", "new"),
    [
        ("", HERE, "", False), (HERE, HERE, "", False), (HERE, HERE, EPOCH, False), (HERE, HERE, "f-abcd", False),
        (HERE, THERE, EPOCH, True), (HERE, HERE, LATER, True), (HERE, HERE, "10-ffff", True), ("left", HERE, EPOCH, True),
        (HERE, THERE, LATER, True), ("", HERE, LATER, False),
        ("", "", "", False), ("", "", LATER, False), (HERE, "", LATER, True),
    ],
)  # fmt: skip
def test_a_new_epoch_begins_where_the_history_is_another_or_the_epoch_one_that_was_left(
    folder: Path, records: SqliteRecords, monkeypatch: pytest.MonkeyPatch, known: str, history: str, noted: str, new: bool
) -> None:
    """Where the history was never known nothing can have gone back; a file's only one has no place, and notes no epoch.

    The machine's clock stands before all of it: the new epoch comes after each of the two all the same.
    """
    say(records, epoch=EPOCH, history=known, saved_to="9", restored_to="2", covered_to="8")
    if noted:
        last_epoch.note(folder, noted)
    monkeypatch.setattr(records, "history", lambda: history)
    with records.write():
        look_whether_history_went_back(folder, records, 5, FIRST_MOMENT, hosted=False)
    found = said(records)
    assert found["history"] == history and (found["epoch"] != EPOCH) is new
    assert [found[key] for key in ("saved_to", "restored_to", "covered_to")] == (["5", "5", "0"] if new else ["9", "2", "8"])
    assert not new or epoch_begins(found["epoch"]) > max(map(epoch_begins, (noted, EPOCH)))
    assert last_epoch.noted(folder) == (found["epoch"] if history else noted)


@pytest.mark.parametrize("hosted", [False, True])
def test_no_house_begins_on_a_server_that_was_left(
    folder: Path, records: SqliteRecords, monkeypatch: pytest.MonkeyPatch, hosted: bool
) -> None:
    """A server of many houses has the notes above its houses' folders, and goes on looking for the other server."""
    monkeypatch.setattr(records, "history", lambda: HERE)
    say(records, epoch=EPOCH, history=HERE)
    Timelines(folder if hosted else folder.parent).note(Place.of(THERE) or Place("", ""))
    with records.write():
        look_whether_history_went_back(folder, records, 5, NOW, hosted)
    mine = Timelines(folder.parent if hosted else folder)
    assert mine.newest("7") == "00000001", "it is noted where it is served from"
    mine.note(Place.of(THERE) or Place("", ""))
    with pytest.raises(RecordsSilent if hosted else OlderServer) as trouble, records.write():
        look_whether_history_went_back(folder, records, 5, NOW, hosted)
    assert isinstance(trouble.value.__cause__ if hosted else trouble.value, OlderServer) and said(records)["epoch"] == EPOCH


def backup(folder: Path, number: int, position: int, epoch: str) -> None:
    file = folder / "backups" / f"{number}.db"
    file.touch()
    write_page(file, Page(position, 0, NOW.isoformat(), "", epoch))


@pytest.mark.parametrize(
    ("pages", "position", "words"),
    [
        ([], 0, None), ([(9, EPOCH)], 9, None), ([(9, EPOCH)], 8, "to entry 9 or more"), ([(9, EPOCH), (7, EPOCH)], 7, None),
        ([(1234, EPOCH)], 1233, "went back to entry 1,233. Every backup reaches further, to entry 1,234 or more"),
        ([(9, "f-abcd")], 5, None), ([(9, "f-abcd")], 4, "to entry 5 or more"), ([(9, "")], 5, None), ([(9, "")], 4, "to entry 5 or more"),
        ([(1, LATER)], 1000, "went back to entry 1,000, before this house was last put back from a backup"),
        ([(1, "10-ffff")], 7, "before this house was last put back"), ([(1, EPOCH), (1, LATER)], 7, "backups of a later time"),
    ],
)  # fmt: skip
def test_records_hold_what_devices_may_have_forgotten(
    folder: Path, records: SqliteRecords, pages: list[tuple[int, str]], position: int, words: str | None
) -> None:
    """The epoch began at entry 5; what was backed up before counts up to there."""
    say(records, epoch=EPOCH, restored_to="5")
    for number, (reaches, epoch) in enumerate(pages):
        backup(folder, number, reaches, epoch)
    for hosted in (False, True):
        with records.read():
            if words is None:
                must_reach_the_backups(folder, position, records, hosted)
                continue
            with pytest.raises(RecordsTrouble) as trouble:
                must_reach_the_backups(folder, position, records, hosted)
        assert words in str(trouble.value)
        command = "honeyhold houses restore willow BACKUP" if hosted else f"honeyhold restore FILE --data {folder}. To do without"
        assert command in trouble.value.remedy


@pytest.mark.parametrize(
    ("covered", "rows", "missing", "held"),
    [
        ([("6",)], [], {}, {}), ([("6",)], [("a", 6), ("a", 7), ("b", 6)], {"a": 2, "b": 1}, {"a": 1}),
        ([], [("a", 1), ("house", 2)], {"a": 1, "house": 1}, {"a": 1, "house": 1}), ([("9",)], [("a", 9)], {"a": 1}, {}),
    ],
)  # fmt: skip
def test_what_no_backup_covers_is_still_on_its_device(
    covered: list[Any], rows: list[Any], missing: dict[str, int], held: dict[str, int]
) -> None:
    assert restoring._forecast(5, [covered, [(7,)], rows]) == Forecast(5, 7, missing, held)


KEPT = {"calendar_secret": "new", "backups_in /disk": "yes"}


@pytest.mark.parametrize(("here", "found"), [(KEPT, {**KEPT, "epoch": "e1"}), ({}, {"epoch": "e1"}), (None, {"epoch": "e1"})])
def test_the_calendars_address_and_the_folders_of_backups_stay_this_places(
    tmp_path: Path, here: dict[str, str] | None, found: dict[str, str]
) -> None:
    """An address that was renewed since the backup opens nothing again; where nothing can be read there is none."""
    for name, values in (("here", here), ("ready", {"calendar_secret": "old", "backups_in /old": "yes", "epoch": "e1"})):
        if values is None:
            (tmp_path / name).write_bytes(b"no records" * 100)
            continue
        with closing(sqlite3.connect(tmp_path / name)) as file, file:
            file.execute("CREATE TABLE meta (key TEXT, value TEXT)")
            file.executemany("INSERT INTO meta VALUES (?, ?)", [*values.items(), *([("epoch", "e2")] if name == "here" else [])])
    restoring._keep_what_is_this_place_s(tmp_path / "here", tmp_path / "ready")
    with closing(sqlite3.connect(tmp_path / "ready")) as file:
        assert dict(file.execute("SELECT key, value FROM meta")) == found


def row(device: str, name: str) -> dict[str, Any]:
    return {"id": device, "name": name, "mark": "A", "role": "keeper", "token_hash": "00", "lost": False}


@pytest.mark.parametrize(
    ("here", "names", "trusted"),
    [
        ([], {"d1": "Phone", "d2": "Tablet"}, "of the backup"), (["d1"], {"d1": "as it is", "d2": "Tablet"}, "of here"),
        (["d9"], {"d9": "as it is", "d1": "Phone", "d2": "Tablet"}, "of the backup"),
    ],
)  # fmt: skip
def test_devices_of_a_backup_that_this_folder_lacks_are_known_again(
    folder: Path, here: list[str], names: dict[str, str], trusted: str
) -> None:
    """What devices trust stays, if any of the backup's was ever here; else it is a new disk, and what they trust comes with the backup."""
    for device in here:
        device_registry.note(folder, row(device, "as it is"))
    authority = folder / kept_certificates.FOLDER / "authority.pem"
    authority.parent.mkdir()
    authority.write_text("of here")
    devices = {"d1": row("d1", "Phone"), "d2": row("d2", "Tablet")}
    write_page(folder / "one.db", Page(1, 0, "", "", "e", devices, {"authority.pem": "of the backup"}))
    restoring._remember_beside(folder, folder / "one.db")
    assert {device: found["name"] for device, found in device_registry.known(folder).items()} == names
    assert authority.read_text() == trusted
    restoring._remember_beside(folder, folder / "of an older version.db")
