"""Nine Lindens Honey House: who they are, what they sell, the cartons they own. All of it invented.

Measures are whole millimetres with lid and wrap, rounded up, typical of such jars and bars (common practice, no source); a real
house measures its own. Prices are examples, those of mailing too. The ZIP code is real and belongs to another town.
"""

from __future__ import annotations

from typing import Any

from honeyhold.quoting.postage import example_by_zone

Row = dict[str, Any]

SETTINGS: dict[str, Any] = {
    "name": "Nine Lindens Honey House",
    "street": "1 Cooper's Bend",
    "city": "Alder Ferry",
    "state": "WI",
    "zip": "54843",
    "phone": "+17155550109",
    "email": "hello@ninelindens.example.org",
    "time_zone": "America/Chicago",
    "area_code": "715",
    "posting_days": ["Mon", "Tue", "Wed"],
    "leave_hour": 15,
    "posting_honey_asked": True,
    "accept_permille": 20,
    "hold_allowed": True,
    "mailbox": "metal_sun",
    "closing_words": "Thank you from the lindens. A dented bar? Call, and another is on its way.",
    "demo": True,
    "posting_prices": example_by_zone(),
}

# Glass keeps two inches from the walls and one inch from its neighbour: carriers' packing advice.
GLASS: Row = {"kind": "honey", "form": "jar", "upright": True, "glass": True, "wall_mm": 50, "gap_mm": 25, "bears_g": 0}

GOODS: list[Row] = [
    {"id": "bar", "name": "wax bar", "plural": "wax bars", "short": "bars", "kind": "wax", "form": "bar",
     "net_g": 28, "gross_g": 30, "gross_sd_mg": 500, "length_mm": 78, "width_mm": 40, "height_mm": 12,
     "wall_mm": 5, "price_cents": 300, "row": 10, "rank": 1},
    {"id": "jar_12", "name": "honey jar (12 oz)", "plural": "honey jars (12 oz)", "short": "12 oz jars", **GLASS,
     "net_g": 340, "gross_g": 550, "gross_sd_mg": 6000, "length_mm": 72, "width_mm": 72, "height_mm": 118,
     "liquid_ml": 240, "price_cents": 750, "row": 6, "rank": 2},
    {"id": "jar_16", "name": "honey jar (1 lb)", "plural": "honey jars (1 lb)", "short": "1 lb jars", **GLASS,
     "net_g": 454, "gross_g": 720, "gross_sd_mg": 8000, "length_mm": 80, "width_mm": 80, "height_mm": 132,
     "liquid_ml": 320, "price_cents": 950, "row": 6, "rank": 3},
    {"id": "quart", "name": "quart of honey", "plural": "quarts of honey", "short": "quarts", **GLASS,
     "net_g": 1361, "gross_g": 1850, "gross_sd_mg": 15000, "length_mm": 95, "width_mm": 95, "height_mm": 176,
     "liquid_ml": 946, "price_cents": 2500, "row": 6, "rank": 4},
    {"id": "tub", "name": "tub of creamed honey", "plural": "tubs of creamed honey", "short": "tubs", "kind": "honey", "form": "tub",
     "net_g": 284, "gross_g": 310, "gross_sd_mg": 4000, "length_mm": 96, "width_mm": 96, "height_mm": 70,
     "upright": True, "wall_mm": 12, "gap_mm": 5, "bears_g": 2000, "liquid_ml": 200, "price_cents": 850, "row": 6, "rank": 5},
    {"id": "block", "name": "candle block (1 lb)", "plural": "candle blocks (1 lb)", "short": "blocks",
     "kind": "wax", "form": "block", "net_g": 454, "gross_g": 470, "gross_sd_mg": 4000, "length_mm": 152, "width_mm": 78, "height_mm": 44,
     "wall_mm": 5, "price_cents": 2200, "row": 4, "rank": 6},
]  # fmt: skip

CARTONS: list[Row] = [
    {"id": "carton_6x4x4", "sides": (6, 4, 4), "tare_g": 65, "cost_cents": 42, "in_stock": 30},
    {"id": "carton_8x6x4", "sides": (8, 6, 4), "tare_g": 110, "cost_cents": 58, "in_stock": 22},
    {"id": "carton_10x8x6", "sides": (10, 8, 6), "tare_g": 195, "cost_cents": 84, "in_stock": 14},
    {"id": "carton_10x10x10", "sides": (10, 10, 10), "tare_g": 290, "cost_cents": 118, "in_stock": 16},
    {"id": "carton_12x12x8", "sides": (12, 12, 8), "tare_g": 365, "cost_cents": 126, "in_stock": 6},
    {"id": "carton_12x12x12", "sides": (12, 12, 12), "tare_g": 440, "cost_cents": 152, "in_stock": 12},
]

CERTIFICATE: Row = {"max_gross_g": 29_483, "max_united_mm": 1905, "edge_crush_lb_per_in": 32, "board_um": 3969}
"""An example: 65 lb, 75 in, 32 lb/in of a single wall's certificate (Item 222, Rule 41), board of 5/32 in. Read your own circle."""


def carton_rows() -> tuple[list[Row], list[Row]]:
    """The cartons as goods (their count is a ledger like any other) and as cartons (their measures)."""
    goods = [
        {"table": "good", "id": row["id"], "name": f"carton {_name(row)}", "plural": f"cartons {_name(row)}", "short": _name(row),
         "kind": "carton", "rank": 100 + rank, "sold": False}
        for rank, row in enumerate(CARTONS)
    ]  # fmt: skip
    cartons = [
        {"table": "carton", "id": row["id"], "name": _name(row), "inner": [f"{side} in" for side in row["sides"]],
         "outer": [_outer(side, layers) for side, layers in zip(row["sides"], (2, 2, 4), strict=True)],
         "tare_g": row["tare_g"], "cost_cents": row["cost_cents"], **CERTIFICATE}
        for row in CARTONS
    ]  # fmt: skip
    return goods, cartons


def good_rows() -> list[Row]:
    """What is sold."""
    return [{"table": "good", "unit": "each", "sold": True, **row} for row in GOODS]


def _name(row: Row) -> str:
    return "×".join(str(side) for side in row["sides"])


def _outer(side_in: int, layers: int) -> str:
    # Board of 5/32 in: two thicknesses on length and width, four on the height, where the flaps lie double (common practice).
    whole, sixteenths = divmod(side_in * 32 + layers * 5, 32)
    return f"{whole} {sixteenths}/32 in" if sixteenths else f"{whole} in"
