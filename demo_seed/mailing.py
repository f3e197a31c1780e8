"""What mailing an order of the demo costs: by its example table, worked out as the Counter would."""

from __future__ import annotations

from typing import Any

from demo_seed.nine_lindens import CARTONS, SETTINGS, carton_rows, good_rows
from honeyhold.kernel import work


def mailing(to_zip: str, lines: list[tuple[str, int]], leave_on: str) -> dict[str, Any]:
    """The fields of an order that is mailed: the price by the table, and whose it is."""
    stock = {row["id"]: row["in_stock"] for row in CARTONS}
    request = {
        "goods": good_rows(),
        "cartons": [{**row, "in_stock": stock[row["id"]]} for row in carton_rows()[1]],
        "house": SETTINGS, "lines": [{"good": good, "units": units} for good, units in lines],
        "to": {"zip": to_zip}, "way": "post", "today": leave_on, "leave_on": leave_on, "dressing": "plain",
    }  # fmt: skip
    parcel = work("quoting.parcel", request)["parcel"]
    if parcel["posting_cents"] is None:
        raise ValueError(f"The demo's table has no price: {parcel['posting_words'] or parcel['words']}")
    return {"posting_cents": parcel["posting_cents"], "posting_by": "table"}
