"""A house's records in a PostgreSQL database: for a server that keeps others besides. Only a house that is told of one imports this.

**One writer.** The rules of the trade were written for SQLite's one writer: the next position is the largest plus one, a pool is read,
judged and paid from in the same write. So a write here first takes a lock of the house's own (`pg_advisory_xact_lock`) and holds it until
it is committed; what it then reads nobody can change. Serializable transactions would run side by side, and of two that both take the next
position one would always be thrown away and done again: more work for the same order. A lock on a row would write that row each time.

**One server.** What a running house remembers of its devices lies in its memory, so a second server is turned away, as `lock.py` does with
the folder: a connection that is kept open holds another lock for as long as it lives.
"""

from __future__ import annotations

import re
import select
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from functools import lru_cache
from pathlib import Path
from typing import Any, ClassVar, Final, LiteralString

import psycopg
from peewee import SQL, InterfaceError, Model, OperationalError, Psycopg3Adapter
from playhouse.pool import MaxConnectionsExceeded, PooledPostgresqlDatabase
from psycopg.adapt import Loader
from psycopg.conninfo import conninfo_to_dict
from psycopg.types.numeric import Int8Dumper

from honeyhold.records import prepared_statements
from honeyhold.records.carrying import into_file
from honeyhold.records.errors import SQLITE_NO_ROOM, DiskFull, HistoryWentBack, RecordsSilent, RecordsTrouble, SecondHouse, first_line
from honeyhold.records.migrations import steps as migrations
from honeyhold.records.one_server import TIMELINE, place_of
from honeyhold.records.store import Found, Records
from honeyhold.records.timelines import Place

VERSION_LEAST: Final = 150000
CONNECTIONS_MOST: Final = 20
WAITS_S: Final = 10
"""For a free connection, and for the lock of a write: as long as SQLite waits for a busy file."""
ENDS_MS: Final = 2000
"""Within so long a server that was told nothing has noticed that a connection was closed."""
AT_ONCE: Final = 2000
"""Rows that are fetched together where a whole table is read."""
STATEMENTS_KEPT: Final = 500
"""Statements that a connection keeps prepared; a house has some three hundred."""
SERVING, WRITING = 0x486F6E31, 0x486F6E32
"""The first half of the two locks' keys; the second half is the schema's, so that houses in one database do not wait for each other."""
NEEDED: Final = {"server_encoding": "UTF8", "fsync": "on", "full_page_writes": "on"}
"""What PostgreSQL must answer: a promise is only told after it is on the disk."""
TAKES_NO_MORE: Final = frozenset({"53100", "58030"})
"""SQLSTATE of a full disk, and of one that fails."""
NO_ANSWER: Final = (OperationalError, InterfaceError, psycopg.OperationalError, psycopg.InterfaceError, MaxConnectionsExceeded)
"""As what a server comes that is away, or a pool of which every connection is in use."""
HISTORY: Final = f"""
SELECT system_identifier, {TIMELINE},
    (SELECT oid FROM pg_database WHERE datname = current_database()), 'operation'::regclass::oid FROM pg_control_system()"""
SIZE: Final = """
SELECT COALESCE(SUM(pg_total_relation_size(c.oid)), 0) FROM pg_class AS c JOIN pg_namespace AS n ON n.oid = c.relnamespace
WHERE n.nspname = current_schema() AND c.relkind = 'r'"""
HINT: Final = re.compile(r" INDEXED BY \w+")
"""Which index to take is told to SQLite alone."""


PATIENCE: Final[dict[str, Any]] = {
    "connect_timeout": 5, "keepalives_idle": 30, "keepalives_interval": 10, "keepalives_count": 3, "tcp_user_timeout": 15_000,
}
"""How soon a server that fell silent is given up, where the address says nothing of it: by themselves systems wait for hours."""
SECRET: Final = ("password", "sslpassword")


class _WholeNumbers(Loader):
    """Sums of whole numbers are whole; PostgreSQL calls them NUMERIC."""

    def load(self, data: Any) -> int:
        return int(bytes(data))


class _Driver(Psycopg3Adapter):
    """psycopg 3 with what a house expects of every connection."""

    def connect(self, db: Any, **params: Any) -> Any:
        made = as_expected(super().connect(db, **params))  # type: ignore[no-untyped-call]
        db.must_be_here(made)
        return made


def as_expected(connection: Any) -> Any:
    """A new connection with what every house expects of one."""
    connection.prepared_max = STATEMENTS_KEPT
    connection.adapters.register_loader("numeric", _WholeNumbers)
    connection.adapters.register_dumper(int, Int8Dumper)  # one type of number, so one prepared statement
    connection.autocommit = True
    connection.execute(f"SET lock_timeout = '{WAITS_S}s'")
    return connection


class _Pool(PooledPostgresqlDatabase):  # type: ignore[misc]
    """Connections that are kept: a new one for each request takes three times as long as the request."""

    psycopg3_adapter = _Driver
    anchored: Place | None = None
    """Where the house is held."""
    doubted = False
    """A connection came to another server than that."""

    def must_be_here(self, made: Any) -> None:
        """A new connection is to the server where the house is held. Raises OperationalError."""
        if self.anchored is not None and place_of(made) != self.anchored:
            self.doubted = True
            made.close()
            raise psycopg.OperationalError("another server than before answers")

    def _is_closed(self, conn: Any) -> bool:
        if not hung_up(conn):
            return bool(super()._is_closed(conn))
        conn.close()
        return True


class PostgresqlRecords(Records):
    """The records of a house in the schema that comes first on the search path of its database."""

    takes_no_more: ClassVar[tuple[type[Exception], ...]] = (OperationalError, psycopg.OperationalError)

    def __init__(self, address: str) -> None:
        """Connects, turns a second server away, moves the records to this version's schema.

        `address` is libpq's: `postgresql://user@host:port/database`. Raises `SecondHouse`, `NewerRecords`, `RecordsTrouble`.
        """
        super().__init__()
        self._patience = patience_with(address)
        self.database = self._pool = _Pool(
            address, max_connections=CONNECTIONS_MOST, timeout=WAITS_S, prefer_psycopg3=True, **self._patience
        )
        self._address = address
        self._anchor: psycopg.Connection[Any] | None = None
        self._holding = threading.Lock()
        self._kept_to: tuple[str, str] | None = None
        try:
            with self.read():
                assert_settings(lambda asked: self.sql(asked).fetchone()[0])
                key = self.sql("SELECT hashtext(current_schema())").fetchone()[0]
                if key is None:
                    raise RecordsTrouble("The search path names no schema that is there.", "Make it, or correct search_path.")
                self._schema_key = int(key)
            self._hold()
            with self.read():
                self._assert_its_own()
                migrations.move_forward(self, migrations.postgresql_steps())
        except RecordsSilent as trouble:
            self.close()
            raise _unanswered(trouble.__cause__ or trouble) from None
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Lets go of all connections, and of the house."""
        self._pool.close_all()
        if self._anchor is not None:
            with suppress(psycopg.Error):  # the server ends a connection a little after it was closed
                self._anchor.execute("SELECT pg_advisory_unlock_all()")
            self._anchor.close()

    @contextmanager
    def read(self) -> Iterator[None]:
        """As everywhere. Raises `RecordsSilent` where the server is away, or lets nobody in; `HistoryWentBack` where it is another."""
        outermost = self.database.is_closed()
        try:
            with super().read():
                yield
        except NO_ANSWER as trouble:
            if not outermost or self.is_full(trouble):
                raise  # whoever is further out looks at it first
            raise RecordsSilent from trouble

    def _open(self) -> None:
        """As everywhere; another server than before is told as such (`HistoryWentBack`), not as one that is away."""
        if self._pool.doubted:
            self._hold()
        try:
            super()._open()
        except NO_ANSWER:
            if not self._pool.doubted:
                raise
            self._hold()
            super()._open()

    def keep_to_history(self) -> None:
        """What these records are now, is looked at whenever the server was away: it may have come back as an older copy."""
        with self.read():
            self._kept_to = self.history(), self.meta("epoch")

    def _looking(self) -> AbstractContextManager[Any]:
        return self.database.atomic("REPEATABLE READ")

    @contextmanager
    def _alone(self) -> Iterator[None]:
        self._hold()
        with self.database.atomic("READ COMMITTED"):
            self.sql(f"SELECT pg_advisory_xact_lock({WRITING}, {self._schema_key})")
            yield

    def is_full(self, trouble: BaseException | None) -> bool:
        """Whether a full disk is behind an error."""
        while trouble is not None:
            if getattr(trouble, "sqlstate", "") in TAKES_NO_MORE:
                return True
            trouble = trouble.__cause__ or trouble.__context__
        return False

    def sql(self, text: str, *values: Any) -> Found:
        """One statement as it is written for both."""
        found: Found = self.database.execute_sql(_in_its_words(text), values)
        return found

    def each_row(self, text: str) -> Iterator[tuple[Any, ...]]:
        """Row by row; the server holds the rest."""
        with self.database.connection().cursor(name="each") as rows:
            rows.itersize = AT_ONCE
            rows.execute(text)
            yield from rows

    def rows_of(self, model: type[Model], name: str, value: str) -> list[dict[str, Any]]:
        """The records whose field has this value, as they came: a row that is changed moves to the end of PostgreSQL's table."""
        found = self.sql(prepared_statements.rows_of(model, name) + " ORDER BY rowid", value).fetchall()
        return [prepared_statements.as_record(model, row) for row in found]

    def one_of(self, ids: list[str]) -> tuple[str, list[str]]:
        """Many ids as one value, an array."""
        return "(SELECT unnest(?::text[]))", ids

    def whole_at(self, column: str, *places: int) -> SQL:
        """A whole number inside a column of JSON."""
        return SQL(f"({column}::json #>> '{{{','.join(map(str, places))}}}')::bigint")

    def history(self) -> str:
        """The server, its timeline, the database, the table: a dump makes another table, going back to a moment another timeline."""
        return named(self.sql(HISTORY).fetchone())

    def copy_to(self, target: Path) -> None:
        """A copy of the house in one file, as a house with a file makes it, while others go on writing. Raises `DiskFull`."""
        try:
            into_file(self, target)
        except sqlite3.OperationalError as trouble:
            raise (DiskFull() if trouble.sqlite_errorname in SQLITE_NO_ROOM else trouble) from trouble

    def size_bytes(self) -> int:
        """The tables of the house's schema with their indexes; the log is the server's."""
        with self.read():
            return int(self.sql(SIZE).fetchone()[0])

    def faults(self) -> list[str]:
        """None: PostgreSQL lets no row point nowhere, and looks at its pages by its own tools (`pg_amcheck`)."""
        return []

    def _hold(self) -> None:
        """This server has the house, as long as its connection lives; after PostgreSQL was started anew it is taken again."""
        with self._holding:
            if self._anchor is not None:
                if not hung_up(self._anchor) and not self._pool.doubted:
                    return
                self._anchor.close()
            anchor = psycopg.connect(self._address, autocommit=True, **self._patience)
            try:
                self._take(anchor)
            except BaseException:
                anchor.close()
                raise
            self._anchor, self._pool.doubted = anchor, False
            self._pool.anchored = place_of(anchor)

    def _take(self, anchor: psycopg.Connection[Any]) -> None:
        # a connection of our own that was just closed holds it until the server has noticed
        anchor.execute(f"SET lock_timeout = {ENDS_MS}")
        try:
            anchor.execute(f"SELECT pg_advisory_lock({SERVING}, {self._schema_key})")
        except psycopg.errors.LockNotAvailable:
            raise SecondHouse(
                "Another Honeyhold already keeps the records in this database.",
                "Stop it first, or give this one a database of its own.",
            ) from None
        anchor.execute("RESET lock_timeout")
        if self._kept_to is None:
            return
        history = anchor.execute(HISTORY).fetchone() or ()
        epoch = anchor.execute("SELECT value FROM meta WHERE key = 'epoch'").fetchone() or ("",)
        if (named(history), epoch[0]) != self._kept_to:
            raise HistoryWentBack

    def _assert_its_own(self) -> None:
        tables = {name for (name,) in self.sql("SELECT tablename FROM pg_tables WHERE schemaname = current_schema()").fetchall()}
        if tables and "meta" not in tables:
            raise RecordsTrouble(
                f"There are tables in this database that are not Honeyhold's: {', '.join(sorted(tables)[:5])}.",
                "Give it a database of its own, or a schema that comes first on its search path.",
            )


def assert_settings(answer: Callable[[str], Any]) -> None:
    """What a server must be set to; `answer` gives the one value of a statement. Raises `RecordsTrouble`."""
    version = int(answer("SHOW server_version_num"))
    if version < VERSION_LEAST:
        raise RecordsTrouble(f"This PostgreSQL is version {version // 10000}; 15 or newer is needed.", "Use a newer one.")
    if answer("SELECT pg_is_in_recovery()"):
        raise RecordsTrouble(
            "This PostgreSQL takes no writes: it is a standby, or has not ended going back to a moment.",
            "Promote it, or wait until it has; or name the server that takes writes.",
        )
    found = {name: answer(f"SHOW {name}") for name in (*NEEDED, "synchronous_commit")}
    wrong = [f"{name} = {found[name]}" for name, needed in NEEDED.items() if found[name] != needed]
    if found["synchronous_commit"] == "off":
        wrong.append("synchronous_commit = off")
    if wrong:
        raise RecordsTrouble(
            f"PostgreSQL answers {', '.join(wrong)}: what is promised might not be kept.",
            "Set fsync, full_page_writes and synchronous_commit to on, and make the database with ENCODING 'UTF8'.",
        )


def named(history: tuple[Any, ...]) -> str:
    """One text of what `HISTORY` answers."""
    return "/".join(map(str, history))


def parts_of(address: str) -> dict[str, Any]:
    """What an address says, by libpq's names. Raises `RecordsTrouble` in words that repeat nothing of it: a password may be in it."""
    try:
        found = conninfo_to_dict(address)
    except psycopg.Error:
        found = {}
    astray = "@" in str(found.get("host", "")).lstrip("@") or "@" in str(found.get("dbname", ""))
    if not found or astray or not re.fullmatch(r"[0-9,]*", str(found.get("port", ""))):
        raise RecordsTrouble(
            "The address of the database cannot be read.",
            "Write it so: postgresql://user@host/name - and within a password %40 for @, %3A for :, %2F for /, %3F for ?, %25 for %.",
        )
    return found


def patience_with(address: str) -> dict[str, Any]:
    """How soon a silent server is given up, as far as the address itself does not say it. Raises `RecordsTrouble`."""
    return {name: value for name, value in PATIENCE.items() if name not in parts_of(address)}


def without_secrets(address: str) -> str:
    """The address without its passwords. Raises `RecordsTrouble` where they cannot be told apart from it."""
    wanted = {name: value for name, value in parts_of(address).items() if name not in SECRET}
    head, _, asked = re.sub(r"(//[^/?@:]*):[^@/]*(?=@)", r"\1", address).partition("?")
    kept = "&".join(one for one in asked.split("&") if one.partition("=")[0] not in SECRET)
    found = f"{head}?{kept}" if kept else head
    if parts_of(found) != wanted:
        raise RecordsTrouble(
            "The password cannot be told apart from the rest of this address.",
            "Leave it out: PostgreSQL reads it from .pgpass, or PGPASSWORD.",
        )
    return found


def same_place(one: str, other: str) -> bool:
    """Whether two addresses name the same database and schema, whoever asks."""
    first, second = parts_of(one), parts_of(other)
    return all(first.get(name) == second.get(name) for name in ("host", "hostaddr", "port", "dbname", "options", "service"))


def holds_records(address: str) -> bool:
    """Whether there are records in a database; nothing is made there to look. Raises `RecordsTrouble` where it does not answer."""
    try:
        with psycopg.connect(address, **patience_with(address)) as looking:
            found = looking.execute("SELECT to_regclass(format('%I.meta', current_schema()))").fetchone()
    except psycopg.OperationalError as trouble:
        raise _unanswered(trouble) from None
    return found is not None and found[0] is not None


def answers_of(address: str, statements: Sequence[LiteralString]) -> list[list[Any]]:
    """The rows of some statements in one look, without opening the records: no lock is taken, no schema moved.

    Raises `NewerRecords`, and `RecordsTrouble` where the database does not answer or holds no records.
    """
    try:
        with psycopg.connect(address, **patience_with(address)) as looking:
            looking.read_only, looking.isolation_level = True, psycopg.IsolationLevel.REPEATABLE_READ
            version = looking.execute("SELECT value FROM meta WHERE key = 'schema_version'").fetchone()
            migrations.must_be_known(int(version[0]) if version else 0, migrations.postgresql_steps())
            return [looking.execute(one).fetchall() for one in statements]
    except psycopg.OperationalError as trouble:
        raise _unanswered(trouble) from None
    except psycopg.Error as trouble:
        raise RecordsTrouble(f"The database cannot be read as records: {first_line(trouble)}", "Look at the address.") from None


def _unanswered(trouble: BaseException) -> RecordsTrouble:
    return RecordsTrouble(f"The database does not answer: {first_line(trouble)}", "Look whether PostgreSQL runs, and at the address.")


def hung_up(connection: Any) -> bool:
    """Whether the server ended a connection that nobody uses: then it has said so, and something is there to read."""
    if connection.closed:
        return True
    if not hasattr(select, "poll"):  # Windows
        return bool(select.select([connection.fileno()], [], [], 0)[0])
    said = select.poll()
    said.register(connection.fileno(), select.POLLIN)
    return bool(said.poll(0))


@lru_cache(maxsize=4000)
def _in_its_words(text: str) -> str:
    """The driver's marks for values; no statement holds a question mark that is none."""
    return HINT.sub("", text).replace("%", "%%").replace("?", "%s")
