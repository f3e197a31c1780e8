"""Allocation: of what is free, how much each device may promise alone, decided anew at every exchange."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any, Final

from honeyhold.operations.allocations import counters, pools
from honeyhold.operations.context import HOUSE
from honeyhold.records.models import DeviceState, Good
from honeyhold.records.store import Records
from honeyhold.replication.sessions import Session, Sessions
from honeyhold.stock.allocation import divide

PLENTY_UNITS: Final = 5000
"""Beyond this much in the pool nothing is scarce (grams of bulk honey, mostly): an even part will do."""

DEMAND_DAYS = 14
SIZES_OF_ORDERS: Final = 100
"""So many of a good's last orders tell how much callers want at once."""

SIZES_ENOUGH: Final = 8
SIZE_MAX_UNITS: Final = 1000
GAP_STEP_S: Final = 900

USUAL_BARS: Final = {"5": 6, "10": 4}
USUAL_OTHERS: Final = {"1": 5, "2": 4, "4": 1}
"""What callers want at once of bars and of other goods until the house has its own record (common practice, no source)."""

DEMAND_FLOOR_PER_DAY = 0.5
"""A device that nobody has called yet is still thought to get a caller's few bars every other week or so."""


def divide_among(
    records: Records, sessions: Sessions, device: str, now: datetime, today: date
) -> tuple[dict[str, int], dict[str, dict[str, int]]]:
    """(grants for the device that speaks now, {good: {device: units}} to be given back, by whomever in reach holds it).

    Every device in reach is looked at with what it said last, so nothing that a caller waits for is handed to another for
    a mere wish; `honeyhold.stock.allocation.divide` decides. Nothing is granted beyond the pool whatever that answers.
    """
    grants: dict[str, int] = {}
    asked_back: dict[str, dict[str, int]] = {}
    heard = sessions.heard_in_reach(now)
    waiting = waiting_units(records)
    goods = {good for session in heard.values() for good in {**session.wants, **session.callers}} | set(waiting)
    house = _House(records, sessions, device, heard, waiting, now, today)
    for good, pool in sorted(pools(records, list(goods)).items()):
        if pool > PLENTY_UNITS:
            units = house.even_part(good, pool)
            answer: dict[str, dict[str, int]] = {"grants": {device: units} if units > 0 else {}, "ask_back": {}}
        else:
            answer = house.division(good, pool)
        units = min(answer["grants"].get(device, 0), pool)
        if units > 0:
            grants[good] = units
        asked_back[good] = answer["ask_back"]
    return grants, asked_back


def waiting_units(records: Records) -> dict[str, int]:
    """Units by good that orders wait for."""
    return dict(records.sql("SELECT good, SUM(waits) FROM line WHERE waits > 0 GROUP BY good").fetchall())


def owed_back(records: Records, device: str) -> dict[str, int]:
    """What this device holds of goods whose pool is below nothing: asked for, never seized."""
    held = {good: granted - spent for good, (granted, spent) in counters(records, device).items() if granted > spent}
    missing = {good: -units for good, units in pools(records, list(held)).items() if units < 0}
    return {good: min(held[good], units) for good, units in missing.items()}


class _House:
    """One look at all devices, for every good in turn; what is the same for all goods is read once."""

    def __init__(
        self, records: Records, sessions: Sessions, device: str, heard: dict[str, Session], waiting: dict[str, int],
        now: datetime, today: date,
    ) -> None:  # fmt: skip
        self.records, self.sessions, self.device = records, sessions, device
        self.heard, self.waiting, self.now = heard, waiting, now
        lost = {name for (name,) in records.sql("SELECT id FROM device WHERE lost").fetchall()}
        states = records.rows_where(DeviceState, "id <> ?", HOUSE)
        self.states = [state for state in states if state["id"] not in lost]
        self.demand = _demand(records, (today - timedelta(days=DEMAND_DAYS)).isoformat())
        self.held: dict[tuple[str, str], int] = {
            (name, good): left for name, good, left in records.sql("SELECT device, good, granted - spent FROM share").fetchall()
        }
        self.answering = self._answering_device()

    def even_part(self, good: str, pool: int) -> int:
        """Of what is not scarce, as much as the device that speaks wishes, and at most an even part."""
        mine = self.heard.get(self.device)
        wished = max(mine.wants.get(good, 0), mine.callers.get(good, 0)) if mine else 0
        return min(wished - self.held.get((self.device, good), 0), pool // (len(self.states) + 1))

    def division(self, good: str, pool: int) -> dict[str, dict[str, int]]:
        """What `divide` says of one good; asked again only when something that matters has changed."""
        request = self._request(good, pool)
        asked = repr(request)
        answer = self.sessions.division(good, asked)
        if answer is None:
            answer = divide(request)
            self.sessions.keep_division(good, asked, answer)
        return answer  # type: ignore[no-any-return]

    def _request(self, good: str, pool: int) -> dict[str, Any]:
        heard = sorted(self.heard.items())
        request: dict[str, Any] = {
            "pool_units": pool, "devices": [self._seen(state, good) for state in self.states],
            "wants": {name: session.wants[good] for name, session in heard if good in session.wants},
            "callers": {name: session.callers[good] for name, session in heard if good in session.callers},
            "waiting_units": self.waiting.get(good, 0), "resting": sorted(self.sessions.resting(good, self.now)),
        }
        known = {row["id"] for row in request["devices"]}
        for asked in ("wants", "callers"):
            request[asked] = {name: units for name, units in request[asked].items() if name in known}
        return {**request, "answering_device": self.answering} if self.answering in known else request

    def _seen(self, state: dict[str, Any], good: str) -> dict[str, Any]:
        units = self.demand.get((state["id"], good), (0, 0))[0]
        return {
            "id": state["id"], "in_reach": state["id"] in self.heard and not state["frozen"],
            "share_units_left": max(0, self.held.get((state["id"], good), 0)),
            "demand_units_per_day": max(DEMAND_FLOOR_PER_DAY, units / DEMAND_DAYS),
            # whole quarters of an hour: a gap that drifts by seconds must not move a bar
            "gap_days": min(366.0, max(1, round(state["gap_s"] / GAP_STEP_S)) * GAP_STEP_S / 86400),
            "order_sizes": self._order_sizes(good),
        }

    def _order_sizes(self, good: str) -> dict[str, int]:
        sizes = self.sessions.order_sizes(good, self.now)
        if sizes is None:
            sizes = read_order_sizes(self.records, good)
            self.sessions.keep_order_sizes(good, sizes, self.now)
        return sizes

    def _answering_device(self) -> str:
        """Where the telephone rings: the device that took most callers lately, of equals the first that joined."""
        callers: dict[str, int] = {}
        for (name, _), (_, count) in self.demand.items():
            callers[name] = callers.get(name, 0) + count
        marks = {name: (len(mark), mark) for name, mark in self.records.sql("SELECT id, mark FROM device").fetchall()}
        names = [state["id"] for state in self.states if not state["frozen"]]
        return min(names, key=lambda name: (-callers.get(name, 0), marks.get(name, (99, ""))), default="")


def _demand(records: Records, since: str) -> dict[tuple[str, str], tuple[int, int]]:
    """(units, callers) by device and good from that day on."""
    rows = records.sql(
        'SELECT device, good, SUM(units), SUM(callers) FROM demand INDEXED BY demand_by_day WHERE "on" >= ? GROUP BY device, good', since
    ).fetchall()
    return {(device, good): (units, callers) for device, good, units, callers in rows}


def read_order_sizes(records: Records, good: str) -> dict[str, int]:
    """`{units: how often}` of a good's last orders; until there are enough, the usual ones of the trade stand in."""
    rows = records.sql("SELECT units FROM line WHERE good = ? AND units > 0 ORDER BY rowid DESC LIMIT ?", good, SIZES_OF_ORDERS)
    counted: dict[str, int] = {}
    for (units,) in rows.fetchall():
        counted[str(min(units, SIZE_MAX_UNITS))] = counted.get(str(min(units, SIZE_MAX_UNITS)), 0) + 1
    if sum(counted.values()) >= SIZES_ENOUGH:
        return dict(sorted(counted.items()))
    row = records.row(Good, good)
    return USUAL_BARS if row and row["kind"] == "wax" and row["row"] >= 10 else USUAL_OTHERS
