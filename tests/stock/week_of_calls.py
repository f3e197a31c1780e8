"""An invented week of calls to a honey house, to see what dividing the bars costs against one counter for
all.

Every device goes in and out of reach; callers ring as a Poisson stream and want five or ten bars, all or
nothing. Three ways to hold the bars meet the very same calls:

* `counter`: one shared counter that every device can always reach (it cannot be had in a shed; it is the best
there is),
* `divided`: honeyhold.stock.allocation.divide,
* `even`: at every meeting the reachable bars are split evenly among the devices in reach,
* `fixed`: every device got the same number on Monday and keeps to it.

Reachable devices help each other in `divided` and `even` alike: a caller on the line may take from all of
them.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from honeyhold.stock.allocation import divide

SIZES = {"5": 0.6, "10": 0.4}
WEEK_DAYS = 7.0


@dataclass(frozen=True)
class Device:
    id: str
    units_per_day: float
    gap_days: float
    reach_days: float


# The shed's phone is answered most and rarely hears the house; the tablet hangs in the kitchen.
HOUSES = {
    2: [Device("shed", 6, 0.8, 0.4), Device("tablet", 3, 0.1, 1.5)],
    3: [Device("shed", 5, 0.8, 0.4), Device("tablet", 2, 0.1, 1.5), Device("van", 2, 1.5, 0.3)],
    5: [
        Device("shed", 4, 0.8, 0.4),
        Device("tablet", 2, 0.1, 1.5),
        Device("van", 1.5, 1.5, 0.3),
        Device("market", 1, 2.0, 0.3),
        Device("office", 0.5, 0.2, 1.0),
    ],
}


def week_events(devices: list[Device], seed: int) -> list[tuple[float, str, str, int]]:
    """(day, what, device, units), what being `call`, `out` or `in`; every device starts the week in reach."""
    dice = random.Random(seed)
    events: list[tuple[float, str, str, int]] = []
    for device in devices:
        day, here = 0.0, True
        while True:
            day += dice.expovariate(1 / (device.reach_days if here else device.gap_days))
            if day >= WEEK_DAYS:
                break
            here = not here
            events.append((day, "in" if here else "out", device.id, 0))
        day = 0.0
        while True:
            day += dice.expovariate(device.units_per_day / 7.0)  # 7 units is the mean order
            if day >= WEEK_DAYS:
                break
            events.append((day, "call", device.id, 5 if dice.random() < 0.6 else 10))
    return sorted(events)


class House:
    """Bars in the pool and in shares, and who is in reach."""

    def __init__(self, devices: list[Device], stock: int) -> None:
        self.devices = devices
        self.pool = stock
        self.share = {device.id: 0 for device in devices}
        self.in_reach = {device.id: True for device in devices}
        self.taken = 0
        self.moved = 0

    def rows(self) -> list[dict[str, object]]:
        return [
            {
                "id": d.id,
                "in_reach": self.in_reach[d.id],
                "share_units_left": self.share[d.id],
                "demand_units_per_day": d.units_per_day,
                "gap_days": d.gap_days,
                "order_sizes": SIZES,
            }
            for d in self.devices
        ]

    def apply(self, moves: dict[str, dict[str, int]]) -> bool:
        for device, units in moves["ask_back"].items():
            self.share[device] -= units
            self.pool += units
            self.moved += units
        for device, units in moves["grants"].items():
            self.share[device] += units
            self.pool -= units
            self.moved += units
        assert self.pool >= 0 and min(self.share.values()) >= 0
        return bool(moves["ask_back"] or moves["grants"])

    def take(self, device: str, units: int) -> bool:
        if self.share[device] < units:
            return False
        self.share[device] -= units
        self.taken += units
        return True


def by_division(house: House, caller: dict[str, int]) -> None:
    wants = {d.id: 1000 for d in house.devices if house.in_reach[d.id]}
    for _ in range(4):
        request = {
            "pool_units": house.pool,
            "devices": house.rows(),
            "wants": wants,
            "callers": caller,
            "answering_device": house.devices[0].id,
        }
        if not house.apply(divide(request)):
            return
    raise AssertionError("the division does not settle")


def by_even_split(house: House, caller: dict[str, int]) -> None:
    here = [d.id for d in house.devices if house.in_reach[d.id]]
    if not here:
        return
    units = house.pool + sum(house.share[d] for d in here)
    for name in here:
        house.share[name] = 0
    for name, wanted in caller.items():
        house.share[name] = min(wanted, units)
        units -= house.share[name]
    for place, name in enumerate(here):
        house.share[name] += units // len(here) + (place < units % len(here))
    house.pool = 0


def nothing_moves(house: House, caller: dict[str, int]) -> None:
    return None


def units_taken(
    events: list[tuple[float, str, str, int]], house: House, meet: Callable[[House, dict[str, int]], None]
) -> int:
    """Bars sold in the week when the reachable devices meet in the way `meet`."""
    meet(house, {})
    for _, what, device, units in events:
        if what != "call":
            house.in_reach[device] = what == "in"
            meet(house, {})
            continue
        if house.in_reach[device] and house.share[device] < units:
            meet(house, {device: units})
        house.take(device, units)
        meet(house, {})
    return house.taken


def by_counter(events: list[tuple[float, str, str, int]], stock: int) -> int:
    left = stock
    for _, what, _, units in events:
        if what == "call" and units <= left:
            left -= units
    return stock - left


def compare(devices: list[Device], stock: int, weeks: int, seed: int) -> dict[str, int]:
    """Bars sold over `weeks` invented weeks by each way of holding them."""
    sums = {"counter": 0, "divided": 0, "even": 0, "fixed": 0}
    for week in range(weeks):
        events = week_events(devices, seed + week)
        sums["counter"] += by_counter(events, stock)
        sums["divided"] += units_taken(events, House(devices, stock), by_division)
        sums["even"] += units_taken(events, House(devices, stock), by_even_split)
        fixed = House(devices, 0)
        fixed.share = {
            d.id: stock // len(devices) + (n < stock % len(devices)) for n, d in enumerate(devices)
        }
        sums["fixed"] += units_taken(events, fixed, nothing_moves)
    return sums
