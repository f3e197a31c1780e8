"""What devices in reach said last: what they would like to hold, and who has a caller on the line.

It lives in memory and only steers who is offered what; the counters of `shares` alone say what may be promised. A
restart forgets it, and every device says it again at its next exchange.

Where several processes serve a house, each tells the others what it hears (`tell`, `hear_elsewhere`): so each steers by all devices, some
milliseconds late. What a process that was just started has not heard, devices say again within a minute.

Calls are a level, not an edge: as long as a caller waits, every device that holds what is missing is told so whenever
it speaks; the bell is rung for a device only when it is to give more than it was last rung for. So an ask can neither
be missed by a device that was asleep, nor keep everybody exchanging for ever.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

Units = dict[str, int]

IN_REACH_S: Final = 90
"""A device heard from within this many seconds can be asked for something back, and its caller is still believed."""

REST_S: Final = 600
"""Who gave a good back is not given it again for a mere wish, nor asked for it for one, for so long: nothing goes round in circles."""

SIZES_KEPT_S: Final = 3600
"""How long the sizes of a good's orders are believed before they are read again."""


@dataclass(frozen=True)
class Session:
    """One device as it was last heard."""

    seen_at: datetime
    wants: Units = field(default_factory=dict)
    callers: Units = field(default_factory=dict)


class Sessions:
    """All devices' sessions of one house. Used inside its writes only, so by one thread at a time."""

    def __init__(self) -> None:
        self._by_device: dict[str, Session] = {}
        self._returned_at: dict[tuple[str, str], datetime] = {}
        self._rung: dict[str, Units] = {}
        self._sizes: dict[str, tuple[datetime, Any]] = {}
        self._divisions: dict[str, tuple[str, Any]] = {}
        self._elsewhere: dict[str, Session] = {}
        self._returned_elsewhere: dict[tuple[str, str], datetime] = {}
        self._hearing = threading.Lock()
        """Over what was heard elsewhere and not taken in yet: of each device the newest, so a house nobody writes into gathers no heap."""
        self.tell: Callable[[str, Session | Units, datetime], None] = lambda _device, _said, _now: None
        """Called with what a device said here: its session, or which goods it gave back."""

    def hear_elsewhere(self, device: str, said: Session | Units, at: datetime) -> None:
        """The same from another process; from any thread, it is taken in at the next write."""
        with self._hearing:
            if not isinstance(said, Session):
                self._returned_elsewhere.update({(device, good): at for good in said})
            elif _is_newer(said, self._elsewhere.get(device)):
                self._elsewhere[device] = said

    def _take_in(self) -> None:
        with self._hearing:
            heard, self._elsewhere = self._elsewhere, {}
            returned, self._returned_elsewhere = self._returned_elsewhere, {}
        self._returned_at.update(returned)
        self._by_device.update({device: said for device, said in heard.items() if _is_newer(said, self._by_device.get(device))})

    def hear(self, device: str, wants: Units, callers: Units, now: datetime) -> None:
        """The device speaks: what it says replaces what it said before."""
        self._take_in()
        self._by_device[device] = Session(now, dict(wants), {good: units for good, units in callers.items() if units > 0})
        self.tell(device, self._by_device[device], now)

    def forget(self, device: str) -> None:
        """The device was declared lost."""
        self._by_device.pop(device, None)

    def seen_at(self, device: str) -> datetime | None:
        """When it last spoke since this house was started."""
        self._take_in()
        session = self._by_device.get(device)
        return session.seen_at if session else None

    def heard_in_reach(self, now: datetime) -> dict[str, Session]:
        """The sessions that still count."""
        self._take_in()
        return {
            device: session for device, session in self._by_device.items()
            if (now - session.seen_at).total_seconds() < IN_REACH_S
        }  # fmt: skip

    def returned(self, device: str, goods: Units, now: datetime) -> None:
        """The device gave some of these goods back."""
        self._gave_back(device, goods, now)
        self.tell(device, dict(goods), now)

    def _gave_back(self, device: str, goods: Units, at: datetime) -> None:
        for good in goods:
            self._returned_at[device, good] = at

    def resting(self, good: str, now: datetime) -> set[str]:
        """Devices that gave this good back a short while ago."""
        self._returned_at = {
            key: moment for key, moment in self._returned_at.items() if (now - moment).total_seconds() < REST_S
        }  # fmt: skip
        return {device for device, one in self._returned_at if one == good}

    def must_ring(self, good: str, asked_back: Units) -> bool:
        """Whether somebody is to give more of a good than it was last rung for; remembers what is asked now."""
        before = self._rung.get(good, {})
        self._rung[good] = asked_back
        return any(units > before.get(device, 0) for device, units in asked_back.items())

    def order_sizes(self, good: str, now: datetime) -> dict[str, int] | None:
        """The sizes of a good's orders if they were read a short while ago."""
        read_at, sizes = self._sizes.get(good, (None, None))
        return sizes if read_at is not None and (now - read_at).total_seconds() < SIZES_KEPT_S else None

    def keep_order_sizes(self, good: str, sizes: dict[str, int], now: datetime) -> None:
        """Keeps them for a while."""
        self._sizes[good] = (now, sizes)

    def division(self, good: str, asked: str) -> Any:
        """The last division of a good, if it was of the very same request; most exchanges change nothing."""
        before, answer = self._divisions.get(good, ("", None))
        return answer if before == asked else None

    def keep_division(self, good: str, asked: str, answer: Any) -> None:
        """Keeps it until the request changes."""
        self._divisions[good] = (asked, answer)


def _is_newer(said: Session, before: Session | None) -> bool:
    return before is None or before.seen_at <= said.seen_at
