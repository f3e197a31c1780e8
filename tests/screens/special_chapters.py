"""Chapters with rows of their own: what is seldom on a shelf, in an order or on a price list."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, digits, touch
from screens.kinds_of_rows import carton, moved, order
from screens.rows import MONDAY, OWNED, ROWS

Json = dict[str, Any]
OF_TWO_LOTS: list[Json] = [
    {"table": "lot", "id": lot, "good": good, "made_on": "2027-07-05", "sources": [], "measures": {}}
    for lot, good in (
        ("K27-186-1", "cappings"), ("K27-187-1", "cappings"), ("H27-186-A", "honey_bulk"), ("R27-186-1", "honey_residue"),
        ("R27-187-1", "honey_residue"),
    )
] + [
    moved("cappings", 3200, "made", "2027-07-05", "K27-186-1"), moved("cappings", 2600, "made", "2027-07-06", "K27-187-1"),
    moved("honey_bulk", 9000, "made", "2027-07-05", "H27-186-A"),
    moved("honey_residue", 700, "came", "2027-07-06", "R27-186-1"), moved("honey_residue", 500, "came", "2027-07-07", "R27-187-1"),
]  # fmt: skip
NOT_TO_PACK: list[Json] = [
    {"table": "setting", "id": "posting_honey_asked", "value": False},
    *order("o31", "ann", "post", "promised", MONDAY, {"bar": (2, 500), "jar": (1, 1200)}, pays="later"),
    *order("o32", "ann", "post", "promised", MONDAY, {"bar": (2, 500)}, sure={}, pays="later"),
    *order("o33", "ann", "pick_up", "promised", MONDAY, {"jar": (1, 1200)}, pays="later"),
]
"""Honey to mail though nobody asked yet whether it may; of what waits nothing lies there; and honey that is picked up."""
SPECIAL: dict[str, Json] = {
    "bench-not-yet": {
        "kept": {**OWNED, "rows": [*ROWS, *NOT_TO_PACK]},
        "screens": [at("bench/o31"), at("bench/o32"), at("bench/o33")],
    },
    "own-carton": {
        "kept": {**OWNED, "rows": [*ROWS, *carton("c7", "7×5×3", [7, 5, 3], 50)]},
        "screens": [
            alone("first-walk", touch("7×5×3"), touch("7×5×3"), touch("these 4"), path=["cartons"]),
            alone("first-walk", touch("25"), path=["cartons", "c7"]),
        ],
    },
    "prices": {
        "kept": OWNED,
        "screens": [
            alone(
                "goods-board", touch("mailed"), touch("from tomorrow"), *digits("4"), touch("write it down"), *digits("5"),
                path=["bar", "price"],
            ),
            alone(
                "goods-board", touch("some together"), *digits("20"), touch("what do 20 cost?"), *digits("40"), touch("write it down"),
                touch("take “3 for $36.00” away"), path=["jar", "price"],
            ),
        ],
    },
    "melt-lots": {
        "kept": {**OWNED, "rows": [*ROWS, *OF_TWO_LOTS]},
        "screens": [
            at(
                "melt/step/cappings", touch("K27-187-1"), *digits("3"), touch("next: first melt out"), *digits("2"),
                touch("first melt done"),
            ),
            at("melt/bottle", touch("H27-186-A"), *digits("12"), touch("next: honey in them"), *digits("9"), touch("to the shelf")),
            at("melt/rest", touch("R27-187-1"), *digits("1"), touch("lost")),
        ],
    },
}
