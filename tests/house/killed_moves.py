"""A move of a house's records in a process that is gone without a word in the midst of it."""

from __future__ import annotations

import os
import signal
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from honeyhold.house import moving
from honeyhold.records import carrying


def killed(place: str, name: str, times: int, folder: str, address: str) -> None:
    """Into the database at this address, or into a file where there is none: until a step was done so many times."""
    module = {"carrying": carrying, "moving": moving}[place]
    whole, left = getattr(module, name), [times]

    def last(*given: Any, **more: Any) -> Any:
        found = whole(*given, **more)
        left[0] -= 1
        if not left[0]:
            os.kill(os.getpid(), signal.SIGKILL)
        return found

    setattr(module, name, last)
    now = datetime.now(UTC)
    if address:
        moving.to_database(Path(folder), address, now)
    else:
        moving.to_file(Path(folder), now)
