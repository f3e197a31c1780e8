"""Chapters of what is seldom in a book and on a shelf: nobody's orders, two boxes, nothing left, and a device that writes no more."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, digits, fill, touch
from screens.kinds_of_rows import TODAY, good, moved, order, person
from screens.rows import DULUTH, OWNED, OWNER, ROWS, YESTERDAY

Json = dict[str, Any]


def _lot(id: str, good: str, made_on: str, **more: Any) -> Json:
    return {"table": "lot", "id": id, "good": good, "made_on": made_on, "sources": [], **more}


def _box(id: str, order: str, **more: Any) -> Json:
    return {"table": "parcel", "id": id, "order": order, "part": 1, "dressing": "plain", "gross_g": 900, "packed_on": "2027-07-12", **more}


HEARD_OF: list[Json] = [
    _box(f"p{number}", f"z{number}", told_permille=100, arrived="run" if number % 2 else "fine") for number in range(100, 164)
]
"""Parcels that came much worse than told; their orders are on no device any more."""
SELDOM: list[Json] = [
    person("pat", "Pat Nowak", ""),
    person("pat2", "", "+17155550180", same_as="pat"),
    person("alf", "Alf Berg", "+17155550181", DULUTH),
    person("alf2", "alf berg", "+17155550182"),
    person("alf3", "Alfred B.", "+17155550181"),
    person("alf4", "Ole Berg", "+17155550183", (DULUTH[0].upper(), *DULUTH[1:])),
    person("alf5", "Alf Berg", "+17155550181", hidden=True),
    person("alf6", "Alf Berg", "+17155550184", same_as="alf3"),
    *order("o40", "pat", "pick_up", "promised", None, {"bar": (2, 600)}, call_for="here", pays="later"),
    *order("o41", None, "walk_in", "gone", TODAY, {"jar": (1, 1100)}, handed=True, gone_on=TODAY, taken_on=TODAY, pays="cash"),
    {"table": "payment", "id": "y41", "order": "o41", "cents": 2000, "how": "cash", "on": TODAY, "note": ""},
    *order(
        "o42", None, "post", "gone", "2027-07-12", {"bar": (8, 2000)}, handed=True, taken_on="2027-07-10", gone_on="2027-07-12",
        pays="later", posting_cents=1500,
    ),
    _box("p42", "o42", told_permille=10, carton=None, scale_g=910),
    _box("p43", "o42", part=2, carton="c6", tracking="9400 5550 3"),
    *order("o43", "dora", "pick_up", "gone", TODAY, {"jar": (2, 2200)}, handed=True, gone_on=TODAY, pays="cash"),
    {"table": "payment", "id": "y43", "order": "o43", "cents": 2700, "how": "cash", "on": YESTERDAY, "note": ""},
    {"table": "payment", "id": "y44", "order": "o43", "cents": -400, "how": "cash", "on": TODAY, "note": ""},
    *order("o44", "fay", "post", "gone", "2027-07-20", {"bar": (3, 0)}, handed=True, gone_on="2027-07-20", replaces="o-old",
           free_for="loss"),
    *order("o46", "nobody", "pick_up", "gone", TODAY, {"salve": (2, 900)}, handed=True, gone_on=TODAY, pays="later"),
    *order("o47", None, "post", "promised", None, {"jar": (2, 2400)}, pays="cash", call_for="going"),
    *order("o48", "gus", "pick_up", "gone", TODAY, {"bar": (1, 300)}, handed=True, gone_on=TODAY, free_for="breakage",
           taken_on="2026-06-01"),
    {"table": "adjustment", "id": "a48", "order": "o48", "cents": -100, "why": "gift", "on": "2025-06-01", "note": ""},
    {"table": "till", "id": "t4", "on": TODAY, "what": "opening", "cents": 300, "at": f"{TODAY}T12:00:00Z", "note": "rolls"},
    {
        "table": "standing", "id": "s4", "person": "fay", "wanted": [{"good": "bar", "units": 3}], "way": "post", "every": "month",
        "interval": 1, "first_on": "2027-07-20", "ends_on": "2027-08-01", "goes_to": "other", "to_name": "Mia Castellane",
    },
    {
        "table": "standing", "id": "s5", "person": "fay", "wanted": [{"good": "salve", "units": 1}], "way": "post", "every": "week",
        "interval": 2, "first_on": "2027-07-20", "goes_to": "other", "to_name": "",
    },
    _lot("W27-150-1", "bar", "2027-05-30", measures={"fan": True, "cool_s": 5400, "wax_g": 900, "poured": 9}, note="a dull pour"),
    _lot("H27-171-A", "honey_bulk", "2027-06-20", measures={"fan": False, "water_permille": 172, "color_mm": 34, "honey_g": 9000}),
    _lot("S27-001-1", "salve", "2027-01-01"),
    moved("salve", 5, "made", "2027-01-01", "S27-001-1"),
    moved("cappings", -1700, "passed", "2027-07-06"),
    moved("honey_residue", 700, "came", "2027-07-06"),
    moved("wax_melted", 1000, "came", "2027-07-06"),
]  # fmt: skip
BOOK: list[Json] = [
    at("book", *digits("2185"), touch("Ann Tollefson"), name="somebody found"),
    at("book", fill("text", "Zoe Lind"), touch("someone new"), name="nobody found"),
    *(at(f"book/{place}") for place in ("calls", "till", "person/pat", "arrivals", "season", "back", "lot", "order/o42")),
    alone("arrivals-board", touch("learn from these"), touch("tell the plain ones again")),
    alone("arrival-keys", touch("dents"), touch("dents"), touch("leaked", 1), order="o42"),
    alone("arrival-keys", order="o44"),
    alone("calls-board", touch("they know"), touch("they know")),
    alone("order-board", order="o99"),
    alone("order-board", touch("print a receipt"), order="o42"),
    alone("order-board", touch("print a receipt"), order="o43"),
    *(alone("order-board", order=one) for one in ("o40", "o41", "o46", "o47")),
    alone("tracking-form", fill("tracking", " "), touch("keep the number"), fill("tracking", "77"), touch("keep the number"),
          parcel=_box("p43", "o42", part=2, tracking="9400 5550 3")),
    alone("pay-otherwise", fill("amount", "5"), fill("check_number", "9"), touch("check"), touch("cash"), order="o42", owes=3500),
    alone("take-off", fill("amount", "1.50"), fill("note", "a dent"), touch("broken"), touch("broken"), order="o42"),
    alone("payments-list", touch("this is wrong", 1), fill("amount", "x"), touch("put it right"), fill("amount", "5"),
          touch("put it right"), order="o43"),
    alone("send-again", order="o99"),
    alone("send-again", order="o44"),
    alone("send-again", touch("it never came"), order="o43"),
    alone("note-form", touch("write it down"), text=None),
    alone("person-board", person="nil", typed=""),
    alone("person-board", touch("all paid by check"), person="gus", typed=""),
    alone("person-board", person="new", typed="Zoe Lind"),
    alone("person-board", person="new", typed=None),
    alone("person-board", person="hid", typed=""),
    alone("person-board", touch("print what they owe"), person="dora", typed=""),
    alone("same-person", fill("input", "Pat"), touch("Pat Nowak is Alf Berg too"), person="alf"),
    alone("same-person", fill("input", "4930"), person="ben"),
    alone("same-person", person="pat"),
    alone("same-person", person="hid"),
    alone("same-person", person="nil"),
    alone("standing-list", person="fay"),
    alone("standing-list", touch("start it again"), touch("end it"), person="ben"),
    alone(
        "standing-list", touch("a standing order"), touch("leave it"), touch("a standing order"), touch("write it down"),
        fill("units bar", "1.5"), touch("write it down"), fill("units bar", "3"), fill("first_on", ""), touch("write it down"),
        fill("first_on", "2027-08-04"), fill("often", "4"), fill("way", "pick_up"), fill("note", " at the gate "),
        fill("checkbox", "on"), fill("street", "5 Quarry Row"), fill("city", "Austin"), fill("state", "TX"), fill("zip", "78701"),
        touch("write it down"), person="alf2",
    ),
    alone(
        "standing-list", touch("a standing order"), fill("units jar", "2"), fill("checkbox", "on"), touch("write it down"),
        fill("to_name", "Mia Castellane"), fill("street", "5 Quarry Row"), fill("city", "Austin"), fill("state", "TX"),
        fill("zip", "78701"), fill("gift_note", "For you"), fill("often", "0"), fill("way", "post"), touch("write it down"), person="cy",
    ),
    alone(
        "till-board", fill("amount", "0.00"), touch("that is what I counted"), fill("amount", "0"), touch("put in"),
        fill("amount", "128"), touch("that is what I counted"), touch("put in"), fill("amount", "200"), touch("that is what I counted"),
        day="",
    ),
    *(alone("lot-board", lot=lot) for lot in ("W27-150-1", "H27-171-A", "S27-001-1", None)),
    *(alone("season-board", season=season) for season in ("2025", "2026")),
    alone("season-board", touch("print the year"), touch("take the last figure away"), season="2027"),
]
SHELF_ROWS: list[Json] = [
    *(row for row in ROWS if row["id"] not in ("carton_low", "shelf_units")),
    {"table": "setting", "id": "carton_low", "value": None},
    {"table": "setting", "id": "shelf_units", "value": None},
    good("tin", ("tin of salve", "", ""), 6, 800, kind="wax", form="tin", net_g=50, gross_g=60, length_mm=50, width_mm=50, height_mm=20),
    moved("bar", 7, "made", "2027-07-20", "N27-201-1"),
    _box("p50", "z50", carton="c6"), _box("p51", "z51", carton="c6"), _box("p52", "z52", carton="c6"),
]  # fmt: skip
SHELF: list[Json] = [
    at("shelf/bar"),
    at("shelf/jar"),
    at("shelf/tin"),
    at("shelf/bar/count", *digits("7"), touch("that many lie there"), name="as the book says"),
    at("shelf/bar/count", touch("done counting"), name="done counting"),
    at("shelf/tin/count", *digits("3"), touch("that many lie there")),
    at("shelf/c8/count", *digits("5"), touch("bought that many more"), touch("undo")),
    at("shelf/honey_bulk/count", *digits("500"), fill("input", "for the winter", 1), touch("fed to the bees")),
    at("shelf/walk", *digits("9"), touch("2 more than the book"), touch("undo"), *digits("8"), touch("1 more than the book"),
       touch("72 lie there"), *digits("40"), touch("given away")),
    at("shelf/walk", touch("undo"), *digits("7"), name="the walk goes on"),
    at("shelf/nil"),
    alone("count-deck", good="nil"),
    alone("good-board", good="nil"),
    alone("labels-board", good="nil", made=""),
    alone("labels-board", good="tin", made=""),
    alone("labels-board", good="bar", made=""),
    at("shelf/bar/labels/N27-201-1", touch("W27-200-1"), *digits("3"), touch("print 3 labels")),
    alone("low-marks", touch("5"), good="c6"),
    alone("low-marks", good="c10"),
    alone("like-on-shelf", touch("20"), good="tin"),
]
FROZEN: list[Json] = [
    alone("take-off", fill("amount", "1.50"), touch("broken"), touch("broken"), order="o4"),
    alone("till-board", fill("amount", "7"), touch("that is what I counted"), touch("that is what I counted"), day=""),
    alone("payments-list", touch("this is wrong"), fill("amount", "5"), touch("put it right"), order="o4"),
    alone("pay-otherwise", fill("amount", "5"), touch("check"), touch("check"), order="o5", owes=3500),
    alone("person-board", fill("name", "Ole"), touch("write it down"), person="new", typed="7155550190"),
    alone("standing-list", touch("a standing order"), fill("units jar", "2"), fill("often", "0"), fill("way", "post"),
          touch("write it down"), person="cy"),
    alone("same-person", fill("input", "Gus"), touch("Gus Amin is"), person="ann"),
    alone("arrivals-board"),
    at("shelf/bar/count", *digits("7"), touch("that many lie there")),
    at("shelf/walk", *digits("9"), touch("lost")),
    alone("like-on-shelf", touch("20"), good="bar"),
]
BOOK_CHAPTERS: dict[str, Json] = {
    "book-seldom": {"kept": {**OWNED, "rows": [*ROWS, *SELDOM, *HEARD_OF]}, "screens": BOOK},
    "shelf-seldom": {"kept": {"rows": SHELF_ROWS, "identity": OWNER, "marks": {"short": {"jar": 22}}}, "screens": SHELF},
    "book-frozen": {"kept": {**OWNED, "marks": {"frozen": "Its storage is an older copy."}}, "screens": FROZEN},
}
