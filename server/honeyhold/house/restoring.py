"""Back to a backup. Nothing of what it replaces needs to be whole, or even there: that is when it is wanted."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from peewee import PeeweeException

from honeyhold.house import device_registry, kept_certificates, last_epoch, where_kept
from honeyhold.house.demo import WrongRecords, file_is_demo
from honeyhold.house.where_kept import FILE_NAME, back_on_a_host, database_of, looked_into, must_be_no_hosts, put_in_their_place
from honeyhold.records.backup import (
    FOLDERS_KNOWN,
    covered_by,
    fresh_folder,
    opened_to_read,
    pages_in,
    position_of_backup,
    put_ready,
    read_page,
)
from honeyhold.records.errors import RecordsSilent, RecordsTrouble
from honeyhold.records.store import Records
from honeyhold.records.timelines import OlderServer, Place, Timelines
from honeyhold.replication.recovery import epoch_begins, new_epoch

ENDINGS: Final = ("", "-wal", "-shm", "-journal")
LOOKED_AT: Final = (
    "SELECT value FROM meta WHERE key = 'covered_to'", "SELECT COALESCE(MAX(position), 0) FROM operation",
    "SELECT device, position FROM operation WHERE position > {position} ORDER BY position",
)  # fmt: skip
"""What a forecast asks of records: columns of every schema there was."""


@dataclass(frozen=True)
class Forecast:
    """What going back to a backup would mean, as far as the records that are here can still be read."""

    position: int
    """The last operation that the backup holds."""
    position_here: int | None
    """The last one here; None where the records here cannot be read."""
    missing: dict[str, int]
    """Device id to how many of its entries the backup lacks."""
    held: dict[str, int]
    """Of these, how many that device certainly still has: its log keeps all that no kept backup covers."""


def put_back(folder: Path, backup: Path, now: datetime, database: str = "") -> int:
    """Puts a backup in the records' place under a new epoch, and keeps what was there beside it. The position it holds.

    `database`: where they go, if not where they are; the caller notes it.
    The folder must be held by the caller's lock and its records closed. Raises `RecordsTrouble` if the backup is damaged, or empty where
    devices belong to the house, `WrongRecords` where a demo and a real house would be mixed, and `NoSuchStore` where a server of many
    houses keeps this one; then nothing was touched.
    """
    must_be_no_hosts(folder)
    position = _worth_going_back_to(folder, backup)
    with looked_into(folder, database) as here:
        _put_back(folder, here, backup, now, position, lambda ready: put_in_their_place(folder, ready, database))
    return position


def put_back_hosted(folder: Path, backup: Path, records: Records, now: datetime) -> int:
    """The same for a house of a server of many: `records` are its own, and nobody else has them. The position that the backup holds.

    Its folder stays, so every device belongs to it that ever did, and nothing is granted before each has said what the backup lacks.
    """
    from honeyhold.records.carrying import out_of_file

    position = _worth_going_back_to(folder, backup)
    try:
        with where_kept.a_copy_of(folder, records) as here:
            _put_back(folder, here, backup, now, position, lambda ready: out_of_file(ready, records))
    finally:
        (folder / (FILE_NAME + ".part")).unlink(missing_ok=True)
    return position


def _worth_going_back_to(folder: Path, backup: Path) -> int:
    position = position_of_backup(backup)
    if position == 0 and device_registry.known(folder):
        raise RecordsTrouble(f"{backup.name} is a backup without anything in it, and devices were added here.", "Choose a later one.")
    return position


def take_in(folder: Path, backup: Path, records: Records, now: datetime) -> int:
    """A backup becomes the records of a house in a database that has nothing entered yet, under a new epoch. The position it holds.

    Its devices belong to the house from then on, and say again what the backup lacks. Raises `RecordsTrouble` where the backup is damaged
    or the database does not take it; then the house is as it was.
    """
    from honeyhold.records.carrying import out_of_file

    position = position_of_backup(backup)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    ready = folder / (FILE_NAME + ".part")
    try:
        put_ready(backup, ready, new_epoch(now, _epoch_of(backup)), position)
        out_of_file(ready, records)
    finally:
        ready.unlink(missing_ok=True)
    _remember_beside(folder, backup)
    return position


def _put_back(folder: Path, here: Path, backup: Path, now: datetime, position: int, put_in_place: Callable[[Path], None]) -> None:
    if _position_of(here) and file_is_demo(backup, is_backup=True) != file_is_demo(here):
        raise WrongRecords(
            f"{backup.name} and the records here are not of one sort: one is the demo's, the other a real house's.",
            "Choose a backup of this house; one of the demo goes back into the demo's folder.",
        )
    ready = folder / (FILE_NAME + ".part")
    # The new epoch is in the file before it takes the old one's place: a house stopped in between never goes on
    # under the old epoch, in which its devices would not send again what the backup lacks.
    begun = new_epoch(now, last_epoch.later(folder, _epoch_of(backup)))
    put_ready(backup, ready, begun, position)
    _keep_what_is_this_place_s(here, ready)
    _remember_beside(folder, backup)
    aside = fresh_folder(folder, f"before-restore-{now:%Y%m%d-%H%M%S}")
    for ending in ENDINGS:
        file = here.with_name(here.name + ending)
        if file.exists():
            file.rename(aside / (FILE_NAME + ending))
    if last_epoch.noted(folder):
        last_epoch.note(folder, begun)
    put_in_place(ready)


def forecast(folder: Path, backup: Path, records: Records | None = None, database: str = "") -> Forecast:
    """What `put_back` would mean, without doing it; `records` where a house has them open, `database` as there.

    Records in a database are only read. Raises `RecordsTrouble` if the backup is damaged, and as `where_kept.answers_of` does.
    """
    must_be_no_hosts(folder)
    position = position_of_backup(backup)
    asked = [one.format(position=position) for one in LOOKED_AT]
    if database and not where_kept.holds_records(folder, database):
        return Forecast(position, 0, {}, {})  # only told: nothing is made in an empty database
    if records is None and (database or database_of(folder)):
        return _forecast(position, where_kept.answers_of(folder, database, asked))
    try:
        if records is not None:
            with records.view():
                return _forecast(position, [records.sql(one).fetchall() for one in asked])
        with closing(opened_to_read(folder / FILE_NAME)) as file:
            return _forecast(position, [file.execute(one).fetchall() for one in asked])
    except (sqlite3.Error, PeeweeException):
        return Forecast(position, None, {}, {})


def _forecast(position: int, found: list[list[Any]]) -> Forecast:
    covered, last, rows = found
    missing: dict[str, int] = {}
    held: dict[str, int] = {}
    for device, at in rows:
        missing[device] = missing.get(device, 0) + 1
        if at > int(covered[0][0] if covered else 0):
            held[device] = held.get(device, 0) + 1
    return Forecast(position, last[0][0], missing, held)


def told(found: Forecast, names: dict[str, dict[str, Any]]) -> str:
    """The forecast in words, a line a device."""
    lines = [f"The backup holds {found.position:,} entries."]
    if found.position_here is None:
        unknown = "The records here cannot be read, so what they hold besides is not known. Devices send again what they have."
        return "\n".join([*lines, unknown])
    lines.append(f"The records here hold {max(0, found.position_here - found.position):,} more.")
    for device, units in sorted(found.missing.items()):
        name = names.get(device, {}).get("name") or ("the main computer itself" if device == "house" else device)
        still = found.held.get(device, 0) if device != "house" else 0
        lines.append(f"  {name}: {units:,}, of which {still:,} are certainly still on it and come back by themselves.")
    lost = sum(found.missing.values()) - sum(units for device, units in found.held.items() if device != "house")
    lines.append(f"{lost:,} of them nobody is sure to have. They stay in the folder before-restore-..., beside the records.")
    return "\n".join(lines)


def look_whether_history_went_back(folder: Path, records: Records, position: int, now: datetime, hosted: bool) -> None:
    """A database that was put back by its own tools, or went over to a copy that lagged behind: a new epoch. Inside a write.

    So, too, one in which this house was served before, and then in another under a later epoch. Under the old one devices would not send
    again what it lacks. Raises `RecordsTrouble` where they no longer have it, and where the server is one that another took over from
    `OlderServer`; in a server of many houses, which goes on looking for the other, `RecordsSilent`.
    """
    history, known = records.history(), records.meta("history")
    place = Place.of(history)
    if place is not None:
        _must_be_the_newest(folder, place, hosted)
    epoch = records.meta("epoch")
    stands_before = place is not None and history == known and last_epoch.is_before_the_noted(folder, epoch)
    if known and (history != known or stands_before):
        must_reach_the_backups(folder, position, records, hosted)
        epoch = new_epoch(now, last_epoch.later(folder, epoch))
        for key, value in (("epoch", epoch), ("saved_to", position), ("restored_to", position), ("covered_to", 0)):
            records.set_meta(key, str(value))
    if history != known:
        records.set_meta("history", history)
    if place is not None:
        last_epoch.note(folder, epoch)


def _must_be_the_newest(folder: Path, place: Place, hosted: bool) -> None:
    try:
        Timelines(folder.parent if hosted else folder).must_be_the_newest(place)
    except OlderServer as trouble:
        if hosted:
            raise RecordsSilent from trouble
        raise


def must_reach_the_backups(folder: Path, position: int, records: Records, hosted: bool = False) -> None:
    """Records that others than the house put back hold at least what every backup in the folder holds: that devices have forgotten.

    A backup of an epoch that the records never had says that they went back to before a restore: what devices forgot in that epoch
    nobody can count here. `hosted`: a server of many houses keeps the house. Raises `RecordsTrouble`. Inside a read.
    """
    epoch, backups = records.meta("epoch"), folder / "backups"
    back = f"honeyhold restore FILE --data {folder}. To do without what lies between, put all backups elsewhere."
    remedy = f"To go back to a backup, {back_on_a_host(folder)}" if hosted else f"Go back to a backup: {back}"
    if any(page.epoch not in ("", epoch) and epoch_begins(page.epoch) >= epoch_begins(epoch) for page in pages_in(backups)):
        raise RecordsTrouble(
            f"The database went back to entry {position:,}, before this house was last put back from a backup: there are backups of a "
            "later time, of which it knows nothing, and devices may have forgotten what was entered since.",
            remedy,
        )
    kept = covered_by(backups, epoch, int(records.meta("restored_to", "0")))
    if position < kept:
        raise RecordsTrouble(
            f"The database went back to entry {position:,}. Every backup reaches further, to entry {kept:,} or more, so devices may have "
            "forgotten what lies between.",
            remedy,
        )


def _remember_beside(folder: Path, backup: Path) -> None:
    """What the backup's page names and this folder lacks: on a new disk every phone would be a stranger, and trust nobody."""
    page, noted = read_page(backup), device_registry.known(folder)
    if page is None:
        return
    for device, row in page.devices.items():
        if device not in noted:
            device_registry.note(folder, row)
    kept_certificates.put_back(folder, page.certificates, new_here=not noted.keys() & page.devices.keys())


def _keep_what_is_this_place_s(here: Path, ready: Path) -> None:
    """The calendar's address stays what it is: one that was renewed since the backup must open nothing again.

    So does which folders have held backups: a disk that is not there is missed after a restore, too.
    """
    kept = "key = 'calendar_secret' OR substr(key, 1, ?) = ?"
    folders = len(FOLDERS_KNOWN), FOLDERS_KNOWN
    try:
        with closing(opened_to_read(here)) as records:
            found = records.execute(f"SELECT key, value FROM meta WHERE {kept}", folders).fetchall()
    except sqlite3.Error:
        found = []  # nobody knows it any more: a new address is made when it is asked for
    with closing(sqlite3.connect(ready)) as records, records:
        records.execute(f"DELETE FROM meta WHERE {kept}", folders)
        records.executemany("INSERT INTO meta (key, value) VALUES (?, ?)", found)


def _epoch_of(file: Path) -> str:
    """The epoch in which a backup was made."""
    with closing(opened_to_read(file, nobody_writes=True)) as records:
        found = records.execute("SELECT value FROM meta WHERE key = 'epoch'").fetchone()
    return str(found[0]) if found else ""


def _position_of(file: Path) -> int:
    """The last operation in records that may be damaged or missing; 0 where nothing can be read."""
    try:
        with closing(opened_to_read(file)) as records:
            return int(records.execute("SELECT COALESCE(MAX(position), 0) FROM operation").fetchone()[0])
    except sqlite3.Error:
        return 0
