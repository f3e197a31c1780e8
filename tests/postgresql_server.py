"""A PostgreSQL of the tests' own: started when it is first asked for, in a private folder, gone when the run ends.

    HONEYHOLD_TEST_DATABASE=postgresql scripts/test tests/replication     every house of these tests is made in it
    HONEYHOLD_SERVERS_NEEDED=1 scripts/test                               a missing PostgreSQL is a failure, not a skip

Each house has a database of its own, copied from a template, so tests do not meet.
"""

from __future__ import annotations

import atexit
import itertools
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from quick_disk import QUICK_DISK

PLACES = ("/usr/lib/postgresql/*/bin", "/usr/pgsql-*/bin", "/opt/homebrew/opt/postgresql@*/bin", "/usr/local/opt/postgresql@*/bin")
"""Where the systems put the server's programs, which are on nobody's path."""
OTHER_USERS = ("postgres", "nobody")
"""PostgreSQL refuses to be started by root."""
VERSION_LEAST = 15
WAITS_S = 300
"""How long PostgreSQL's own programs wait for a server that starts or stops: on a busy disk longer than their own minute."""
SEGMENTS = Path("/proc/sysvipc/shm")
"""The shared memory of System V that is there, by Linux."""
PREFIX = "honeyhold-postgresql-"
PLACE = QUICK_DISK or Path(tempfile.gettempdir())
"""Where servers have their folders; a measurement sets it before the first one begins."""
MISSING = "PostgreSQL 15 or newer is NOT INSTALLED: that the records are kept in it as in SQLite was not looked at"


def chosen() -> bool:
    """Whether the houses of all tests are to be made in PostgreSQL."""
    return os.environ.get("HONEYHOLD_TEST_DATABASE") == "postgresql"


@cache
def programs() -> Path | None:
    """The folder of the newest server's programs; None where there is none that is new enough."""
    on_path = shutil.which("initdb")
    root = Path("/")
    found = [folder for pattern in PLACES for folder in root.glob(pattern.lstrip("/")) if (folder / "initdb").exists()]
    if on_path:
        found.append(Path(on_path).resolve().parent)
    newest = max(found, key=_version, default=None)
    return newest if newest is not None and _version(newest) >= VERSION_LEAST else None


@cache
def _version(folder: Path) -> int:
    """By what the program itself says: `initdb (PostgreSQL) 15.8`."""
    said = subprocess.run([str(folder / "initdb"), "--version"], check=False, capture_output=True, text=True).stdout
    number = re.search(r"\) (\d+)", said)
    return int(number[1]) if number else 0


def needed() -> Cluster:
    """The server of this run. Skips the test, or fails it where the environment says that there must be one."""
    must_be_installed()
    return cluster()


def must_be_installed() -> None:
    """Skips the test where there is no server to start, or fails it where the environment says that there must be one."""
    if programs() is None:
        if os.environ.get("HONEYHOLD_SERVERS_NEEDED"):
            pytest.fail(f"{MISSING}.")
        pytest.skip(f"{MISSING}.")


@cache
def cluster() -> Cluster:
    """The one server of this process."""
    made = Cluster()
    atexit.register(made.stop)
    return made


class Server:
    """One server over a folder of its own, which holds its data, its log and its socket."""

    def __init__(self, folder: Path, user: str | None) -> None:
        self.folder = folder
        self.user = user
        """As whom it runs; None: as whoever runs the tests."""

    @property
    def data(self) -> str:
        """The data folder."""
        return str(self.folder / "data")

    def address(self, database: str) -> str:
        """How a database is reached, over a socket in the private folder."""
        return f"postgresql://honeyhold@/{database}?host={self.folder}"

    def made_anew(self) -> None:
        """An empty data folder; UTF-8, everybody of this machine may come in. A copy of one that is made once."""
        copied = ["cp", "-a", str(_empty_data()), self.data]
        subprocess.run(copied, check=True, user=self.user, extra_groups=[] if self.user else None)

    def start(self, *settings: str) -> None:
        """Starts it and waits until it answers; `settings`: `name=value`."""
        own = ("listen_addresses=", "dynamic_shared_memory_type=mmap")  # in the data folder: what is killed leaves nothing elsewhere
        words = [f"-k {self.folder}", *(f"-c {one}" for one in own), *(f"-c {one}" for one in settings)]
        self.run_program("pg_ctl", "-D", self.data, "-l", str(self.folder / "log"), "-o", " ".join(words), "-w", "start")

    def run(self, sql: str, database: str = "postgres") -> list[Any]:
        """One statement outside of every house."""
        import psycopg

        with psycopg.connect(self.address(database), autocommit=True) as connection:
            cursor = connection.execute(sql)
            return cursor.fetchall() if cursor.description else []

    def halt(self, how: str = "immediate") -> None:
        """Stops it."""
        self.run_program("pg_ctl", "-D", self.data, "-m", how, "-w", "stop")

    def run_program(self, program: str, *words: str) -> None:
        """One of PostgreSQL's own programs, as the server's user."""
        folder = programs()
        assert folder is not None, MISSING
        # Not the pipes of this process: the server would hold them open for as long as it lives.
        with tempfile.TemporaryFile() as said:
            user = self.user
            other = {"user": user, "group": user if user != "nobody" else None, "extra_groups": []} if user else {}
            done = subprocess.run(
                [str(folder / program), *words], check=False, cwd=self.folder, stdin=subprocess.DEVNULL, stdout=said, stderr=said,
                env={**os.environ, "PGCTLTIMEOUT": str(WAITS_S)}, timeout=WAITS_S + 30, **other,
            )  # fmt: skip
            said.seek(0)
            assert done.returncode == 0, said.read().decode(errors="replace")


@cache
def _empty_data() -> Path:
    """The data folder that all servers of this process begin with: what `initdb` makes takes it half a second each time."""
    kept = Server(*private_folder())
    atexit.register(shutil.rmtree, kept.folder, ignore_errors=True)
    words = ("-E", "UTF8", "--locale=C", "-A", "trust", "-U", "honeyhold", "-N", "--no-instructions")
    kept.run_program("initdb", "-D", kept.data, *words)
    return Path(kept.data)


def segment_of(data: Path) -> int | None:
    """The number of the segment of shared memory that the server of a data folder says it has, or had; None where it says none."""
    with suppress(OSError, IndexError, ValueError):
        return int((data / "postmaster.pid").read_text("utf-8").splitlines()[6].split()[1])
    return None


def unused_segments() -> set[int]:
    """Segments to which no process is attached. Linux alone tells."""
    with suppress(OSError):
        name, number, attached = 0, 1, 6
        rows = [line.split() for line in SEGMENTS.read_text("ascii").splitlines()]
        assert (rows[name][number], rows[name][attached]) == ("shmid", "nattch"), "Linux names them otherwise"
        return {int(row[number]) for row in rows[1:] if row[attached] == "0"}
    return set()


def take_segment_away(data: Path) -> None:
    """What a server that was killed could not give back itself: else one stays for each until the machine starts anew."""
    segment = segment_of(data)
    if segment is not None and segment in unused_segments():
        subprocess.run(["ipcrm", "-m", str(segment)], check=False, capture_output=True)


def private_folder() -> tuple[Path, str | None]:
    """A new folder of this run for a server, and as whom it is to run."""
    as_root = os.name == "posix" and os.getuid() == 0
    user = next((name for name in OTHER_USERS if _uid(name) is not None), None) if as_root else None
    found = programs()
    assert found is not None, MISSING
    _sweep(PLACE, found, user)
    folder = Path(tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-", dir=PLACE))
    if user:
        shutil.chown(folder, user)
    return folder, user


class Cluster(Server):
    """The run's server; `database()` makes a new database in it."""

    def __init__(self) -> None:
        super().__init__(*private_folder())
        self._numbers = itertools.count(1)
        self.made: list[str] = []
        self.made_anew()
        self.start("max_wal_size=128MB", "autovacuum=off", "max_connections=200")

    def database(self, template: str = "template0") -> str:
        """The address of a new database, a copy of another that nobody is connected to."""
        name = f"house{os.getpid()}_{next(self._numbers)}"  # processes that came of one share it
        self.run(f"CREATE DATABASE {name} TEMPLATE {template}")
        self.made.append(name)
        return self.address(name)

    def drop(self, names: list[str]) -> None:
        """These databases go, whoever is still connected."""
        for name in names:
            self.run(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
            self.made.remove(name)

    def restart(self) -> None:
        """Stops it at once and starts it again: every connection is lost."""
        self.run_program("pg_ctl", "-D", self.data, "-m", "immediate", "-w", "restart")

    def stop(self) -> None:
        """Ends it and takes its folder away."""
        self.halt()
        shutil.rmtree(self.folder, ignore_errors=True)


def _sweep(place: Path, with_programs: Path, other: str | None) -> None:
    """Ends the servers whose run was killed: nobody else would."""
    for folder in place.glob(f"{PREFIX}*") if os.name == "posix" else ():
        if _runs(int(folder.name.removeprefix(PREFIX).partition("-")[0])):
            continue
        with suppress(OSError):
            owner = folder.stat().st_uid
            if owner != (_uid(other) if other else os.getuid()):
                continue  # somebody else's
            # It looks itself whether the process that is noted there is a server of this folder: numbers are used again.
            user: dict[str, Any] = {"user": other, "extra_groups": []} if other else {}
            for data in (*folder.glob("data"), *folder.glob("*/data")):
                stop = [str(with_programs / "pg_ctl"), "-D", str(data), "-m", "immediate", "-w", "stop"]
                subprocess.run(stop, check=False, cwd=place, capture_output=True, stdin=subprocess.DEVNULL, timeout=60, **user)
                take_segment_away(data)
            shutil.rmtree(folder, ignore_errors=True)


def _uid(name: str) -> int | None:
    """Whose number; None where nobody is called so."""
    import pwd

    with suppress(KeyError):
        return pwd.getpwnam(name).pw_uid
    return None


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:  # somebody else's
        return True
    return True


@contextmanager
def swept() -> Iterator[None]:
    """What databases are made inside are gone afterwards."""
    before = list(cluster().made)
    yield
    cluster().drop([name for name in cluster().made if name not in before])


def every_house_in_it() -> None:
    """From now on a house that begins in an empty folder begins in a database of its own."""
    from honeyhold.house import house

    house.opened = opened_in_it


def opened_in_it(folder: Path, database: str = "") -> Any:
    """In place of `where_kept.opened`: what begins in an empty folder begins in a new database."""
    from honeyhold.house import where_kept

    fresh = not (database or where_kept.has_records(folder))
    if not fresh:
        return where_kept.opened(folder, database)
    address = cluster().database()
    found = where_kept.opened(folder, address)
    where_kept.note(folder, address)
    return found


def copied_with(folder: Path) -> None:
    """The folder of a house was copied: where its records are in a database, they are now in a copy of that, which nobody has open."""
    import psycopg

    from honeyhold.house import where_kept
    from honeyhold.records.postgresql_records import HISTORY, named, parts_of

    noted = where_kept.database_of(folder)
    if not noted:
        return
    address = cluster().database(parts_of(noted)["dbname"])
    with psycopg.connect(address) as connection:  # it is no database that was put back: its house goes on in the same epoch
        history = connection.execute(HISTORY).fetchone()
        connection.execute("UPDATE meta SET value = %s WHERE key = 'history'", (named(history or ()),))
    where_kept.note(folder, address)
