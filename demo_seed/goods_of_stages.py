"""The goods by weight between the comb and the shelf, as rows of an invented house, and the codes of its lots."""

from __future__ import annotations

import re

from honeyhold.stock.days import Day, parse_day
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.stages import STAGES


def stage_good_rows(rank: int = 200) -> list[dict[str, object]]:
    """The stages as rows of the table `good`, for an operation `set_good`; none is offered to callers."""
    return [
        {
            "table": "good", "id": stage.good, "name": stage.name, "plural": stage.name, "short": "g", "kind": "bulk", "unit": "g",
            "rank": rank + place, "sold": False,
        }
        for place, stage in enumerate(STAGES)
    ]  # fmt: skip


def lot_code(kind: str, day: Day, run: int | str | None = None) -> str:
    """The code of a lot made on `day`: "W26-204-1", "H26-181-A", or "K26-181" without a run.

    A run may carry the mark of the device that made the code: "W26-204-B1". Raises UnreadableField for a kind that is not one
    capital letter or a run that is neither 1 to 99 nor a letter.
    """
    made = parse_day(day)
    if not re.fullmatch(r"[A-Z]", kind, re.ASCII):
        raise UnreadableField("kind", kind, "one capital letter like W")
    code = f"{kind}{made.year % 100:02d}-{made.timetuple().tm_yday:03d}"
    if run is None:
        return code
    if not re.fullmatch(r"[A-Z]{0,4}[1-9]\d?|[A-Z]", str(run), re.ASCII):
        raise UnreadableField("run", run, "a number from 1 to 99, a device's mark before it or not, or a capital letter")
    return f"{code}-{run}"
