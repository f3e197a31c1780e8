"""Whom and what the house of `house.py` knows."""

from __future__ import annotations

from typing import Any, Final

Json = dict[str, Any]
GOODS: Final[list[Json]] = [
    {"id": "bar", "name": "wax bar", "plural": "wax bars", "short": "bars", "kind": "wax", "unit": "each", "net_g": 28, "gross_g": 29,
     "gross_sd_mg": 400, "length_mm": 96, "width_mm": 32, "height_mm": 12, "price_cents": 300, "row": 10, "rank": 1, "sold": True,
     "steps": [[10, 2500]], "taxed": True, "form": "bar", "typical": True},
    {"id": "pint", "name": "pint jar", "plural": "pint jars", "short": "pints", "kind": "honey", "unit": "each", "net_g": 680,
     "gross_g": 950, "length_mm": 80, "width_mm": 80, "height_mm": 130, "upright": True, "glass": True, "wall_mm": 10, "gap_mm": 5,
     "bears_g": 2000, "liquid_ml": 473, "price_cents": 1400, "row": 12, "rank": 2, "sold": True},
    {"id": "comb", "name": "comb", "plural": "combs", "kind": "honey", "price_cents": 900, "sold": True},
    {"id": "clean-wax", "name": "clean wax", "kind": "bulk", "unit": "g", "sold": False},
    {"id": "raw", "name": "honey in the tank", "kind": "bulk", "unit": "g", "sold": False},
    {"id": "box", "name": "small box", "kind": "carton", "sold": False}, {"id": "big", "name": "big box", "kind": "carton", "sold": False},
]  # fmt: skip
RULES: Final[list[Json]] = [
    {"place": "mail", "since": "", "cents": 350, "steps": []}, {"place": "", "since": "2026-08-01", "cents": 325, "steps": [[10, 2900]]},
]  # fmt: skip
CARTONS: Final[list[Json]] = [
    {"id": "box", "name": "small box", "inner": ["8 5/8 in", "5 3/8 in", "1 5/8 in"], "outer": ["8 11/16 in", "5 7/16 in", "1 3/4 in"],
     "tare_g": 90, "max_gross_g": 9000, "max_united_mm": 1905, "edge_crush_lb_per_in": 32, "board_um": 3969, "cost_cents": 60},
    {"id": "big", "name": "big box", "inner": ["12 in", "10 in", "8 in"], "outer": ["12 1/4 in", "10 1/4 in", "8 1/4 in"]},
]  # fmt: skip
PEOPLE: Final[dict[str, Json]] = {
    "ruth": {"name": "Ruth Amsel", "phone": "+12185550142", "street": "4 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811",
             "note": "likes dark honey"},
    "nell": {"name": "Nell Fenn"},
    "bob": {"name": "Bob Lind", "street": "9 Larch Rd", "unit": "2", "city": "Bar Harbor", "state": "ME", "zip": "04609"},
    "ruth again": {"name": "R. Amsel", "phone": "+12185550143"},
}  # fmt: skip
