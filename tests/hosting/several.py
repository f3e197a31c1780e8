"""`honeyhold host --workers N` as whoever keeps a server starts it: the one that looks after the workers, and the workers themselves."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from hosting.processes import PATIENCE_S, SERVER, Lines, host_command, until


class Several:
    """One that looks after several workers. Linux alone tells which they are."""

    def __init__(self, address: str, data: Path, workers: int, *options: str, first_on_path: Path | None = None) -> None:
        """`first_on_path`: a folder of modules that every process finds before all others."""
        command = host_command(address, data, 0, "--workers", str(workers), *options)
        places = [str(one) for one in (first_on_path, SERVER) if one is not None]
        self.log = data.with_name(f"{data.name}.log")
        """What the workers say of troubles."""
        with self.log.open("ab") as said:
            self.process = subprocess.Popen(
                command, stdout=subprocess.PIPE, stderr=said, text=True, env={**os.environ, "PYTHONPATH": os.pathsep.join(places)}
            )
        assert self.process.stdout is not None
        self.lines = Lines(self.process.stdout)
        try:
            self.ports = sorted(self.next_port() for _ in range(workers))
        except BaseException:
            self.end()
            raise

    def next_port(self) -> int:
        """At which a worker has just begun; waits for that."""
        said = self.lines.next()
        assert "localhost:" in said, (said, self.log.read_text("utf-8")[-2000:])
        return int(said.partition("localhost:")[2].partition("/")[0])

    def workers(self) -> set[int]:
        """The processes that are there now."""
        process = self.process.pid
        told = Path(f"/proc/{process}/task/{process}/children").read_text("ascii").split()
        return {int(one) for one in told if state_of(int(one)) != "Z"}

    def kill(self, worker: int) -> None:
        """Without a word, in the midst of whatever it does."""
        with suppress(ProcessLookupError):
            os.kill(worker, signal.SIGKILL)

    def stop(self) -> None:
        """As a keeper does: all answer what is under way and go."""
        self.process.terminate()
        self.process.wait(PATIENCE_S)

    def end(self) -> None:
        """Killed if it still runs, its workers end by themselves; all are waited for."""
        workers = self.workers() if self.process.poll() is None else set()
        self.process.kill()
        self.process.wait(PATIENCE_S)
        try:
            until(lambda: all(state_of(one) == "Z" for one in workers), "the workers end with the one that looked after them")
        finally:
            for one in workers:
                self.kill(one)
        self.lines.end()


def state_of(process: int) -> str:
    """The letter that the system has for what a process does; Z when it is gone."""
    try:
        return Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()[0]
    except OSError:
        return "Z"


@contextmanager
def several(address: str, data: Path, workers: int, *options: str, first_on_path: Path | None = None) -> Iterator[Several]:
    """Workers that are gone at the end."""
    made = Several(address, data, workers, *options, first_on_path=first_on_path)
    try:
        yield made
    finally:
        made.end()
