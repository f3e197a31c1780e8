"""Dividing a good among the devices that may promise it without signal.

What a device can serve alone is E[min(D, share)], D being what its callers may want before it is next in
reach. That is concave in the share, so handing out one order after the other, each to the device most likely
to need it, is best (a greedy choice on concave gains: Fox, "Discrete optimization via marginal analysis",
1966). Around this stand the rules of the house: where the phone is answered a scarce good is kept whole; what
a device out of reach would win stays in the pool for it; the pool keeps the rest; nothing is asked back
unless somebody is a whole order short. A caller on the line, then an order that waits, come before every wish;
who gave something back a short while ago rests: it is neither given nor asked for a wish.

The same inputs give the same division, and dividing again after the moves were made moves nothing: every
target is worked out from the sum of pool and reachable shares, which a grant or a return does not change.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import gcd

from honeyhold.stock.demand import compound_gamma_poisson, mean_size, read_sizes
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, number, rows, table, text, whole

USUAL_ORDER_UNITS = 5  # callers want five or ten (common practice of small wax sellers, no source)
ANSWERING_FLOOR_UNITS = 10  # two usual orders stay together where the phone rings
LEAST_CHANCE_PERCENT = 30.0  # an order less likely wanted is better off in the pool (scripts/bench_shares)
AWAY_WEIGHT = 0.5  # what a device out of reach may want when it returns counts half: it may come too late
EXTRA_ORDERS = 2  # of what nobody is likely to need, a device holds no more than two large orders: it may never be seen again
GAP_SHAPE = 2.0  # gaps without signal vary: their length is taken as gamma with this shape


@dataclass
class _Device:
    """One device as the division sees it; `target` is what it should hold, `extra_cap` what it may hold on
    top.
    """

    id: str
    in_reach: bool
    share: int
    step: int
    chance_over: list[float]  # chance_over[k]: more than k units wanted in one gap
    extra_max: int = 0
    floor: int = 0
    target: int = 0
    extra_cap: int = 0

    def need(self, held: int) -> float:
        """The chance that a further order on top of `held` is wanted before the device is next in reach."""
        chance = self.chance_over[held] if held < len(self.chance_over) else 0.0
        return round(chance if self.in_reach else AWAY_WEIGHT * chance, 9)


def _sizes_of(request: Request) -> dict[int, float]:
    if request.get("order_sizes") is not None:
        return read_sizes(request["order_sizes"])
    return {whole(request, "usual_order_units", least=1, most=1000, default=USUAL_ORDER_UNITS): 1.0}


def _gap_demand(request: Request, units_max: int) -> tuple[dict[int, float], list[float]]:
    """Order sizes and the distribution of the units wanted in one gap without signal."""
    sizes = _sizes_of(request)
    units_per_day = number(request, "demand_units_per_day", least=0, most=100_000)
    gap_days = number(request, "gap_days", least=0, most=366)
    callers = units_per_day * gap_days / mean_size(sizes)
    return sizes, compound_gamma_poisson(GAP_SHAPE, callers / GAP_SHAPE, sizes, units_max)


def _read_devices(request: Request, pool: int) -> list[_Device]:
    given = rows(request, "devices")
    most = pool + sum(whole(row, "share_units_left") for row in given)
    devices: dict[str, _Device] = {}
    for row in given:
        name = text(row, "id")
        if name in devices:
            raise UnreadableField("devices", name, "each device once")
        if not isinstance(row.get("in_reach"), bool):
            raise UnreadableField(f"in_reach of {name}", row.get("in_reach"), "true or false")
        sizes, chance = _gap_demand(row, most)
        over, total = [], 0.0
        for p in chance:
            total += p
            over.append(max(0.0, 1.0 - total))
        extra_max = EXTRA_ORDERS * max(sizes)
        devices[name] = _Device(name, row["in_reach"], row["share_units_left"], gcd(*sizes), over, extra_max)
    return [devices[name] for name in sorted(devices)]


def _set_floor(request: Request, devices: list[_Device], units: int) -> int:
    """Give the answering device its floor first; the units that are left for the others."""
    name = request.get("answering_device")
    floor = whole(request, "answering_floor_units", default=ANSWERING_FLOOR_UNITS)
    for device in devices:
        if device.id == name:
            held = 0 if device.in_reach else device.share
            device.floor = device.target = max(held, min(floor, units + held))
            return units - (device.target - held)
    return units


def _set_targets(request: Request, devices: list[_Device], pool: int) -> None:
    """The target of every device: order by order to the one most likely to need it (module docstring).

    The units divided are the pool and every share in reach; a share out of reach stays where it is.
    """
    units = pool + sum(device.share for device in devices if device.in_reach)
    for device in devices:
        device.target = 0 if device.in_reach else device.share
    least = number(request, "least_chance_percent", least=0, most=100, default=LEAST_CHANCE_PERCENT) / 100
    units = _set_floor(request, devices, units)
    answering = request.get("answering_device")
    while units > 0:
        able = [d for d in devices if d.step <= units and d.need(d.target) > least]
        if not able:
            break
        best = max(able, key=lambda d: (d.need(d.target), d.id == answering, -d.target))
        best.target += best.step
        units -= best.step
    # What nobody is likely to need: each device in reach may still wish for an equal part, the pool being one
    # more party.
    parties = 1 + sum(device.in_reach for device in devices)
    for device in devices:
        part = min(units // parties, device.extra_max) // device.step * device.step
        device.extra_cap = part if device.in_reach else 0
    if len(devices) == 1 and devices[0].in_reach:
        devices[0].extra_cap = min(units, devices[0].extra_max)  # the house's only device: nobody else could promise the odd jars


class _Moves:
    """Grants and returns being collected; the pool is lowered as they are, so it can never be given twice."""

    def __init__(self, pool: int, devices: list[_Device]) -> None:
        self.pool = pool
        self.devices = devices
        self.grants: dict[str, int] = {}
        self.ask_back: dict[str, int] = {}

    def held(self, device: _Device) -> int:
        """What the device will hold once its grant has arrived and what it is asked for has gone back."""
        return device.share + self.grants.get(device.id, 0) - self.ask_back.get(device.id, 0)

    def grant(self, device: _Device, units: int) -> None:
        units = min(units, self.pool)
        if units > 0:
            self.pool -= units
            self.grants[device.id] = self.grants.get(device.id, 0) + units

    def ask(self, units: int, keep: Mapping[str, int], least: int, resting: Collection[str] = ()) -> None:
        """Ask for `units` from devices in reach that hold more than `keep`, least needed first, `least` at a
        time.
        """
        givers = [d for d in self.devices if d.in_reach and d.id not in self.grants and d.id not in resting]
        for giver in sorted(givers, key=lambda d: (d.need(max(0, self.held(d) - d.step)), d.id)):
            spare = self.held(giver) - keep.get(giver.id, 0)
            if units > 0 and spare >= max(1, min(least, giver.step)):
                take = min(units, spare)
                self.ask_back[giver.id] = self.ask_back.get(giver.id, 0) + take
                units -= take


def _units_by_device(request: Request, field: str) -> dict[str, int]:
    given = table(request, field, optional=True)
    return {name: whole(given, name) for name in given}


def _serve_callers(request: Request, moves: _Moves) -> None:
    """A caller on the line is certain, every other need is a guess: the pool first, then whoever needs it
    least.
    """
    callers = _units_by_device(request, "callers")
    asking = [d for d in moves.devices if d.in_reach and callers.get(d.id, 0) > d.share]
    for device in asking:
        moves.grant(device, callers[device.id] - device.share)
    missing = sum(callers[d.id] - moves.held(d) for d in asking)
    # whoever waits for the next pour is somebody too; what the pool has goes to callers and waiting lines first
    waiting = whole(request, "waiting_units", default=0)
    moves.pool, for_waiting = max(0, moves.pool - waiting), min(moves.pool, waiting)
    if missing + waiting - for_waiting > 0:
        moves.ask(missing + waiting - for_waiting, callers, least=1)


def _serve_wishes(request: Request, moves: _Moves) -> None:
    """Bring each asking device up to its target, the one most likely to need the next order first."""
    wants, callers = _units_by_device(request, "wants"), _units_by_device(request, "callers")
    resting = _resting(request)
    able = [d for d in moves.devices if d.in_reach and d.id in wants]
    asking = [d for d in able if d.id not in moves.ask_back and d.id not in resting]
    goal = {d.id: min(d.target + d.extra_cap, wants[d.id]) for d in asking}
    missing, least = 0, 0
    for device in sorted(asking, key=lambda d: (-d.floor, -d.need(moves.held(d)), d.id)):
        lack = goal[device.id] - moves.held(device)
        if lack <= 0:
            continue
        if moves.pool < lack and moves.held(device) + moves.pool > device.floor:
            # only whole orders above the floor: two bars help no caller who wants five
            whole_orders = (moves.held(device) + moves.pool) // device.step * device.step
            moves.grant(device, max(whole_orders, device.floor) - moves.held(device))
        else:
            moves.grant(device, lack)
        lack = min(device.target, wants[device.id]) - moves.held(device)
        if lack > 0 and (lack >= device.step or moves.held(device) < device.floor):
            missing += lack
            least = max(least, 1 if moves.held(device) < device.floor else device.step)
    keep = {d.id: max(d.target + d.extra_cap, callers.get(d.id, 0)) for d in moves.devices}
    moves.ask(missing - moves.pool, keep, least, resting)


def _resting(request: Request) -> set[str]:
    names = request.get("resting", [])
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        raise UnreadableField("resting", names, "a list of device ids")
    return set(names)


def divide(request: Request) -> dict[str, dict[str, int]]:
    """Grants from the pool, and what devices in reach are asked to give back, for one good.

    Holds for every input: no grant is negative, grants add up to at most the pool, nobody is asked for more
    than it holds, no device is granted and asked in one division, nothing goes to a device out of reach, and
    dividing again after the moves settles: what was asked back is granted once, then nothing moves. A pool
    below zero (a count found too few) grants nothing. Shapes: README.md. Raises UnreadableField.
    """
    pool = max(0, whole(request, "pool_units", least=-10_000_000))
    devices = _read_devices(request, pool)
    _set_targets(request, devices, pool)
    moves = _Moves(pool, devices)
    _serve_callers(request, moves)
    _serve_wishes(request, moves)
    return {"grants": moves.grants, "ask_back": moves.ask_back}
