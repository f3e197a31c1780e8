"""An order of an invented house, as the papers are handed it."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]

HOUSE: Json = {
    "name": "Nine Lindens Honey House",
    "street": "1 Cooper's Bend",
    "city": "Alder Ferry",
    "state": "WI",
    "zip": "54843",
    "phone": "+17155550109",
    "email": "hello@ninelindens.example.org",
    "returns_words": "Keep the pieces and send a picture.",
}
BAR: Json = {
    "id": "bar",
    "name": "one-ounce wax bar",
    "plural": "one-ounce wax bars",
    "kind": "wax",
    "unit": "each",
    "glass": False,
    "upright": False,
    "rank": 1,
    "price_cents": 317,
}
JAR: Json = {
    "id": "jar12",
    "name": "12 oz jar of honey",
    "plural": "12 oz jars of honey",
    "kind": "honey",
    "unit": "each",
    "glass": True,
    "upright": True,
    "rank": 2,
    "price_cents": 763,
}
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 3 2"><path d="M0 0h3v2z"/></svg>'


def line(good: Json, units: int, *lots: tuple[str, int], sure: int | None = None) -> Json:
    """A line whose units are sure unless said otherwise."""
    return {
        "good": good,
        "units": units,
        "sure": units if sure is None else sure,
        "price_cents": good["price_cents"],
        "lots": [{"lot": lot, "units": count} for lot, count in lots],
    }


def orla(**changes: Any) -> Json:
    """Ten bars and a jar to Duluth, in one lined carton."""
    request: Json = {
        "house": HOUSE,
        "order": {"number": "A-1", "way": "post", "leave_on": "2026-07-22", "note": "her mother rings too"},
        "person": {
            "name": "Orla Tennick",
            "street": "41 Heron Sill Rd",
            "unit": "",
            "city": "Duluth",
            "state": "MN",
            "zip": "55811",
        },
        "lines": [line(BAR, 10, ("W26-170-1", 10)), line(JAR, 1, ("J26-183-1", 1))],
        "parcels": [
            {
                "part": 1,
                "of": 1,
                "carton_name": "8 by 6 by 4 in",
                "gross_words": "2 lb 6 oz",
                "dressing": "lined",
                "dressing_words": "lined",
                "svg": DRAWING,
                "steps": ["Stand the jar in the middle."],
            }
        ],
        "heat": {"words": "Firm if it leaves by Wednesday.", "advice_words": "Bring it in before noon."},
        "cautions": [],
        "size": "letter",
        "today": "2026-07-21",
    }
    return {**request, **changes}


def forty_lines() -> list[Json]:
    """Forty different goods, some from two lots."""
    goods = [{**JAR, "id": f"jar{n}", "name": f"jar number {n} of honey", "plural": ""} for n in range(1, 41)]
    return [
        line(good, n, ("J26-183-1", n)) if n % 3 else line(good, n, ("J26-183-1", 1), ("J26-184-1", n - 1))
        for n, good in enumerate(goods, 1)
    ]
