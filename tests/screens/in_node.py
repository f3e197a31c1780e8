"""Plays something of the browser's side in Node, with the real Python where something is worked out.

Node asks the process of the tests, over a line of their own: the kernel is read in once there, not once a play, and what many houses ask
alike is worked out once.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import lru_cache
from pathlib import Path
from threading import Thread
from typing import Any, Final

from honeyhold.errors import HoneyholdError
from honeyhold.kernel import work

HERE: Final = "127.0.0.1"
KEPT_MOST: Final = 400
"""Answers, some of them with a picture."""
Worker = Callable[[str], str]


@lru_cache(KEPT_MOST)
def worked_out(line: str) -> str:
    """What the kernel says to a question, both a line of JSON."""
    asked = json.loads(line)
    try:
        told = {"answer": work(asked["name"], asked["request"])}
    except HoneyholdError as trouble:
        told = {"problem": {"detail": str(trouble), "remedy": trouble.remedy}}
    return json.dumps(told)


def played_in_node(script: Path, asked: dict[str, Any], longest_s: float, worker: Worker = worked_out) -> Any:
    """What a script says that is asked this, both as JSON, in so long at most; `port` is where `worker` answers it line by line."""
    with _answering(worker) as port:
        done = subprocess.run(
            ["node", script], input=json.dumps({"port": port, **asked}), env={**os.environ, "TZ": "America/Chicago"}, capture_output=True,
            text=True, check=False, timeout=longest_s,
        )  # fmt: skip
    assert done.returncode == 0 and done.stdout, done.stderr
    return json.loads(done.stdout)


@contextmanager
def _answering(worker: Worker) -> Iterator[int]:
    with socket.create_server((HERE, 0)) as door:
        port: int = door.getsockname()[1]
        answers = Thread(target=_answer, args=(door, worker), daemon=True)
        answers.start()
        try:
            yield port
        finally:
            with suppress(OSError):  # where nothing was asked nobody came, and somebody is still waited for
                socket.create_connection((HERE, port)).close()
            answers.join()


def _answer(door: socket.socket, worker: Worker) -> None:
    line, _ = door.accept()
    with line, line.makefile(encoding="utf-8", newline="\n") as questions, suppress(OSError):  # Node may leave at any moment
        for question in questions:
            try:
                told = worker(question)
            except Exception:  # Node tells that the line ended; here is why
                traceback.print_exc()
                return
            line.sendall(f"{told}\n".encode())
