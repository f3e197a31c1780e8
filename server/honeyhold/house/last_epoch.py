"""The last epoch in which a house was served from its folder, noted beside the records: a database that stands before it went back.

A database cannot say so itself. After another server took over and a new epoch began there, the one that was left still has its own history
and the epoch of before; a house that began in it again would not hear of what devices said in between, and would promise it once more.
"""

from __future__ import annotations

import logging
from pathlib import Path
from typing import Final

from honeyhold.records.whole_file import write_whole
from honeyhold.replication.recovery import epoch_begins

FILE_NAME: Final = "epoch.txt"

log = logging.getLogger("honeyhold")


def noted(folder: Path) -> str:
    """The epoch that was noted last; empty where none was."""
    try:
        return (folder / FILE_NAME).read_text("utf-8").strip()
    except FileNotFoundError:
        return ""
    except OSError as trouble:
        log.warning("In which epoch the house was last served cannot be read: %s", trouble)
        return ""


def note(folder: Path, epoch: str) -> None:
    """It is served in this epoch from now; before the records have it, so that one that is stopped in between begins yet another."""
    if noted(folder) == epoch:
        return
    try:
        write_whole(folder / FILE_NAME, f"{epoch}\n".encode())
    except OSError as trouble:
        log.warning("In which epoch the house is served could not be noted: %s", trouble)


def is_before_the_noted(folder: Path, epoch: str) -> bool:
    """Whether this folder's house was served in an epoch that records in `epoch` never had."""
    last = noted(folder)
    return last not in ("", epoch) and epoch_begins(epoch) <= epoch_begins(last)


def later(folder: Path, epoch: str) -> str:
    """The one of the two after which the next epoch begins."""
    return max(epoch, noted(folder), key=epoch_begins)
