"""Several processes that answer for the same houses, each at a port of its own; this one only looks after them.

One that ended is started again. At a hang-up signal (SIGHUP) each is replaced, one after the other: the new one takes the same port beside
the old one, and only when it answers is the old one told to stop; so a newer version begins without a moment in which nobody answers.
"""

from __future__ import annotations

import logging
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from contextlib import ExitStack
from types import FrameType
from typing import Final

from honeyhold.app.listeners import HERE, PortTaken

LOOK_S: Final = 0.2
READY_S: Final = 60
FAREWELL_S: Final = 60
REST_S: Final = 1.0
"""Before one that ended by itself is started again; twice as long each time that it ended before it was ready."""
REST_S_MOST: Final = 30.0

log = logging.getLogger("honeyhold")


class Child:
    """One process. It ends when this one does: its input is a pipe that then ends."""

    def __init__(self, command: Sequence[str], port: int, beside: bool = False) -> None:
        """`beside`: it takes the place of one that is still at the port."""
        self.port = port
        self.ready = threading.Event()
        words = [*command, "--port", str(port), "--ends-with-input", *(["--beside"] if beside else [])]
        self._process = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        threading.Thread(target=self._pass_on, daemon=True).start()

    def has_ended(self) -> bool:
        """Whether the process is gone."""
        return self._process.poll() is not None

    def tell_to_stop(self) -> None:
        """It answers what is under way, then ends."""
        self._process.terminate()

    def end(self, wait_s: float) -> None:
        """Waits for its end, and makes one after so long."""
        try:
            self._process.wait(wait_s)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        if self._process.stdin is not None:
            self._process.stdin.close()

    def _pass_on(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as said:
            for line in said:
                print(line, end="", flush=True)
                self.ready.set()


class Workers:
    """Keeps one child at each port until it is told to stop."""

    def __init__(self, command: Sequence[str], ports: Sequence[int], rest_s: float = REST_S) -> None:
        self._command, self._rest_s = command, rest_s
        self._rests_s = dict.fromkeys(ports, 0.0)
        self._again_at_s: dict[int, float] = {}
        """When those that ended are started again, by port."""
        self._stopping, self._renewing = threading.Event(), threading.Event()
        self._children = [Child(command, port) for port in ports]

    def run(self) -> None:
        """Looks after them; at the end all have stopped."""
        while not self._stopping.wait(LOOK_S):
            if self._renewing.is_set():
                self._renewing.clear()
                self._renew()
            for place, child in enumerate(self._children):
                if child.has_ended() and self._has_rested(child) and not self._stopping.is_set():
                    self._children[place] = Child(self._command, child.port)
        for child in self._children:
            child.tell_to_stop()
        for child in self._children:
            child.end(FAREWELL_S)

    def _has_rested(self, child: Child) -> bool:
        """Whether one that ended is to be started again now; nobody else waits for it meanwhile."""
        port, now_s = child.port, time.monotonic()
        if port not in self._again_at_s:
            longer_s = min(2 * self._rests_s[port], REST_S_MOST)
            rest_s = self._rests_s[port] = self._rest_s if child.ready.is_set() else max(self._rest_s, longer_s)
            self._again_at_s[port] = now_s + rest_s
            log.warning("The worker at port %d ended by itself; it is started again in %g s.", port, rest_s)
            child.end(0)
        if now_s < self._again_at_s[port]:
            return False
        del self._again_at_s[port]
        return True

    def stop(self) -> None:
        """All stop."""
        self._stopping.set()

    def renew(self) -> None:
        """Each is replaced."""
        self._renewing.set()

    def _renew(self) -> None:
        for place, old in enumerate(self._children):
            new = Child(self._command, old.port, beside=True)
            until = time.monotonic() + READY_S
            while not new.ready.wait(LOOK_S) and not new.has_ended() and time.monotonic() < until and not self._stopping.is_set():
                pass
            if not new.ready.is_set():
                log.warning("A new worker at port %d did not start; the old ones go on.", old.port)
                new.tell_to_stop()
                new.end(FAREWELL_S)
                return
            self._children[place] = new
            self._again_at_s.pop(old.port, None)
            old.tell_to_stop()
            old.end(FAREWELL_S)


def ports_from(first: int, workers: int) -> list[int]:
    """So many ports at which nobody listens: `first` and those above it, or any where it is 0. Raises `PortTaken`."""
    with ExitStack() as stack:
        found = []
        for asked in range(first, first + workers) if first else [0] * workers:
            try:
                found.append(stack.enter_context(socket.create_server((HERE, asked))).getsockname()[1])
            except OSError as trouble:
                raise PortTaken(asked, trouble) from None
        return found


def run(command: Sequence[str], ports: Sequence[int]) -> None:
    """Keeps a worker at each port until SIGTERM or Ctrl-C."""
    workers = Workers([sys.executable, "-m", "honeyhold.app.command_line", *command], ports)

    def stop(_number: int, _frame: FrameType | None) -> None:
        workers.stop()

    def renew(_number: int, _frame: FrameType | None) -> None:
        workers.renew()

    signal.signal(signal.SIGINT, stop)
    signal.signal(signal.SIGTERM, stop)
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, renew)
    workers.run()
