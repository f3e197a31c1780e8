"""Which servers a folder's houses were served from: of two that came of one, the one that was left serves nobody any more.

A standby that is promoted goes on in a new timeline of PostgreSQL's log, with a higher number. The primary that it took over from may
come back and take writes, too: its timeline is the lower one. Each that was served from is noted as an empty file, so that processes may
note at the same time; a folder knows nothing of a server that was never served from.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from honeyhold.records.errors import RecordsTrouble

FOLDER: Final = ".timelines"

log = logging.getLogger("honeyhold")


@dataclass(frozen=True)
class Place:
    """A server as its log says it: who it is, and on which timeline (eight hexadecimal digits)."""

    system: str
    timeline: str
    started: str = field(default="", compare=False)
    """When the server was started, as it says it: by it two that were promoted from one primary are told apart while both run."""

    @classmethod
    def of(cls, history: str) -> Place | None:
        """Where records with this history are (`Records.history`); None where they are in a file."""
        parts = history.split("/")
        return cls(parts[0], parts[1]) if len(parts) > 1 else None


class OlderServer(RecordsTrouble):
    """The server that answers is one that another took over from."""

    code = "older-server"

    def __init__(self, place: Place, newest: str, notes: Path | None) -> None:
        was, now = int(place.timeline, 16), int(newest, 16)
        back = (
            f" If it was put back on purpose: stop Honeyhold and the other server, remove {notes}, and start Honeyhold again. Every house "
            "that was served from the other one then begins a new epoch, in which devices send again what this server lacks; one of which "
            "backups were made meanwhile does not begin, and says how it goes back to one."
            if notes
            else " If it was put back on purpose: stop the other server, and start Honeyhold again."
        )
        super().__init__(
            f"Another server took over from this PostgreSQL, and what was written there is not here: it is on timeline {was}, and timeline "
            f"{now}, which came of it, was served from already.",
            f"Stop this server for good, or make it a standby of the one that took over; or correct the address.{back}",
        )


class Timelines:
    """The notes of one folder; without a folder they are kept in memory alone."""

    def __init__(self, folder: Path | None) -> None:
        self._notes = folder / FOLDER if folder is not None else None
        self._seen: dict[str, str] = {}
        """Where there is no folder, and what its disk did not take."""
        self._told = False

    def newest(self, system: str) -> str:
        """The highest timeline of a server that was ever served from; empty where there is none."""
        found = [self._seen.get(system, "")]
        if self._notes is not None:
            try:
                found += [one.name.rpartition("-")[2] for one in self._notes.iterdir() if one.name.rpartition("-")[0] == system]
            except FileNotFoundError:
                pass  # nothing was noted yet
            except OSError as trouble:
                self._tell(trouble)
        return max(found)

    def note(self, place: Place) -> None:
        """It is served from now. What the disk does not take this process remembers."""
        if self._notes is not None:
            try:
                self._notes.mkdir(mode=0o700, parents=True, exist_ok=True)
                (self._notes / f"{place.system}-{place.timeline}").touch(mode=0o600)
                return
            except OSError as trouble:
                self._tell(trouble)
        self._seen[place.system] = max(place.timeline, self._seen.get(place.system, ""))

    def is_left(self, place: Place) -> bool:
        """Whether another server has taken over from this one."""
        return self.newest(place.system) > place.timeline

    def must_be_the_newest(self, place: Place, note: bool = True) -> None:
        """Nobody took over from it; it is noted, where it is served from. Raises `OlderServer`."""
        newest = self.newest(place.system)
        if newest > place.timeline:
            raise OlderServer(place, newest, self._notes)
        if note:
            self.note(place)

    def _tell(self, trouble: OSError) -> None:
        if not self._told:
            self._told = True
            log.warning("Which database servers were served from cannot be noted or read; one that was left may serve: %s", trouble)
