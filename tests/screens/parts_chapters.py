"""Chapters of what several rooms share: standing orders that are due, parcels that become one or two, a first walk under way."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, touch
from screens.kinds_of_rows import TODAY, carton, good, order, person
from screens.rows import AUSTIN, DULUTH, MONDAY, OWNED, OWNER, ROWS, TEMPE

Json = dict[str, Any]


def standing(id: str, who: str, way: str, wanted: dict[str, int], first_on: str = MONDAY, **more: Any) -> Json:
    goods = [{"good": good, "units": units} for good, units in wanted.items()]
    row = {"table": "standing", "id": id, "person": who, "wanted": goods, "way": way, "every": "week", "interval": 1}
    return {**row, "first_on": first_on, **more}


def here(place: tuple[str, str, str, str]) -> Json:
    return {"goes_to": "own", **dict(zip(("to_street", "to_city", "to_state", "to_zip"), place, strict=True))}


DUE: list[Json] = [
    *(row for row in ROWS if row["table"] != "standing"),
    person("ida", "Ida Moen", "+17155550144"),
    standing("s4", "ann", "post", {"bar": 14}), standing("s5", "ida", "post", {"bar": 2}, "2027-07-27"),
    standing("s6", "gone", "pick_up", {"jar": 1}, "2027-07-28"), standing("s7", "ben", "pick_up", {"bar": 4, "nothing": 1}, "2027-07-29"),
    standing("s8", "gus", "post", {"bar": 2}, "2027-07-30", goes_to="other", to_street="5 Quarry Row", to_city="Austin", to_state="TX",
             to_zip="78701"),
]  # fmt: skip
"""Mailed with bars that are to wait, mailed to nobody knows where, of a person who is not here, of a good that is not here."""
NOT_ASKED: list[Json] = [
    *(row for row in ROWS if row["table"] != "standing" and row["id"] != "posting_prices"),
    {"table": "setting", "id": "posting_honey_asked", "value": False},
    standing("s4", "ann", "post", {"bar": 14}), standing("s9", "ann", "post", {"jar": 1}, "2027-07-25"),
]  # fmt: skip
"""No price list for mailing, and honey to mail though nobody asked yet whether it may."""

BARS: Json = {"bar": (2, 500)}
PARCELS: list[Json] = [
    *(row for row in ROWS if row.get("order", row["id"]) not in ("o1", "o8", "o11")),
    person("ida", "Ida Moen", "+17155550144", AUSTIN), person("ole", "Ole Berg", "+17155550145", TEMPE),
    *order("p1", "ida", "post", "promised", MONDAY, BARS, posting_cents=1100, posting_by="table", **here(DULUTH)),
    *order("p2", "ida", "post", "promised", MONDAY, BARS, goes_with="p1", posting_cents=0, posting_by="hand", **here(DULUTH)),
    *order("q1", "ole", "post", "packed", TODAY, BARS, posting_cents=1200, posting_by="hand", **here(DULUTH), to_name="Mia"),
    *order("r1", "ann", "post", "promised", MONDAY, BARS, posting_cents=900, posting_by="table", **here(DULUTH)),
    *order("r2", "ann", "post", "promised", MONDAY, {"bar": (3, 750), "gone": (1, 100)}, posting_cents=0, **here(DULUTH)),
    *order("r3", "ann", "pick_up", "promised", MONDAY, BARS, **here(DULUTH)),
    *order("r4", "ann", "post", "packed", MONDAY, BARS, posting_cents=700, posting_by="hand", **here(DULUTH)),
    *order("t1", "fay", "post", "promised", MONDAY, BARS, posting_cents=1300, posting_by="table", dressing="lined", **here(AUSTIN)),
    *order("t2", "fay", "post", "promised", "2027-07-28", BARS, goes_with="t1", posting_cents=500, posting_by="hand", **here(AUSTIN)),
    {"table": "parcel", "id": "pq", "order": "q1", "part": 1, "carton": "c6", "dressing": "plain", "gross_g": 420, "gross_sd_g": 8,
     "scale_g": None, "packed_on": TODAY, "told_permille": 4, "tracking": ""},
]  # fmt: skip
"""Of two in one parcel the person has moved, one packed has moved, two go to one door, and two that are in one parcel already."""
FIRST: list[Json] = [
    {"table": "device", "id": "phone-a", "name": "Shed phone", "mark": "A", "role": "keeper", "lost": False},
    {"table": "setting", "id": "name", "value": "Alder Hill"}, {"table": "setting", "id": "demo", "value": True},
    {"table": "setting", "id": "first_questions", "value": {"by": "phone-a", "told": {"shelf": "skipped"}, "done": False}},
    good("bar", ("wax bar (1 oz)", "wax bars (1 oz)", "bars"), 1, 0, kind="wax", form="bar", row=10, net_g=28, gross_g=30, length_mm=78,
         width_mm=40, height_mm=12),
    *carton("c8", "8×6×4", [8, 6, 4], 62),
]  # fmt: skip
PARTS: dict[str, Json] = {
    "due": {
        "kept": {**OWNED, "rows": DUE},
        "screens": [alone("due-standing", *[touch("promise it")] * 3, touch("not this time", 1), touch("undo"))],
    },
    "due-unpriced": {
        "kept": {**OWNED, "rows": NOT_ASKED},
        "screens": [alone("due-standing", touch("not this time"), touch("promise it"))],
    },
    "one-parcel": {
        "kept": {**OWNED, "rows": PARCELS},
        "screens": [
            *(alone("one-parcel", order=order) for order in ("r3", "r4", "o5", "q1", "nowhere")),
            alone("new-address", touch("send it to the new one"), touch("undo"), order="p1"),
            alone("new-address", touch("send it to the new one"), order="q1"),
            *(alone("new-address", order=order) for order in ("nowhere", "o9", "r1")),
            alone("one-parcel", touch("put both in one parcel"), touch("two parcels after all"), touch("undo"), order="r1"),
            alone("one-parcel", touch("two parcels after all"), order="t1"),
            alone("one-parcel", touch("two parcels after all"), order="p2"),
        ],
    },
    "first-walk": {
        "kept": {"rows": FIRST, "identity": OWNER},
        "screens": [alone("house-head"), at("counter"), at("settings"), alone("first-walk", path=[]), alone("due-standing")],
    },
}
