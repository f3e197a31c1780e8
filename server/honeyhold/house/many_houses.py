"""The houses that one server keeps: opened when somebody asks for one, let go when nobody has for a while. Safe among threads."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Final, Protocol

from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House
from honeyhold.records.errors import NewerRecords, RecordsMovedOn, RecordsSilent
from honeyhold.records.house_register import ARRIVING, FROZEN, OPEN, HouseArriving, HouseFrozen, HouseRegister, Kept, UnknownHouse
from honeyhold.records.shared_database import HostedRecords, SharedDatabase

OPEN_MOST: Final = 1000
IDLE_S: Final = 900.0
"""An open house that nobody asked for so long is let go."""
OPENING_MOST: Final = 6
"""So many may wait for a house that is being opened; more would keep the threads from the other houses."""
LOOK_AGAIN_S: Final = 5.0
"""The register is read again when it was read longer ago than this: a house that was frozen is closed so soon at the latest."""


class StillOpening(HoneyholdError, RuntimeError):
    """The house is being opened, and as many wait for it as may."""

    code = "still-opening"
    status = 503

    def __init__(self, name: str) -> None:
        super().__init__(f"The house {name} is just being opened.", "Try again in a moment; nothing is lost.")
        self.wait_s = 1


class Beside(Protocol):
    """What somebody else keeps for a house for as long as it is open."""

    def end(self) -> None:
        """The house goes: what still listens to it ends."""


@dataclass(eq=False)
class Opened:
    """One house that is open, or just being opened."""

    name: str
    opening: threading.Lock = field(default_factory=threading.Lock)
    house: House | None = None
    beside: Beside | None = None
    users: int = 0
    used_at_s: float = 0.0


class Lease:
    """Holds a house open until it is given back; once more does nothing."""

    def __init__(self, houses: Houses, opened: Opened, quietly: bool = False) -> None:
        self._houses = houses
        self._quietly = quietly
        self._given_back = False
        self.opened = opened

    @property
    def house(self) -> House:
        """The house."""
        assert self.opened.house is not None
        return self.opened.house

    def again(self) -> Lease:
        """Another hold on the same house."""
        return self._houses.hold(self.opened)

    def leave(self) -> None:
        """Gives it back."""
        if not self._given_back:
            self._given_back = True
            self._houses.left(self.opened, self._quietly)


class Houses:
    """All houses of a database, of which some are open in this process."""

    def __init__(
        self, shared: SharedDatabase, data: Path, open_most: int = OPEN_MOST, idle_s: float = IDLE_S,
        now: Callable[[], datetime] | None = None, beside: Callable[[House], Beside] | None = None,
    ) -> None:
        """`data`: the folder in which each house has one of its own. `beside` makes what goes with a house while it is open."""
        self.when_opened: Callable[[str, House], None] = lambda _name, _house: None
        self.shared, self.data = shared, data
        self.register = HouseRegister(shared)
        self._open_most, self._idle_s, self._now, self._beside = open_most, idle_s, now, beside
        self._lock, self._reading = threading.Lock(), threading.Lock()
        self._opened: dict[str, Opened] = {}
        """The least recently asked for comes first."""
        self._known: dict[str, Kept] = {}
        self._known_at_s = float("-inf")

    def take(self, name: str, quietly: bool = False) -> Lease:
        """The house of this name, opened if need be; `quietly`: it is let go as if nobody had asked.

        Raises `UnknownHouse`, `HouseFrozen`, `HouseArriving`, and what `House.hosted` raises.
        """
        kept = self.kept(name)
        if kept.state == FROZEN:
            raise HouseFrozen(name)
        if kept.state == ARRIVING:
            raise HouseArriving(name)
        lease = Lease(self, self._entry(name, quietly), quietly)
        try:
            if lease.opened.house is None and lease.opened.users > OPENING_MOST:
                raise StillOpening(name)
            self._have_open(lease.opened, kept)
            if not _records_of(lease.opened).still_the_same():
                self._set_aside(lease.opened)
                lease.leave()
                return self.take(name, quietly)
        except BaseException:
            lease.leave()
            raise
        self._make_room()
        return lease

    @contextmanager
    def lent(self, name: str) -> Iterator[House]:
        """The same for as long as something is done with it."""
        lease = self.take(name)
        try:
            yield lease.house
        finally:
            lease.leave()

    def kept(self, name: str) -> Kept:
        """What the register says of a house, as it was read a moment ago. Raises `UnknownHouse`, `RecordsSilent`."""
        known = self.known()
        if name not in known:
            raise UnknownHouse(name)
        return known[name]

    def known(self) -> dict[str, Kept]:
        """All houses by name. Raises `RecordsSilent`."""
        late = time.monotonic() - self._known_at_s > LOOK_AGAIN_S
        if late and self._reading.acquire(blocking=not self._known):  # one reads; the others go by what is known
            try:
                self.read_register()
            except RecordsSilent:
                if not self._known:
                    raise  # otherwise what was known still holds; whoever asks for a house itself hears that the database is away
                self._known_at_s = time.monotonic()
            finally:
                self._reading.release()
        return self._known

    def read_register(self) -> None:
        """Reads it now: it has changed, or it was read long ago."""
        found = self.register.all()
        self._known, self._known_at_s = found, time.monotonic()

    def open_now(self) -> list[str]:
        """The names of the houses that are open here."""
        with self._lock:
            return [one.name for one in self._opened.values() if one.house is not None]

    def open_here(self, name: str) -> House | None:
        """The house of this name if it is open here; not held."""
        with self._lock:
            found = self._opened.get(name)
            return found.house if found else None

    def tidy(self) -> None:
        """Lets go of what nobody has asked for lately, or could be opened for nobody, and of what was frozen or is no longer kept."""
        known = self.known()
        with self._lock:
            gone = [one for one in self._opened.values() if one.name not in known or known[one.name].state != OPEN]
        for one in gone:
            if one.beside is not None:
                one.beside.end()
        late_s = time.monotonic() - self._idle_s
        with self._lock:
            idle = [one for one in self._opened.values() if not one.users and (one in gone or one.used_at_s < late_s)]
        self._let_go(idle)

    def close(self) -> None:
        """Closes all that are open; whoever still works in one hears that its records are gone."""
        with self._lock:
            opened, self._opened = list(self._opened.values()), {}
        for one in opened:
            _close(one)

    def hold(self, opened: Opened) -> Lease:
        """One more hold on an open house."""
        with self._lock:
            opened.users += 1
        return Lease(self, opened)

    def left(self, opened: Opened, quietly: bool) -> None:
        """One hold less."""
        with self._lock:
            opened.users -= 1
            if not quietly:
                opened.used_at_s = time.monotonic()
            over = opened.users == 0 and self._opened.get(opened.name) is not opened
        if over:
            _close(opened)

    def _entry(self, name: str, quietly: bool) -> Opened:
        with self._lock:
            found = self._opened.get(name) or self._opened.setdefault(name, Opened(name))
            found.users += 1
            if not quietly:
                self._opened[name] = self._opened.pop(name)  # the last asked for
                found.used_at_s = time.monotonic()
            return found

    def _have_open(self, opened: Opened, kept: Kept) -> None:
        with opened.opening:
            if opened.house is None:
                try:
                    house = House.hosted(self.data / kept.name, lambda: HostedRecords(self.shared, kept.owner), now=self._now)
                except NewerRecords as trouble:
                    raise RecordsMovedOn from trouble
                opened.beside = self._beside(house) if self._beside else None
                self.when_opened(kept.name, house)
                opened.house = house

    def _set_aside(self, opened: Opened) -> None:
        """It goes when its last user has left; whoever asks from now on gets it opened anew."""
        with self._lock:
            if self._opened.get(opened.name) is opened:
                del self._opened[opened.name]
        if opened.beside is not None:
            opened.beside.end()

    def _make_room(self) -> None:
        with self._lock:
            there = [one for one in self._opened.values() if one.house is not None]  # one that could not be opened takes nobody's place
            idle = [one for one in there if not one.users][: max(0, len(there) - self._open_most)]
        self._let_go(idle)

    def _let_go(self, some: list[Opened]) -> None:
        with self._lock:
            going = [one for one in some if not one.users and self._opened.get(one.name) is one]
            for one in going:
                del self._opened[one.name]
        for one in going:
            _close(one)


def _records_of(opened: Opened) -> HostedRecords:
    assert opened.house is not None and isinstance(opened.house.records, HostedRecords)
    return opened.house.records


def _close(opened: Opened) -> None:
    if opened.beside is not None:
        opened.beside.end()
    if opened.house is not None:
        opened.house.close()
