"""A primary PostgreSQL with a standby that streams from it, and one that archives its log: a server is lost, or goes back to a moment.

All lie in one private folder, which `postgresql_server` sweeps when its run was killed.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Event

from postgresql_server import Server, private_folder, take_segment_away

QUICK = ("max_wal_size=128MB", "autovacuum=off", "shared_buffers=16MB")
LOOKS = 6000
EACH_S = 0.05


def made(server: Server) -> Server:
    """The folder of one server among several, made for its user."""
    server.folder.mkdir()
    if server.user:
        shutil.chown(server.folder, server.user)
    return server


def processes_of(server: Server) -> list[int]:
    """The server's process and all that it has begun: whoever stands in its data folder. Linux alone tells."""
    found, data = [], os.path.realpath(server.data)
    for entry in Path("/proc").iterdir():
        with suppress(OSError, ValueError):
            if os.path.realpath(entry / "cwd") == data:
                found.append(int(entry.name))
    return found


def lost_at_once(server: Server) -> None:
    """The machine of the server is gone: every process stopped in one moment, then ended by kill -9; nothing is answered any more."""
    found = processes_of(server)
    for how in (signal.SIGSTOP, signal.SIGKILL):
        for process in found:
            with suppress(ProcessLookupError):
                os.kill(process, how)
    for _ in range(LOOKS):
        if not processes_of(server):
            break
        Event().wait(EACH_S)
    take_segment_away(Path(server.data))


def ended(server: Server) -> None:
    """Whatever became of it in a test, nothing of it is left: by itself it gives back what a killed one leaves behind."""
    if processes_of(server):
        with suppress(AssertionError, subprocess.TimeoutExpired):
            server.halt("immediate")
    lost_at_once(server)


def stalled(process: int) -> None:
    """A process does nothing more, and is there: a line that is silent."""
    os.kill(process, signal.SIGSTOP)


def until(server: Server, sql: str) -> None:
    """Waits until the server answers something to it."""
    for _ in range(LOOKS):
        if server.run(sql):
            return
        Event().wait(EACH_S)
    raise AssertionError(f"never came: {sql}")


class Pair:
    """`primary` and `standby`, streaming; one address names both."""

    def __init__(self, folder: Path, user: str | None, synchronous: bool) -> None:
        self.primary = made(Server(folder / "primary", user))
        self.standby = made(Server(folder / "standby", user))
        self.primary.made_anew()
        self.primary.start(*QUICK)
        source = f"host={self.primary.folder} user=honeyhold application_name=standby"
        self.primary.run_program("pg_basebackup", "-d", source, "-D", self.standby.data, "-R", "-X", "stream", "-c", "fast")
        self.standby.start(*QUICK)
        until(self.primary, "SELECT 1 FROM pg_stat_replication WHERE state = 'streaming'")
        if synchronous:
            self.primary.run("ALTER SYSTEM SET synchronous_standby_names = 'standby'")
            self.primary.run("SELECT pg_reload_conf()")
            until(self.primary, "SELECT 1 FROM pg_stat_replication WHERE sync_state = 'sync'")

    def address(self, database: str) -> str:
        """Whichever of the two takes writes."""
        return f"postgresql://honeyhold@/{database}?host={self.primary.folder},{self.standby.folder}&target_session_attrs=read-write"

    def sender(self) -> int:
        """The primary's process that sends the log to the standby."""
        return int(self.primary.run("SELECT pid FROM pg_stat_replication")[0][0])

    def promote(self) -> None:
        """The standby becomes a primary; it takes writes when this returns."""
        self.standby.run_program("pg_ctl", "-D", self.standby.data, "-w", "promote")


@contextmanager
def pair(synchronous: bool) -> Iterator[Pair]:
    """Both servers, in a folder that is gone afterwards."""
    folder, user = private_folder()
    found: Pair | None = None
    try:
        found = Pair(folder, user, synchronous)
        yield found
    finally:
        for name in ("primary", "standby"):
            ended(Server(folder / name, user))
        shutil.rmtree(folder, ignore_errors=True)


class Archived:
    """A server that copies its log into a folder, with a base backup from which it can go back to a moment."""

    def __init__(self, folder: Path, user: str | None) -> None:
        self.server = made(Server(folder / "server", user))
        self.archive = made(Server(folder / "archive", user)).folder
        self.base = folder / "server" / "base"
        self.server.made_anew()
        self._start()

    def _start(self) -> None:
        kept = f"{self.archive}/%f"
        with Path(self.server.data, "postgresql.auto.conf").open("a", encoding="utf-8") as settings:
            settings.write(f"archive_mode = on\narchive_command = 'test ! -f {kept} && cp %p {kept}'\n")
        self.server.start(*QUICK)

    def back_up(self) -> None:
        """A base backup, from which any later moment can be reached."""
        source = f"host={self.server.folder} user=honeyhold"
        self.server.run_program("pg_basebackup", "-d", source, "-D", str(self.base), "-X", "none", "-c", "fast")

    def go_back(self, moment: str) -> None:
        """The server as it was at a moment, in place of the one that is; this is what a keeper does."""
        self.server.halt("fast")
        Path(self.server.data).rename(self.server.folder / "data-before")
        self.base.rename(self.server.data)
        with Path(self.server.data, "postgresql.auto.conf").open("a", encoding="utf-8") as settings:
            settings.write(f"restore_command = 'cp {self.archive}/%f %p'\n")
            settings.write(f"recovery_target_time = '{moment}'\nrecovery_target_action = promote\n")
        signal_file = Path(self.server.data, "recovery.signal")
        signal_file.touch()
        if self.server.user:
            shutil.chown(signal_file, self.server.user)
        self.server.start(*QUICK)  # it answers who only reads before it is there
        until(self.server, "SELECT 1 WHERE NOT pg_is_in_recovery()")


@contextmanager
def archived() -> Iterator[Archived]:
    """The server, in a folder that is gone afterwards."""
    folder, user = private_folder()
    try:
        yield Archived(folder, user)
    finally:
        ended(Server(folder / "server", user))
        shutil.rmtree(folder, ignore_errors=True)
