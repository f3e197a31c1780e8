"""The whole claim of a plan called proved, checked anew: no division of the order among the cartons costs less.

It shares no code with the planner. Every division that would be cheaper, by costs and weights worked out here from the request alone, is
named one by one; each of its parcels is put to OR-tools CP-SAT (packing_reference.py), and one refused parcel is enough to refuse the
division. A plan that says nothing goes in claims that every division is refused. Without support: plans are asked for with it off.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product
from math import ceil, prod
from typing import Any

from tests.outside.packing_reference import goes_in

Json = dict[str, Any]
Counts = tuple[int, ...]
OUNCE_G = 28.349523125
Cost = tuple[int, ...]
Division = list[tuple[Counts, Json]]


class NotSettled(Exception):
    """CP-SAT did not settle some parcel in the time it had, or there are too many divisions."""


@dataclass
class Claim:
    """One request, what CP-SAT said so far, and how long it may take over a parcel."""

    request: Json
    limit_s: float = 10.0
    asked: dict[tuple[Counts, str], bool] = field(default_factory=dict)
    named: int = 0
    named_most: int = 200_000

    def cents(self, counts: Counts, carton: Json) -> int | None:
        """Carton and postage of a parcel; None where a limit of weight or the price table refuses it."""
        rows = self.request["pieces"]
        gross = carton.get("tare_g", 0) + sum(row.get("mass_g", 0) * count for row, count in zip(rows, counts, strict=True))
        if carton.get("max_gross_g") is not None and gross > carton["max_gross_g"]:
            return None
        posting = self.request.get("posting")
        if not posting:
            return int(carton.get("cost_cents", 0))
        ounces = gross / OUNCE_G
        if ounces > 70 * 16:
            return None
        inches = [ceil(round(side / 25.4, 6)) for side in outside(carton)]  # from July 2026 any fraction counts as a whole inch
        if prod(inches) > 1728:
            ounces = max(ounces, 16 * min(70, ceil(prod(inches) / 139)))
        prices = sorted((row["up_to_oz"], row["cents"]) for row in posting["prices"])
        row_cents = next((cents for up_to, cents in prices if ounces <= up_to), None)
        return None if row_cents is None else int(carton.get("cost_cents", 0)) + int(row_cents)

    def cost(self, counts: Counts, carton: Json) -> Cost | None:
        """What decides, as the contract says: with prices cents, parcels, volume; without, parcels first."""
        cents, volume = self.cents(counts, carton), prod(carton["inner_mm"])
        if cents is None:
            return None
        return (cents, 1, volume) if self.request.get("posting") else (1, cents, volume)

    def fits(self, counts: Counts, carton: Json) -> bool:
        """By CP-SAT; what holds more holds less, and what does not hold less does not hold more."""
        for (other, name), held in self.asked.items():
            if name == carton["id"]:
                if held and all(a <= b for a, b in zip(counts, other, strict=True)):
                    return True
                if not held and all(a >= b for a, b in zip(counts, other, strict=True)):
                    return False
        rows = [{**row, "count": count} for row, count in zip(self.request["pieces"], counts, strict=True) if count]
        found = goes_in(rows, carton["inner_mm"], self.limit_s)
        if found is None:
            raise NotSettled(f"{counts} in {carton['id']}")
        self.asked[counts, carton["id"]] = found
        return found

    def cheaper(self, left: Counts, used: dict[str, int], below: Cost | None, earlier: tuple[Counts, str] | None) -> Iterator[Division]:
        """Every division of `left` that costs less than `below`, its parcels in falling order so that each is named once."""
        if not any(left):
            if below is None or tuple(0 for _ in below) < below:
                yield []
            return
        for counts in product(*(range(count, -1, -1) for count in left)):
            for carton in self.request["cartons"]:
                self.named += 1
                if self.named > self.named_most:
                    raise NotSettled("too many divisions")
                here = counts, carton["id"]
                if not any(counts) or (earlier and here > earlier) or used.get(carton["id"], 0) >= (carton.get("in_stock") or 99):
                    continue
                cost = self.cost(counts, carton)
                volume = sum(prod(row["size_mm"]) * count for row, count in zip(self.request["pieces"], counts, strict=True))
                if cost is None or volume > prod(carton["inner_mm"]):
                    continue
                rest_below = None if below is None else tuple(most - part for most, part in zip(below, cost, strict=True))
                if rest_below is not None and rest_below < (0, 0, 0):
                    continue
                if not self.fits(counts, carton):
                    continue
                now = {**used, carton["id"]: used.get(carton["id"], 0) + 1}
                rest = tuple(have - take for have, take in zip(left, counts, strict=True))
                for more in self.cheaper(rest, now, rest_below, here):
                    yield [(counts, carton), *more]


def outside(carton: Json) -> list[float]:
    """Outer measures, 8 mm more on length and width and 16 on the height where none are given."""
    long, wide, high = carton["inner_mm"]
    return carton.get("outer_mm") or [long + 8, wide + 8, high + 16]


def refuted(request: Json, answer: Json, limit_s: float = 10.0) -> str:
    """Why the claim of a proved plan is false, or nothing. Raises NotSettled."""
    claim = Claim(request, limit_s)
    cartons = {carton["id"]: carton for carton in request["cartons"]}
    total: Cost | None = None
    for parcel in answer["parcels"]:
        counts = tuple(parcel["contents"].get(row["id"], 0) for row in request["pieces"])
        cost = claim.cost(counts, cartons[parcel["carton"]])
        if cost is None:
            return f"{parcel['carton']} with {parcel['contents']} is refused by weight"
        if (cost[0] if request.get("posting") else cost[1]) != parcel["cost_cents"]:
            return f"{parcel['carton']} with {parcel['contents']} costs {cost}, told as {parcel['cost_cents']} cents"
        total = cost if total is None else tuple(a + b for a, b in zip(total, cost, strict=True))
    whole = tuple(row.get("count", 1) for row in request["pieces"])
    better = next(claim.cheaper(whole, {}, total, None), None)
    return "" if better is None else f"cheaper: {[(carton['id'], counts) for counts, carton in better]}, instead of {total}"
