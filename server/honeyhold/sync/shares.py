"""Shares: what a device may promise alone. Two counters that only grow, and the pool that pays for them."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any, Final

from honeyhold.records.models import Balance, Demand, Device, DeviceState, Share
from honeyhold.records.store import Records
from honeyhold.sync.landing import HOUSE
from honeyhold.trade.shares import divide

IN_REACH_S = 90
"""A device heard from within this many seconds can be asked for something back."""

PLENTY_UNITS: Final = 5000
"""Beyond this much in the pool nothing is scarce (grams of bulk honey, mostly): an even part will do."""

DEMAND_DAYS = 14
DEMAND_FLOOR_PER_DAY = 0.5
"""A device that nobody has called yet is still thought to get a caller's few bars every other week or so."""


def pool_units(balance: dict[str, Any]) -> int:
    """What the house may still give out of one good: on hand - promised - what devices hold."""
    return int(balance["on_hand"]) - int(balance["promised"]) - int(balance["out"])


def pools(records: Records, goods: list[str] | None = None) -> dict[str, int]:
    """The pool of each good (of all goods if none are named)."""
    if goods is None:
        return dict(records.sql("SELECT good, on_hand - promised - out FROM balance").fetchall())
    return {row["good"]: pool_units(row) for row in records.dicts(Balance.select().where(Balance.good.in_(goods)))}


def counters(records: Records, device: str) -> dict[str, tuple[int, int]]:
    """`{good: (granted, spent)}` of one device."""
    found = records.sql("SELECT good, granted, spent FROM share WHERE device = ?", device).fetchall()
    return {good: (granted, spent) for good, granted, spent in found}


def grant(records: Records, device: str, good: str, units: int) -> None:
    """Raises what the device was granted; the pool pays in the same transaction (the giver debits first)."""
    assert units > 0, f"a grant of {units}"
    records.sql(
        "INSERT INTO share (device, good, granted, spent) VALUES (?, ?, ?, 0) "
        "ON CONFLICT (device, good) DO UPDATE SET granted = granted + excluded.granted",
        device, good, units,
    )  # fmt: skip
    records.sql("UPDATE balance SET out = out + ? WHERE good = ?", units, good)


def spend(records: Records, device: str, spent: dict[str, int]) -> None:
    """Counts what an entry took from its device's share.

    A device that took more than it was ever granted (only a restored house or a fault can bring that about) is granted
    the rest on the spot, so that both counters stay equal on both sides; the pool pays, and whoever called decides
    whether the pool could afford it.
    """
    if device == HOUSE or not spent:
        return
    held = counters(records, device)
    for good, units in spent.items():
        if records.sql("SELECT 1 FROM balance WHERE good = ?", good).fetchone() is None:
            continue
        granted, before = held.get(good, (0, 0))
        if units > granted - before:
            grant(records, device, good, units - (granted - before))
        records.sql("UPDATE share SET spent = spent + ? WHERE device = ? AND good = ?", units, device, good)
        records.sql("UPDATE balance SET out = out - ? WHERE good = ?", units, good)


def write_off(records: Records, device: str) -> None:
    """A lost device's unspent share returns to the pool: the house counts it as spent."""
    for good, (granted, spent) in counters(records, device).items():
        if granted > spent:
            spend(records, device, {good: granted - spent})


def note_demand(records: Records, device: str, today: str, wanted: dict[str, int]) -> None:
    """Remembers that one caller wanted so many units of each good of this device today."""
    for good, units in wanted.items():
        records.sql(
            'INSERT INTO demand (device, good, "on", units, callers) VALUES (?, ?, ?, ?, 1) '
            'ON CONFLICT (device, good, "on") DO UPDATE SET units = units + excluded.units, callers = callers + 1',
            device, good, today, units,
        )  # fmt: skip


def divide_among(
    records: Records, device: str, wants: dict[str, int], callers: dict[str, int], now: datetime, today: date
) -> tuple[dict[str, int], dict[str, dict[str, int]]]:
    """(grants for the device that asks now, {device: {good: units}} the house would like back).

    `wants` is what it would like to hold, `callers` what it needs for a caller on the line; `honeyhold.trade.shares.divide`
    decides. Nothing is granted beyond the pool whatever that answers.
    """
    grants: dict[str, int] = {}
    ask_back: dict[str, dict[str, int]] = {}
    held = counters(records, device)
    wished = {good: max(wants.get(good, 0), callers.get(good, 0)) for good in {**wants, **callers}}
    known = pools(records, list(wished))
    for good in sorted(known):
        granted, spent = held.get(good, (0, 0))
        lack = wished[good] - (granted - spent)
        if lack <= 0:
            continue
        answer = _division(records, device, good, known[good], wished[good], callers.get(good, 0), now, today)
        units = min(answer["grants"].get(device, 0), known[good], lack)
        if units > 0:
            grants[good] = units
        for giver, back in answer["ask_back"].items():
            ask_back.setdefault(giver, {})[good] = back
    return grants, ask_back


def owed_back(records: Records, device: str) -> dict[str, int]:
    """What this device holds of goods whose pool is below nothing: asked for, never seized."""
    held = {good: granted - spent for good, (granted, spent) in counters(records, device).items() if granted > spent}
    missing = {good: -units for good, units in pools(records, list(held)).items() if units < 0}
    return {good: min(held[good], units) for good, units in missing.items()}


def _division(
    records: Records, device: str, good: str, pool: int, want: int, caller: int, now: datetime, today: date
) -> dict[str, dict[str, int]]:
    shares = {row["device"]: row for row in records.dicts(Share.select().where(Share.good == good))}
    lost = {row["id"] for row in records.dicts(Device.select(Device.id).where(Device.lost == True))}  # noqa: E712
    states = [row for row in records.dicts(DeviceState.select().where(DeviceState.id != HOUSE)) if row["id"] not in lost]
    if pool > PLENTY_UNITS:
        return {"grants": {device: min(want, pool // (len(states) + 1))}, "ask_back": {}}
    devices = [_seen(records, state, good, shares.get(state["id"]), device, now, today) for state in states]
    request = {"pool_units": pool, "devices": devices, "wants": {device: want}}
    return divide({**request, "callers": {device: caller}} if caller else request)


def _seen(
    records: Records, state: dict[str, Any], good: str, share: dict[str, Any] | None, asking: str, now: datetime, today: date
) -> dict[str, Any]:
    since = (today - timedelta(days=DEMAND_DAYS)).isoformat()
    where = (Demand.device == state["id"]) & (Demand.good == good) & (Demand.on >= since)
    units = sum(row["units"] for row in records.dicts(Demand.select(Demand.units).where(where)))
    seen_at = state["seen_at"]
    in_reach = state["id"] == asking or (
        seen_at is not None and (now - datetime.fromisoformat(seen_at)).total_seconds() < IN_REACH_S
    )
    return {
        "id": state["id"], "in_reach": in_reach and not state["frozen"],
        "share_units_left": share["granted"] - share["spent"] if share else 0,
        "demand_units_per_day": max(DEMAND_FLOOR_PER_DAY, units / DEMAND_DAYS),
        "gap_days": min(366.0, max(1 / 24, state["gap_s"] / 86400)),
    }
