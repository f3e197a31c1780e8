"""Back to a backup when nothing of what it replaces can be read, and never a new house where the records are gone."""

from __future__ import annotations

import contextlib
import random
import sqlite3
import stat
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from honeyhold.app.certificates import secure_files
from honeyhold.app.command_line import main
from honeyhold.house.house import House
from honeyhold.house.restoring import FILE_NAME, Forecast, forecast, must_reach_the_backups, put_back, told
from honeyhold.records.backup import page_of, position_of_backup, read_page, remove
from honeyhold.records.errors import NewerRecords, RecordsTrouble
from replication.houses import Watch, device, made_anew, movement, on_hand, small_house


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[tuple[Path, Path]]:
    """(folder of a house that stands still, a backup of it): forty bars, then one more."""
    house = small_house(tmp_path, Watch())
    device(house)
    backup = house.backup()
    house.write("buy", [movement("bar", 1, "bought")])
    folder = house.folder
    house.close()
    yield folder, backup


DAMAGE = {
    "bad pages": lambda file: file.write_bytes(file.read_bytes()[:4096] + b"\xff" * (file.stat().st_size - 4096)),
    "a broken header": lambda file: file.write_bytes(b"not a database, not at all" + file.read_bytes()[26:]),
    "an empty file": lambda file: file.write_bytes(b""),
    "no file": lambda file: file.unlink(),
}


@pytest.mark.of_a_file
@pytest.mark.parametrize("damage", DAMAGE)
def test_a_restore_needs_nothing_of_what_it_replaces(
    kept: tuple[Path, Path], damage: str, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, backup = kept
    for ending in ("-wal", "-shm"):
        (folder / (FILE_NAME + ending)).unlink(missing_ok=True)
    DAMAGE[damage](folder / FILE_NAME)
    with pytest.raises(Exception):  # noqa: B017, PT011  (SQLite's own error for a broken header, ours for the others)
        House.open(folder).close()
    assert main(["restore", str(backup), "--data", str(folder)]) == 0, capsys.readouterr().err
    house = House.open(folder)
    assert on_hand(house) == 40 and house.check() == []
    house.close()


@pytest.mark.of_a_file
def test_a_restored_file_knows_the_devices_that_came_after_the_backup_before_anybody_opens_it(tmp_path: Path) -> None:
    """Whoever looks into the file finds them, and the next start has nothing more to note."""
    house = small_house(tmp_path, Watch())
    device(house, "Shed phone")
    backup = house.backup()
    later = device(house, "Wall tablet")
    folder = house.folder
    house.close()
    assert main(["restore", str(backup), "--data", str(folder)]) == 0
    with contextlib.closing(sqlite3.connect(folder / FILE_NAME)) as file:
        names = dict(file.execute("SELECT id, name FROM device").fetchall())
    assert names[later.identity["device"]] == "Wall tablet"


@pytest.mark.of_a_file
def test_records_that_are_gone_are_no_new_house(kept: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    """Opened as a new house it backed up the emptiness, and emptied every phone that asked it."""
    folder, _ = kept
    for ending in ("", "-wal", "-shm"):
        (folder / (FILE_NAME + ending)).unlink(missing_ok=True)
    for command in ("check", "backup"):
        assert main([command, "--data", str(folder)]) == 1
    with pytest.raises(RecordsTrouble) as trouble:
        House.open(folder)
    assert "honeyhold restore" in trouble.value.remedy
    assert not (folder / FILE_NAME).exists() or (folder / FILE_NAME).stat().st_size == 0
    assert "There are no records" in capsys.readouterr().err


def test_in_a_wrong_folder_nothing_is_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for command in ("check", "backup", "code"):
        assert main([command, "--data", str(tmp_path / "wrong")]) == 1
        assert "--data" in capsys.readouterr().err
    assert not (tmp_path / "wrong").exists()


def test_a_single_flipped_bit_is_never_accepted(kept: tuple[Path, Path]) -> None:
    """Of 300 copies with one bit flipped SQLite's own check had let 65 pass."""
    _, backup = kept
    content, dice = backup.read_bytes(), random.Random(5)
    for _ in range(200):
        at = dice.randrange(len(content))
        backup.write_bytes(content[:at] + bytes([content[at] ^ (1 << dice.randrange(8))]) + content[at + 1 :])
        with pytest.raises(RecordsTrouble):
            position_of_backup(backup)
    backup.write_bytes(content)
    assert position_of_backup(backup) > 0


@pytest.mark.of_a_file
def test_a_backup_of_a_newer_version_is_refused_before_anything_is_moved(kept: tuple[Path, Path], tmp_path: Path) -> None:
    import sqlite3
    from contextlib import closing

    folder, backup = kept
    page_of(backup).unlink()
    with closing(sqlite3.connect(backup)) as copy, copy:
        copy.execute("UPDATE meta SET value = '999' WHERE key = 'schema_version'")
    before = (folder / FILE_NAME).read_bytes()
    with pytest.raises(NewerRecords):
        position_of_backup(backup)
    assert main(["restore", str(backup), "--data", str(folder)]) == 1
    assert (folder / FILE_NAME).read_bytes() == before and not list(folder.glob("before-restore-*"))


def test_a_dry_run_tells_what_would_be_missing_and_who_has_it(kept: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    folder, backup = kept
    found = forecast(folder, backup)
    assert found.position_here == found.position + 1 and found.missing == {"house": 1}
    before = sorted(path.name for path in folder.iterdir())
    assert main(["restore", str(backup), "--data", str(folder), "--dry-run"]) == 0
    said = capsys.readouterr().out
    assert "hold 1 more" in said and "the main computer itself: 1" in said and "1 of them nobody" in said
    assert sorted(path.name for path in folder.iterdir()) == before


def test_on_a_new_disk_the_devices_of_the_backup_are_no_strangers(kept: tuple[Path, Path], tmp_path: Path) -> None:
    _, backup = kept
    page = read_page(backup)
    assert page is not None and len(page.devices) == 1
    elsewhere = tmp_path / "new disk"
    assert main(["restore", str(backup), "--data", str(elsewhere)]) == 0
    assert (elsewhere / "devices.jsonl").exists()


@pytest.mark.parametrize("started_before", [False, True])
def test_on_a_new_disk_every_phone_trusts_the_main_computer_as_before(tmp_path: Path, started_before: bool) -> None:
    """Also where it was started there once, and had made a certificate of its own."""
    now = datetime.now(UTC)
    house = small_house(tmp_path, Watch())
    device(house)
    trusted = secure_files(house.folder / "certificates", ["shed.local"], now)
    backup = house.backup()
    house.close()
    elsewhere = tmp_path / "new disk"
    if started_before:
        secure_files(elsewhere / "certificates", ["shed.local"], now)
    assert main(["restore", str(backup), "--data", str(elsewhere)]) == 0
    assert secure_files(elsewhere / "certificates", ["shed.local"], now).fingerprint == trusted.fingerprint
    assert (elsewhere / "certificates" / "authority.pem").stat().st_mode & 0o777 == 0o600


def test_going_back_leaves_what_devices_trust_by_now(tmp_path: Path) -> None:
    """A year later the next certificate is in use: yesterday's backup does not bring the old one back."""
    house = small_house(tmp_path, Watch())
    device(house)
    place = house.folder / "certificates"
    secure_files(place, [], datetime.now(UTC) - timedelta(days=3640))
    backup = house.backup()
    by_now = secure_files(place, [], datetime.now(UTC)).fingerprint
    house.close()
    assert main(["restore", str(backup), "--data", str(house.folder)]) == 0
    assert secure_files(place, [], datetime.now(UTC)).fingerprint == by_now


def test_looking_into_a_backup_leaves_nothing_beside_it(kept: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """What SQLite left there was never thinned out with the backup; a stick that takes nothing can be read, too: SQLite is told each time
    that nobody writes (a folder without the right to write is none to whoever runs tests as root)."""
    folder, backup = kept
    opened: list[str] = []
    connect = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda place, **more: opened.append(str(place)) or connect(place, **more))
    before = sorted(path.name for path in backup.parent.iterdir())
    assert position_of_backup(backup) > 0
    forecast(folder, backup)
    put_back(folder, backup, datetime.now(UTC))
    assert sorted(path.name for path in backup.parent.iterdir()) == before
    looks = [place for place in opened if backup.name in place]
    assert len(looks) >= 3 and all(place.endswith("?mode=ro&immutable=1") for place in looks)
    for ending in ("-wal", "-shm"):
        backup.with_name(backup.name + ending).touch()
    remove(backup)
    assert not list(backup.parent.glob(f"{backup.name}*"))


@pytest.mark.parametrize("name", ["a?b", "a#b", "50% off", "ä b"])
def test_any_name_of_a_folder_will_do(tmp_path: Path, name: str) -> None:
    house = small_house(tmp_path / name, Watch())
    backup = house.backup(tmp_path / name / "copies")
    assert position_of_backup(backup) == house.position()
    house.restore(backup)
    house.close()


def test_records_can_be_read_by_their_owner_alone(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    assert main(["check", "--data", str(folder)]) == 1  # sets the mask, as every command does
    house = made_anew(folder, Watch())
    device(house)
    backup = house.backup()
    house.close()
    for path in (backup, page_of(backup), *(path for path in folder.rglob("*") if path.is_file())):
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0, path


def test_before_a_step_of_the_schema_a_copy_is_made(tmp_path: Path) -> None:
    import sqlite3
    from contextlib import closing

    folder = tmp_path / "data"
    folder.mkdir()
    old = Path(__file__).resolve().parents[1] / "records" / "schema_1.sql"
    with closing(sqlite3.connect(folder / FILE_NAME)) as file, file:
        file.executescript(old.read_text("utf-8"))
    House.open(folder).close()
    (copy,) = (folder / "backups").glob("before-schema-*-from-1.db")
    with closing(sqlite3.connect(copy)) as file:
        assert file.execute("SELECT value FROM meta WHERE key = 'schema_version'").fetchone() == ("1",)


def test_what_a_restore_would_mean_is_told_to_the_entry() -> None:
    """What is missing by device, and how much of it is surely still there; the main computer itself keeps nothing back."""
    names = {"a": {"name": "Shed phone"}}
    said = told(Forecast(1200, 1205, {"a": 3, "b": 1, "house": 1}, {"a": 2, "house": 1}), names)
    assert said.splitlines() == [
        "The backup holds 1,200 entries.",
        "The records here hold 5 more.",
        "  Shed phone: 3, of which 2 are certainly still on it and come back by themselves.",
        "  b: 1, of which 0 are certainly still on it and come back by themselves.",
        "  the main computer itself: 1, of which 0 are certainly still on it and come back by themselves.",
        "3 of them nobody is sure to have. They stay in the folder before-restore-..., beside the records.",
    ]
    assert told(Forecast(7, None, {}, {}), names).splitlines()[1].startswith("The records here cannot be read")
    assert "hold 0 more." in told(Forecast(7, 5, {}, {}), names)


@pytest.mark.parametrize(("position", "short"), [(9, True), (10, False), (11, False)])
def test_records_that_others_put_back_reach_what_every_backup_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, position: int, short: bool
) -> None:
    """Up to entry ten devices may have forgotten: records that end at the tenth lack nothing, those that end before it do."""
    house = small_house(tmp_path)
    monkeypatch.setattr("honeyhold.house.restoring.covered_by", lambda *_: 10)
    with house.records.read(), pytest.raises(RecordsTrouble, match="went back to entry 9") if short else contextlib.nullcontext():
        must_reach_the_backups(house.folder, position, house.records)
    house.close()
