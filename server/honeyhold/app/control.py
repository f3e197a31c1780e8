"""How the command line speaks with the house while it runs: a key in a file that only the machine's own user can read.

One process holds the records. While the house is served, a second command does not touch them: it asks the server over the
loopback address, with the key that the server wrote into the data folder when it began. Who can read that file can read the
records beside it, so the key opens nothing that was closed.
"""

from __future__ import annotations

import http.client
import json
import os
from pathlib import Path
from typing import Any, Final

from honeyhold.errors import HoneyholdError

FILE_NAME: Final = "running.json"
HERE: Final = "127.0.0.1"
WAIT_S: Final = 120

Json = dict[str, Any]


class NotHeard(HoneyholdError, ConnectionError):
    """The house runs, but it could not be asked."""

    code = "not-heard"


class SaidNo(HoneyholdError, ValueError):
    """The running house answered with a problem."""

    code = "said-no"


def announce(folder: Path, port: int, key: str) -> None:
    """Writes where the house listens and the key; never readable by others, not even for a moment. Raises OSError."""
    withdraw(folder)
    with os.fdopen(os.open(folder / FILE_NAME, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as opened:
        json.dump({"port": port, "key": key, "process": os.getpid()}, opened)


def withdraw(folder: Path) -> None:
    """The house listens no more; once more does nothing."""
    (folder / FILE_NAME).unlink(missing_ok=True)


def ask(folder: Path, path: str, body: Json) -> bytes:
    """What the running house answers at one of its own doors. Raises `NotHeard` or `SaidNo`."""
    remedy = "Wait until it has started, or stop it and do this again."
    try:
        told = json.loads((folder / FILE_NAME).read_text(encoding="utf-8"))
        door = http.client.HTTPConnection(HERE, int(told["port"]), timeout=WAIT_S)
        # by the name that browsers use: the address in the answer is opened there, and a device belongs to one address
        headers = {"Host": f"localhost:{int(told['port'])}", "Authorization": f"Bearer {told['key']}", "Content-Type": "application/json"}
        door.request("POST", path, json.dumps(body), headers)
        answer = door.getresponse()
        content = answer.read()
        door.close()
    except (OSError, ValueError, KeyError, TypeError, http.client.HTTPException) as trouble:
        raise NotHeard(f"Honeyhold over {folder} runs, but could not be asked ({trouble}).", remedy) from None
    if answer.status >= 400:
        raise _problem(answer.status, content)
    return content


def _problem(status: int, content: bytes) -> SaidNo:
    try:
        told = json.loads(content)
        return SaidNo(str(told["detail"]), str(told["remedy"]))
    except (ValueError, KeyError, TypeError):
        return SaidNo(f"The running house answered {status}.", "Stop it and do this again.")
