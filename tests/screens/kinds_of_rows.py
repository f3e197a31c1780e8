"""Rows of each kind in short words, for the house that the screens show."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]
TODAY = "2027-07-24"
LOT_OF = {"bar": "W27-190-1", "jar": "J27-180-1"}
PIECE: Json = {
    "unit": "each",
    "sold": True,
    "hidden": False,
    "wall_mm": 5,
    "gap_mm": 0,
    "bears_g": None,
    "liquid_ml": 0,
    "gross_sd_mg": 500,
}


def good(id: str, names: tuple[str, str, str], rank: int, price_cents: int, **more: Any) -> Json:
    name, plural, short = names
    return {
        "table": "good",
        "id": id,
        "name": name,
        "plural": plural,
        "short": short,
        "rank": rank,
        "price_cents": price_cents,
        **PIECE,
        **more,
    }


def carton(id: str, name: str, inches: list[int], cost_cents: int, **more: Any) -> list[Json]:
    outer = [f"{side} 10/32 in" for side in inches]
    return [
        {
            "table": "good",
            "id": id,
            "name": f"carton {name}",
            "plural": f"cartons {name}",
            "short": name,
            "kind": "carton",
            "unit": "each",
            "sold": False,
            "rank": inches[0],
            **more,
        },
        {
            "table": "carton",
            "id": id,
            "name": name,
            "inner": [f"{side} in" for side in inches],
            "outer": outer,
            "tare_g": 20 * inches[0],
            "max_gross_g": 29483,
            "max_united_mm": 1905,
            "edge_crush_lb_per_in": 32,
            "board_um": 3969,
            "cost_cents": cost_cents,
            **more,
        },
    ]


def bulk(id: str, name: str, rank: int) -> Json:
    return {
        "table": "good",
        "id": id,
        "name": name,
        "plural": name,
        "short": name,
        "kind": "bulk",
        "unit": "g",
        "sold": False,
        "rank": rank,
    }


def moved(good: str, units: int, reason: str, on: str, lot: str | None = None, **more: Any) -> Json:
    return {
        "table": "movement",
        "id": f"m-{good}-{units}-{reason}-{on}-{lot}",
        "good": good,
        "units": units,
        "reason": reason,
        "on": on,
        "lot": lot,
        **more,
    }


def person(id: str, name: str, phone: str, place: tuple[str, str, str, str] = ("", "", "", ""), **more: Any) -> Json:
    street, city, state, zip_code = place
    return {
        "table": "person",
        "id": id,
        "name": name,
        "phone": phone,
        "street": street,
        "city": city,
        "state": state,
        "zip": zip_code,
        **more,
    }


def order(
    id: str,
    who: str | None,
    way: str,
    state: str,
    leave_on: str | None,
    lines: dict[str, tuple[int, int]],
    *,
    sure: Json | None = None,
    handed: bool = False,
    **more: Any,
) -> list[Json]:
    """`lines`: units and what the line costs; `sure`: of which goods how many are set aside (all, where nothing is said)."""
    number = f"A-{id.removeprefix('o')}"
    rows: list[Json] = [
        {
            "table": "order",
            "id": id,
            "number": number,
            "person": who,
            "way": way,
            "state": state,
            "leave_on": leave_on,
            "taken_on": "2027-07-19",
            **more,
        }
    ]
    for good, (units, cents) in lines.items():
        line = f"{id}-{good}"
        rows.append(
            {"table": "line", "id": line, "order": id, "good": good, "units": units, "price_cents": cents // units, "total_cents": cents}
        )
        set_aside = units if sure is None else sure.get(good, 0)
        if handed:
            rows.append(moved(good, -units, "gone", more.get("gone_on") or TODAY, LOT_OF.get(good), order=id, line=line))
        elif state in ("promised", "packed") and set_aside:
            rows.append({"table": "reservation", "id": f"r-{line}", "order": id, "line": line, "good": good, "units": set_aside})
    return rows
