"""What can go wrong with the records as a whole."""

from __future__ import annotations

import errno
from typing import Final

from honeyhold.errors import HoneyholdError

NO_ROOM: Final = frozenset({errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)})
"""How the system says that the disk takes nothing more: it is full, or a bound is reached."""
SQLITE_NO_ROOM: Final = frozenset(
    {"SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_FSYNC", "SQLITE_IOERR_DIR_FSYNC", "SQLITE_IOERR_TRUNCATE"}
)
"""How SQLite says that the disk took nothing: full, over a quota, or failing."""


class RecordsTrouble(HoneyholdError, RuntimeError):
    """The records cannot be used as they are; nothing was changed."""

    code = "records-trouble"
    status = 500


class SecondHouse(RecordsTrouble):
    """Another server already keeps these records."""

    code = "second-house"


class NewerRecords(RecordsTrouble):
    """The file was written by a newer Honeyhold than this one."""

    code = "newer-records"


class RecordsMovedOn(HoneyholdError, RuntimeError):
    """A newer server moved this house's records to its own schema; this one is being replaced."""

    code = "records-moved-on"
    status = 503

    def __init__(self) -> None:
        super().__init__(
            "A newer version keeps this house's records; this server is older and will be replaced.",
            "Try again in a moment; nothing is lost. If it stays, start the newer version in every server's place.",
        )
        self.wait_s = 5


class SumsDisagree(RecordsTrouble, AssertionError):
    """A running balance and the sum it stands for differ: stop before anything more is written."""

    code = "sums-disagree"


class RecordsSilent(HoneyholdError, RuntimeError):
    """The database server is away, or lets nobody in; a write that was being committed may have landed."""

    code = "records-silent"
    status = 503

    def __init__(self) -> None:
        super().__init__(
            "The records do not answer just now; what was sent may or may not have been kept.",
            "Try again: nothing is kept twice. If it stays, look whether the database server runs.",
        )


class HistoryWentBack(RecordsTrouble):
    """The records are others than those that this house was opened on."""

    code = "history-went-back"

    def __init__(self) -> None:
        super().__init__(
            "The database was put back, or another server took over, while Honeyhold ran: what it holds may be older.",
            "Start Honeyhold again: devices then send again what is missing. Until then nothing is written.",
        )


class DiskFull(HoneyholdError, OSError):
    """The main computer's disk took nothing more; the write was undone whole."""

    code = "disk-full"
    status = 507

    def __init__(self) -> None:
        super().__init__(
            "The main computer's disk is full, or takes nothing more: nothing was written.",
            "Make room on it. What devices wrote stays on them and is sent by itself when there is room.",
        )


def first_line(trouble: BaseException) -> str:
    """What went wrong without the rows that PostgreSQL tells besides."""
    return (str(trouble).strip().splitlines() or [type(trouble).__name__])[0]


def full_or_in_words(trouble: BaseException, what: str, remedy: str) -> DiskFull | RecordsTrouble:
    """What the system or SQLite says against something, as an error that a person can act on."""
    found: BaseException | None = trouble
    while found is not None:
        no_room = isinstance(found, OSError) and found.errno in NO_ROOM
        if no_room or getattr(found, "sqlite_errorname", "") in SQLITE_NO_ROOM or "disk is full" in str(found):
            return DiskFull()
        found = found.__cause__ or found.__context__
    return RecordsTrouble(f"{what}: {first_line(trouble).rstrip('.')}.", remedy)
