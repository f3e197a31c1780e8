"""Honeyhold's commands in processes of their own that need not read the program first: each is a copy of one process that has read it.

What a command does is the same as from the command line, but for the start of Python and its imports. Where those are what is looked at,
a test starts the true command instead.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext, suppress
from multiprocessing.connection import wait
from multiprocessing.context import ForkServerProcess
from multiprocessing.reduction import DupFd
from pathlib import Path
from types import ModuleType
from typing import IO, Any

READ_BEFORE = ["honeyhold.app.command_line", "honeyhold.app.serving", "honeyhold.app.hosting", "browser.lanes", "begun"]
"""What the one process reads: the houses of the browser tests (`browser.lanes`) are begun out of it, too."""
ENDED_S = 60
OF_A_TEST = "PYTEST_CURRENT_TEST"


class Begun:
    """A command that runs; to be asked and told as a `subprocess.Popen` with text in its `stdout` is."""

    def __init__(self, words: Sequence[str], more: Mapping[str, str] | None = None, folder: Path | None = None) -> None:
        """`more`: of the environment; `folder`: where it runs."""
        said, says = os.pipe()
        around = {**os.environ, **(more or {})}
        try:
            self._process = started(_run, list(words), around, str(folder or Path.cwd()), _Handed(says))
        finally:
            os.close(says)
        assert self._process.pid is not None
        self.pid: int = self._process.pid
        self.stdout: IO[str] = os.fdopen(said, encoding="utf-8")

    @property
    def returncode(self) -> int | None:
        """How it ended; None while it runs."""
        return self._process.exitcode

    def poll(self) -> int | None:
        """How it ended; None while it runs."""
        return self.returncode

    def wait(self, timeout: float | None = None) -> int:
        """How it ended, waited for. Raises `TimeoutExpired`."""
        if not wait([self._process.sentinel], timeout):
            raise subprocess.TimeoutExpired("honeyhold", timeout or 0.0)
        self._process.join()
        found = self._process.exitcode
        assert found is not None
        return found

    def send_signal(self, number: int) -> None:
        """Tells it something, where it still runs; it may end between the look and the word, and whoever asked is not told yet."""
        if self.poll() is None:
            with suppress(ProcessLookupError):
                os.kill(self.pid, number)

    def terminate(self) -> None:
        """Asks it to stop."""
        self.send_signal(signal.SIGTERM)

    def kill(self) -> None:
        """Ends it without a word."""
        self.send_signal(signal.SIGKILL)


def ended(does: Callable[..., None], *given: Any) -> int:
    """How a process ends that does only this: a function of a module, with what is given."""
    process = started(does, *given)
    process.join(ENDED_S)
    assert process.exitcode is not None, f"it goes on after {ENDED_S} s"
    return process.exitcode


def started(does: Callable[..., None], *given: Any) -> ForkServerProcess:
    """A process that does only this, which ends at the latest with the tests."""
    multiprocessing.set_forkserver_preload(READ_BEFORE)
    process = ForkServerProcess(target=_for_a_test, args=(os.environ.get(OF_A_TEST), does, *given), daemon=True)
    main, sys.modules["__main__"] = sys.modules["__main__"], ModuleType("__main__")  # whoever runs the tests is not read there too
    try:
        process.start()
    finally:
        sys.modules["__main__"] = main
    return process


def _for_a_test(name: str | None, does: Callable[..., None], *given: Any) -> None:
    """In the copy: for which test, as its environment would say had it been begun anew; and whoever measures is told that it is a copy."""
    if name is not None:
        os.environ[OF_A_TEST] = name
    measured = getattr(sys.modules.get("sitecustomize"), "measured", None)
    if measured is not None:
        measured()
    with _listened_to():
        does(*given)


def _listened_to() -> AbstractContextManager[None]:
    """Where somebody listens to the tests (`heard/as_before.py`) it is listened to as well; nobody else reads that file."""
    if "HONEYHOLD_HEARD_IN" not in os.environ:
        return nullcontext()
    from heard.as_before import heard_in_a_copy

    return heard_in_a_copy()


class _Handed:
    """A file descriptor on its way to the process."""

    def __init__(self, number: int) -> None:
        self._number = number

    def __reduce__(self) -> tuple[Any, ...]:
        return _taken, (DupFd(self._number),)


def _taken(handed: Any) -> int:
    return int(handed.detach())


def _run(words: list[str], around: dict[str, str], folder: str, says: int) -> None:
    from honeyhold.app.command_line import main

    os.environ.clear()
    os.environ.update(around)
    os.chdir(folder)
    sys.stdout.flush()
    os.dup2(says, sys.stdout.fileno())
    os.close(says)
    raise SystemExit(main(words))
