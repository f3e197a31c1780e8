"""What is kept of a packed parcel: whole numbers and text, and the very drawing that was shown when it was packed."""

from __future__ import annotations

from typing import Any

import pytest
from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows

from honeyhold.kernel import work
from honeyhold.operations.rows import ParcelRow
from honeyhold.quoting.kept import PLACEMENTS_MOST

GOODS = {row["id"]: row for row in good_rows()}


def planned(lines: list[dict[str, Any]], dressing: str) -> dict[str, Any]:
    """The parcel's answer for an order by mail from the demo's house."""
    cartons = [{**row, "in_stock": 9} for row in carton_rows()[1]]
    request = {"goods": list(GOODS.values()), "cartons": cartons, "house": SETTINGS, "lines": lines, "way": "post", "dressing": dressing}
    answer: dict[str, Any] = work("quoting.parcel", {**request, "to": {"zip": "55811"}, "leave_on": "2027-07-26", "today": "2027-07-24"})
    return answer["parcel"]  # type: ignore[no-any-return]


@pytest.mark.parametrize("dressing", ["plain", "lined", "chilled"])
@pytest.mark.parametrize("lines", [[{"good": "bar", "units": 10}], [{"good": "bar", "units": 5}, {"good": "jar_12", "units": 3}]])
def test_the_drawing_of_the_kept_row_is_the_one_that_was_shown(dressing: str, lines: list[dict[str, Any]]) -> None:
    answer = planned(lines, dressing)
    assert answer["parcels"]
    for parcel in answer["parcels"]:
        shown = work("packing.draw", {"parcel": parcel, **{key: answer["bench"][key] for key in ("cartons", "pieces", "dressing", "unit")}})
        row = {"part": parcel["part"], "plan": parcel["kept"]}
        kept = work("quoting.packed_picture", {"parcels": [row], "unit": answer["bench"]["unit"]})
        assert kept["svgs"] == [shown["svg"]]


def test_a_kept_row_is_taken_by_the_one_message() -> None:
    kept = planned([{"good": "bar", "units": 40}, {"good": "jar_12", "units": 6}], "chilled")["parcels"][0]["kept"]
    row = {"table": "parcel", "id": "p", "order": "o", "part": 1, "plan": kept, "gross_g": 100, "gross_sd_g": 1}
    assert ParcelRow().load(row)["plan"] == kept


def test_of_very_many_pieces_the_places_are_not_kept_but_everything_else() -> None:
    answer = planned([{"good": "bar", "units": PLACEMENTS_MOST + 20}], "plain")
    kept = next(parcel["kept"] for parcel in answer["parcels"] if len(parcel["placements"]) > PLACEMENTS_MOST)
    assert kept["placements"] == [] and kept["contents"] == {"bar": sum(kept["contents"].values())} and kept["steps"]
    assert work("quoting.packed_picture", {"parcels": [{"part": 1, "plan": kept}]}) == {"svgs": [], "of": []}
