"""Where houses and gates of the tests stand, and how a house is started quickly: at one address test after test, out of a process that knows the program.

A phone keeps the pages by address. A house that stands where the last one stood is served by them at once, and nothing is fetched again.
"""

from __future__ import annotations

import contextlib
import os
import random
import shlex
import socket
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from typing import Protocol

from begun import started
from honeyhold.house import house as of_a_house
from honeyhold.house.clock import machine_time

OWN_PORTS = range(15_000, 32_000)
"""Below the ports that the system hands out by itself for every line that goes out: none of these is gone between the look and the start."""
SOURCES = "HONEYHOLD_SOURCES"
"""Set: the browser is given the files of web/ as they stand, for whoever plants something in them or counts what of them was run."""


AHEAD_S = float(os.environ.get("HONEYHOLD_TESTS_AHEAD_S", "0"))
"""How far every house's clock is ahead of this machine's: so the tests are run on another day (`scripts/calm --at`)."""
if AHEAD_S:
    of_a_house.machine_time = lambda: machine_time() + timedelta(seconds=AHEAD_S)


def free_port() -> int:
    """A port that nobody listens on, good for a house that is stopped and started again."""
    for port in random.SystemRandom().sample(OWN_PORTS, 100):
        if _is_free(port):
            return port
    raise RuntimeError("No port is free for a house.")


def _is_free(port: int) -> bool:
    with socket.socket() as probe, contextlib.suppress(OSError):
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(("127.0.0.1", port))
        return True
    return False


class Lane:
    """Ports of one sort of server in this run: whoever comes next takes the first that is free again."""

    def __init__(self) -> None:
        self._known: list[int] = []
        self._taken: set[int] = set()

    def take(self) -> int:
        """The first port of the lane that nobody has; a new one when all are taken."""
        port = next((port for port in self._known if port not in self._taken and _is_free(port)), 0)
        if not port:
            port = free_port()
            self._known.append(port)
        self._taken.add(port)
        return port

    def give_back(self, port: int) -> None:
        """Whoever stood there has gone."""
        self._taken.discard(port)

    @property
    def addresses(self) -> list[str]:
        """Every address at which somebody of this lane ever stood."""
        return [f"http://127.0.0.1:{port}" for port in self._known]


HOUSES, GATES = Lane(), Lane()
"""Apart: through a gate the kernel's files do not come, and a phone must not have them from a house that stood at the same address."""


class Running(Protocol):
    """A process, however it was begun."""

    def is_alive(self) -> bool: ...
    def join(self, timeout: float | None = None) -> None: ...
    def terminate(self) -> None: ...
    def kill(self) -> None: ...


class _Command:
    """A command of its own, as `HONEYHOLD_SERVE` names it."""

    def __init__(self, command: list[str], log: Path) -> None:
        with log.open("ab") as said:
            self._process = subprocess.Popen(command, stdout=said, stderr=said)
        self.terminate, self.kill = self._process.terminate, self._process.kill

    def is_alive(self) -> bool:
        return self._process.poll() is None

    def join(self, timeout: float | None = None) -> None:
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._process.wait(timeout)


def begun(folder: Path, port: int, more: list[str], log: Path) -> Running:
    """The house's process: by the program itself, or by the command that was asked for."""
    if asked := os.environ.get("HONEYHOLD_SERVE"):
        return _Command([*shlex.split(asked.format(data=folder, port=port)), *more], log)
    more = [*more, "--sources"] if os.environ.get(SOURCES) else more
    return started(run, ["serve", "--data", str(folder), "--port", str(port), "--no-browser", *more], str(log))


def run(arguments: list[str], log: str) -> None:
    """The program, as `python -m honeyhold.app.command_line` would run it; what it says goes into the log."""
    from honeyhold.app.command_line import main

    said = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    for stream in (sys.stdout, sys.stderr):
        stream.flush()
        os.dup2(said, stream.fileno())
    raise SystemExit(main(arguments))
