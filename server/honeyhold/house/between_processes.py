"""What processes that serve the same houses tell each other: that something landed, what devices said last, that the register changed.

It goes over the database (NOTIFY), and only after a commit: a notice inside of a transaction holds a lock of the whole server until that is
committed. So all that came together within a moment goes in one statement. None of it is needed to be right, for the records are: a process
that ends between a commit and its notice leaves the streams of other processes asleep until their device asks by itself, within a minute.
"""

from __future__ import annotations

import json
import logging
import secrets
import threading
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Final, Protocol

import psycopg

from honeyhold.house.house import House
from honeyhold.records.house_register import CHANGED
from honeyhold.records.shared_database import SharedDatabase
from honeyhold.replication.sessions import IN_REACH_S, Session, Units

ABOUT_NEWS: Final = "honeyhold_news"
TOGETHER_S: Final = 0.01
"""So long what comes is gathered before it goes."""
BYTES_MOST: Final = 7900
"""PostgreSQL takes up to 8,000 in a notice."""
AGAIN_AFTER: Final = timedelta(seconds=IN_REACH_S / 3)
"""What a device says again and again is told again so often: others believe it for three times as long."""
LOOK_S: Final = 1.0
TRY_AGAIN_S: Final = 0.5

log = logging.getLogger("honeyhold")


class Told(Protocol):
    """Who hears what other processes say."""

    def open_here(self, name: str) -> House | None:
        """A house, where it is open in this process."""

    def open_now(self) -> list[str]:
        """Those that are."""

    def read_register(self) -> None:
        """The register has changed."""


@dataclass
class Letter:
    """What is told of one house at once."""

    position: int | None = None
    sessions: dict[str, Session] = field(default_factory=dict)
    returned: list[tuple[str, Units, datetime]] = field(default_factory=list)

    def followed_by(self, later: Letter | None) -> Letter:
        """Both in one."""
        if later is None:
            return self
        position = max((one for one in (self.position, later.position) if one is not None), default=None)
        return Letter(position, {**self.sessions, **later.sessions}, [*self.returned, *later.returned])

    def written(self, sender: str, house: str) -> str:
        """As it travels; what devices said is left out where it is too long to go with the rest."""
        told: dict[str, Any] = {"from": sender, "house": house, "position": self.position}
        said = {
            "sessions": [[device, one.seen_at.isoformat(), one.wants, one.callers] for device, one in self.sessions.items()],
            "returned": [[device, goods, at.isoformat()] for device, goods, at in self.returned],
        }
        whole = json.dumps({**told, **said}, separators=(",", ":"))
        return whole if len(whole.encode()) <= BYTES_MOST else json.dumps(told)


class BetweenProcesses:
    """Tells and hears, by a thread for each; `join` a house when it is opened."""

    def __init__(self, shared: SharedDatabase, houses: Told) -> None:
        self._shared, self._houses = shared, houses
        self._sender = secrets.token_hex(8)
        self._changed = threading.Condition()
        self._letters: dict[str, Letter] = {}
        self._ending = threading.Event()
        self.listening = threading.Event()
        """Set once this process hears the others."""
        self._threads = [
            threading.Thread(target=self._send, name="news out", daemon=True),
            threading.Thread(target=self._listen, name="news in", daemon=True),
        ]

    def start(self) -> None:
        """Begins to tell and to hear."""
        for thread in self._threads:
            thread.start()

    def stop(self, wait_s: float = 5.0) -> None:
        """What was to be told is told first."""
        self._ending.set()
        with self._changed:
            self._changed.notify_all()
        for thread in self._threads:
            if thread.is_alive():
                thread.join(wait_s)

    def join(self, name: str, house: House) -> None:
        """From now on what happens in this house here is told."""
        last: dict[str, Session] = {}

        def landed(position: int) -> None:
            with self._changed:
                letter = self._letter(name)
                letter.position = max(position, letter.position or 0)

        def said(device: str, what: Session | Units, at: datetime) -> None:
            if not isinstance(what, Session):
                with self._changed:
                    self._letter(name).returned.append((device, what, at))
            elif _is_news(last.get(device), what):
                last[device] = what
                with self._changed:
                    self._letter(name).sessions[device] = what

        house.news.tell, house.sessions.tell = landed, said

    def _letter(self, name: str) -> Letter:
        self._changed.notify_all()
        return self._letters.setdefault(name, Letter())

    def _send(self) -> None:
        while self._wait_for_letters():
            try:
                anchor = self._shared.anchor_number()
                with self._shared.alone(autocommit=True) as connection:
                    while self._wait_for_letters() and self._shared.anchor_number() == anchor:  # else others hear at another server
                        self._ending.wait(TOGETHER_S)
                        self._send_all(connection)
            except psycopg.Error as trouble:  # the records have it; devices ask by the minute
                log.warning("Other processes could not be told what is new: %s", trouble)
                if self._ending.is_set():
                    return
                self._ending.wait(TRY_AGAIN_S)

    def _send_all(self, connection: psycopg.Connection[Any]) -> None:
        letters = self._gathered()
        told = [letter.written(self._sender, name) for name, letter in letters.items()]
        try:
            connection.execute("SELECT pg_notify(%s, told) FROM unnest(%s::text[]) AS told", (ABOUT_NEWS, told))
        except psycopg.Error:
            with self._changed:  # they go with the next; what was said since is the newer
                for name, letter in letters.items():
                    self._letters[name] = letter.followed_by(self._letters.get(name))
            raise

    def _wait_for_letters(self) -> bool:
        """Whether there is something to tell; no more after the end."""
        with self._changed:
            while not self._letters and not self._ending.is_set():
                self._changed.wait()
            return bool(self._letters)

    def _gathered(self) -> dict[str, Letter]:
        with self._changed:
            letters, self._letters = self._letters, {}
        return letters

    def _listen(self) -> None:
        while not self._ending.is_set():
            try:
                anchor = self._shared.anchor_number()
                with self._shared.alone(autocommit=True) as connection:
                    connection.execute(f"LISTEN {ABOUT_NEWS}")
                    connection.execute(f"LISTEN {CHANGED}")
                    self.listening.set()
                    self._catch_up()
                    self._hear(connection, anchor)
            except Exception as trouble:  # the database is away, or a notice is not ours: listening goes on
                if not self._ending.is_set():
                    log.warning("News of other processes are not heard just now: %s", trouble)
            self._ending.wait(TRY_AGAIN_S)

    def _hear(self, connection: psycopg.Connection[Any], anchor: int) -> None:
        """Until the end, or until the process went over to another server, where the others speak now."""
        while not self._ending.is_set() and self._shared.anchor_number() == anchor:
            for about, text, _process in connection.notifies(timeout=LOOK_S, stop_after=1):
                if about == CHANGED:
                    self._houses.read_register()
                else:
                    self._take(json.loads(text))

    def _take(self, told: dict[str, Any]) -> None:
        house = None if told["from"] == self._sender else self._houses.open_here(told["house"])
        if house is None:
            return
        for device, seen_at, wants, callers in told.get("sessions", ()):
            at = datetime.fromisoformat(seen_at)
            house.sessions.hear_elsewhere(device, Session(at, wants, callers), at)
        for device, goods, at in told.get("returned", ()):
            house.sessions.hear_elsewhere(device, goods, datetime.fromisoformat(at))
        if told["position"] is not None:
            house.news.ring_here(told["position"])

    def _catch_up(self) -> None:
        """Whatever landed while nobody listened: every stream looks again."""
        self._houses.read_register()
        for name in self._houses.open_now():
            house = self._houses.open_here(name)
            with suppress(Exception):  # it is being let go, or the database is away again
                if house is not None:
                    house.news.ring_here(house.position())


def _is_news(before: Session | None, now: Session) -> bool:
    same = before is not None and (before.wants, before.callers) == (now.wants, now.callers)
    return not same or before is None or now.seen_at - before.seen_at >= AGAIN_AFTER
