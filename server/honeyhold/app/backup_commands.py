"""`honeyhold backup` and `honeyhold restore`: copies, sealed or plain, and the way back, whether the house runs or not.

A passphrase is typed where nobody sees it, or read from a file; it stands in no list of arguments, no log and no question to the
running house.
"""

from __future__ import annotations

import argparse
import getpass
import json
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory, gettempdir

from honeyhold.app import sealed_backup
from honeyhold.app.control import ask
from honeyhold.house import device_registry
from honeyhold.house.clock import machine_time
from honeyhold.house.demo import NoRecords
from honeyhold.house.house import House
from honeyhold.house.restoring import forecast, put_back, told
from honeyhold.house.where_kept import must_be_the_noted, note
from honeyhold.records.errors import RecordsTrouble, SecondHouse
from honeyhold.records.lock import LockFile


def backup(asked: argparse.Namespace, folder: Path) -> None:
    """A verified copy of the records; with `--encrypt` the copy in the other folder is sealed, and a plain one stays beside the records."""
    if not asked.encrypt:
        print(_made(folder, asked.to))
        return
    if asked.to is None:
        raise NoRecords("A sealed backup goes to another place.", "Name it: --to FOLDER, on a stick or another disk.")
    passphrase = sealed_backup.checked(_passphrase(asked, twice=True))
    print(sealed_backup.seal(_made(folder, None), asked.to, passphrase))
    print("Without its passphrase nobody opens it, not even you: write it down, and keep the paper elsewhere.")


def _made(folder: Path, to: Path | None) -> Path:
    try:
        with closing(House.open(folder)) as house:
            return house.backup(to)
    except SecondHouse:
        return Path(json.loads(ask(folder, "/api/own/backup", {"to": str(to.absolute()) if to else ""}))["file"])


def restore(asked: argparse.Namespace) -> None:
    """Goes back to a backup; what was there is kept beside it, and need not be whole."""
    folder: Path = asked.data
    with _plain(asked, folder) as file:
        if asked.dry_run:
            print(_restore_forecast(folder, file, asked.database))
            return
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        lock = LockFile(folder / "lock")
        try:
            before = told(forecast(folder, file, database=asked.database), device_registry.known(folder))
            put_back(folder, file, machine_time(), asked.database)
            if asked.database:
                note(folder, asked.database)
        finally:
            lock.release()
    House.open(folder, database=asked.database).close()  # devices that the backup does not know are noted in it, and it opens
    print(before)
    print("Back at the backup. Devices send again what it lacks; nothing is granted until each has reported or is declared lost.")


@contextmanager
def _plain(asked: argparse.Namespace, folder: Path) -> Iterator[Path]:
    """The backup's file, opened with its passphrase where it is sealed."""
    if not asked.file.is_file() or not sealed_backup.is_sealed(asked.file):
        yield asked.file
        return
    passphrase = _passphrase(asked, twice=False)
    with sealed_backup.opened(asked.file, passphrase, folder if folder.is_dir() else Path(gettempdir())) as file:
        yield file


def _passphrase(asked: argparse.Namespace, twice: bool) -> str:
    """From the file that was named, or from the keyboard. Raises `RecordsTrouble`."""
    if asked.passphrase_file:
        return sealed_backup.passphrase_in(asked.passphrase_file)
    if not sys.stdin.isatty():
        raise RecordsTrouble("Nobody is there to type the passphrase.", "Name a file that holds it: --passphrase-file FILE")
    typed = getpass.getpass("Passphrase: ")
    if twice and getpass.getpass("Once more: ") != typed:
        raise RecordsTrouble("The two are not the same.", "Do it again.")
    return typed


def _restore_forecast(folder: Path, backup_file: Path, database: str) -> str:
    """What going back would mean, in words, whether the house runs or not; `database`: where the backup would go."""
    if not folder.is_dir():
        with TemporaryDirectory() as empty:
            return told(forecast(Path(empty), backup_file, database=database), {})
    try:
        lock = LockFile(folder / "lock")
    except SecondHouse:
        if database:
            must_be_the_noted(folder, database)  # of another one the house that runs knows nothing
        return str(json.loads(ask(folder, "/api/own/forecast", {"to": str(backup_file.absolute())}))["told"])
    try:
        return told(forecast(folder, backup_file, database=database), device_registry.known(folder))
    finally:
        lock.release()
