"""Invented weeks of calls, played by devices on a real house: what dividing the bars costs as it ships.

The same calls as `tests/stock/week_of_calls.py`, but the bars are held by `honeyhold.house.House` and moved by its exchange,
with what devices really send and the house really knows: wishes, callers on the line, demand as it was noted, gaps as they
were measured. Two weeks go before that are not counted, so that the house has its record.
"""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

from demo_seed.client.device import DeviceClient
from tests.stock.week_of_calls import WEEK_DAYS, Device, by_counter, week_events

from honeyhold.house.house import House
from quick_disk import QUICK_DISK

BEGIN = datetime(2026, 7, 6, 12, tzinfo=UTC)
WARM_UP_WEEKS = 2
GOOD = "bar"
WISH = 10_000
SETTLE_ROUNDS_MAX = 20


class Weeks:
    """One house that lives through weeks; each begins with the same number of free bars and everybody in reach."""

    def __init__(self, folder: Path, devices: list[Device]) -> None:
        self.now = BEGIN
        self.house = House.open(folder, now=lambda: self.now)
        self.house.write("set_good", [{"table": "good", "id": GOOD, "name": "wax bar", "kind": "wax", "price_cents": 300, "row": 10}])
        self.hands = {device.id: DeviceClient.enrol(self.house, device.id) for device in devices}
        self.in_reach = dict.fromkeys(self.hands, True)
        self.callers: dict[str, int] = {}
        self.person = self.hands[devices[0].id].note_person(name="Somebody")
        self.entries_given_back = 0

    def close(self) -> None:
        """Lets the records go."""
        self.house.close()

    def stock(self, free: int) -> None:
        """Brings the free bars to so many: bought in, or counted down where the weeks before left more."""
        with self.house.records.read():
            (left,) = self.house.records.sql("SELECT coalesce(sum(on_hand - promised), 0) FROM balance WHERE good = ?", GOOD).fetchone()
        if free == left:
            return
        kind, reason = ("buy", "bought") if free > left else ("count", "counted")
        row = {
            "table": "movement", "id": str(uuid4()), "good": GOOD, "lot": None, "units": free - left, "reason": reason,
            "on": f"{self.now:%Y-%m-%d}",
        }  # fmt: skip
        self.house.write(kind, [row])

    def settle(self) -> None:
        """Everybody in reach speaks, and again at every bell, as the browser does."""
        for _ in range(SETTLE_ROUNDS_MAX):
            rings = self.house.news.rings
            for name, hand in self.hands.items():
                if self.in_reach[name]:
                    self._speak(name, hand)
            if self.house.news.rings == rings:
                return
        raise AssertionError("the house does not come to rest")

    def _speak(self, name: str, hand: DeviceClient) -> None:
        calling = {GOOD: self.callers[name]} if name in self.callers else {}
        answer = hand.exchange(wants={GOOD: WISH}, callers=calling)
        back = min(answer["ask_back"].get(GOOD, 0), hand.share(GOOD) - calling.get(GOOD, 0))
        if back > 0:
            hand.give_back({GOOD: back})
            self.entries_given_back += 1

    def _polled(self) -> None:
        """Who is in reach has spoken every minute with nothing new; only the house's memory of it is kept up here, for speed."""
        for name, hand in self.hands.items():
            if self.in_reach[name]:
                self.house.sessions.hear(hand.identity["device"], {GOOD: WISH}, {}, self.now - timedelta(seconds=30))

    def call(self, name: str, units: int) -> bool:
        """A caller wants all or nothing; asked for at once when the house is in reach."""
        hand = self.hands[name]
        if hand.share(GOOD) < units and self.in_reach[name]:
            self.callers = {name: units}
            self.settle()
            self.callers = {}
        if hand.share(GOOD) < units:
            return False
        hand.promise([(GOOD, units)], person=self.person)
        return True

    def week(self, events: list[tuple[float, str, str, int]], stock: int) -> int:
        """Bars promised in one week."""
        begin, taken = self.now, 0
        self.in_reach = dict.fromkeys(self.hands, True)
        self.settle()
        self.stock(stock)
        self.settle()
        for day, what, name, units in events:
            self.now = begin + timedelta(days=day)
            self._polled()
            if what == "call":
                self.settle()  # who is in reach has spoken within the minute
                taken += units if self.call(name, units) else 0
            else:
                self.in_reach[name] = what == "in"
            self.settle()
        self.now = begin + timedelta(days=WEEK_DAYS)
        return taken


def as_shipped(devices: list[Device], stock: int, weeks: int, seed: int) -> dict[str, int]:
    """Bars promised over `weeks` weeks by one shared counter and by the house, and the entries that gave bars back."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        life = Weeks(Path(folder) / "house", devices)
        sums = {"counter": 0, "shipped": 0, "given_back": 0}
        for number in range(-WARM_UP_WEEKS, weeks):
            events = week_events(devices, seed + number)
            taken = life.week(events, stock if number >= 0 else max(stock, 200))
            if number < 0:
                life.entries_given_back = 0
                continue
            sums["counter"] += by_counter(events, stock)
            sums["shipped"] += taken
        life.close()
        return {**sums, "given_back": life.entries_given_back}
