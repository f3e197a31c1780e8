"""On which screens every key is touched, in which houses, and what is done there before."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, board, digits, fill, touch
from screens.answers import ANSWERS
from screens.chapters import BOARDS, LOOKED_AT, OWNED
from screens.kinds_of_rows import TODAY, moved, order
from screens.rows import BELOW_ZERO, HELPER, LOG, OWNER, ROWS, SETTINGS

Json = dict[str, Any]
ANN = [*digits("2185"), touch("Ann Tollefson")]
TEN_BARS = [*ANN, touch("10")]
SOMEONE_NEW = [*digits("7155550144"), touch("someone new")]
COUNTER: list[Json] = [
    at("counter"),
    *(at("counter", *acts, name=f"counter: {name}") for name, acts in {
        "letters": [touch("letters")],
        "Ann": ANN,
        "ten bars": TEN_BARS,
        "more bars than there are": [*ANN, touch("another number"), *digits("90"), touch("that many")],
        "what else": [*TEN_BARS, touch("something else")],
        "three jars": [*ANN, touch("something else"), touch("honey jars"), touch("3")],
        "where": [*TEN_BARS, touch("Duluth")],
        "how it goes": [*TEN_BARS, touch("mail")],
        "when": [*TEN_BARS, touch("Monday")],
        "how they pay": [*TEN_BARS, touch("how?")],
        "they pick it up": [*TEN_BARS, touch("mail"), touch("they pick it up")],
        "read back": [*TEN_BARS, touch("how?"), touch("later"), touch("Read back")],
        "promised": [*TEN_BARS, touch("how?"), touch("later"), touch("Read back"), touch("Promise")],
        "someone is here": [touch("someone is here now")],
        "five bars sold": [touch("someone is here now"), touch("5"), touch("in cash"), touch("Say it, then sell"), touch("Sell")],
        "cash": [touch("someone is here now"), touch("5"), touch("in cash"), touch("$20.00")],
        "someone new": SOMEONE_NEW,
        "someone new, written down": [*SOMEONE_NEW, fill("name", "Ida Moen"), touch("write it down")],
        "where somebody new lives": [*SOMEONE_NEW, fill("name", "Ida Moen"), touch("write it down"), touch("where?")],
        "on hold": [*TEN_BARS, touch("how?"), touch("later"), touch("another call this one on hold")],
    }.items()),
    at("counter/change/o2"),
    at("counter/change/o1", name="counter: an order by mail is changed"),
]  # fmt: skip
AT_WORK: list[Json] = [
    at("bench/o11", touch("8×6×4"), touch("Packed"), name="bench: packed"),
    at("bench/o11", touch("8×6×4"), touch("Packed"), touch("on the scale"), name="bench: on the scale"),
    at("bench/o11", touch("8×6×4"), touch("Packed"), touch("Mailed"), name="bench: mailed"),
    at("bench/o10", touch("another lot"), name="bench: another lot"),
    at("bench/o10", touch("Handed over"), name="bench: handed over"),
    at("bench/o1", touch("empty carton on the scale"), name="bench: the empty carton"),
]
MELTING: list[Json] = [
    at("melt/pour", touch("pour molds empty"), name="melt: poured"),
    at("melt/pour", touch("pour molds empty"), touch("knock out"), name="melt: knocked out"),
    at("melt/bottle", *digits("12"), touch("next: honey in them"), name="melt: jars filled"),
    at("melt/bottle", *digits("12"), touch("next: honey in them"), *digits("9"), touch("next: left behind"), name="melt: left behind"),
    at("melt/extract", *digits("30"), touch("this bucket"), touch("next: drained cappings"), name="melt: a bucket"),
]
OTHERWISE: Json = {
    **SETTINGS, "length_unit": "mm", "temperature_unit": "C", "paper": "a4", "label_size": "a4", "slip_prices": True, "ask_weather": False,
    "fan": True, "mould_sets": 1, "demo": True, "hold_allowed": False, "posting_prices": "", "posting_honey_asked": False,
    "posting_days": ["Thu"], "heat_offset": {"shift_permille": 40, "since": "2027-07-01"},
    "sales_tax": {"on": False, "rate": 0, "mailing": False}, "area_code": "", "phone": "",
    "tracking_link": "", "carton_low": {}, "shelf_units": {"jar": 40}, "scale_division_g": 1, "morning_hours": 6, "accept_permille": 5,
}  # fmt: skip
LATE: list[Json] = [
    *order("late", "ann", "post", "promised", "2027-07-20", {"bar": (5, 1250)}, posting_cents=900, pays="paid", goes_to="own",
           to_street="41 Heron Sill Rd", to_city="Duluth", to_state="MN", to_zip="55811"),
    *order("two", "gus", "post", "promised", TODAY, {"bar": (120, 26000), "jar": (4, 4800)}, posting_by="hand", posting_cents=4000,
           pays="check", goes_to="own", to_street="90 Larkwater Ln", to_city="Tempe", to_state="AZ", to_zip="85281"),
    moved("bar", -49, "broken", "2027-07-22", "W27-200-1"),
    moved("jar", -24, "gift", "2027-07-22", "J27-180-1"),
    *order("none", "cy", "pick_up", "promised", TODAY, {"comb": (3, 4500)}, pays="later"),
]  # fmt: skip
IN_ANOTHER_HOUSE: list[Json] = [
    at("counter"),
    at("counter", *TEN_BARS, name="counter: ten bars"),
    at("counter", *TEN_BARS, touch("how?"), touch("later"), touch("take 10"), touch("Read back"), name="counter: read back"),
    at("shelf"),
    *(alone("good-board", good=good) for good in ("bar", "jar", "comb", "c8")),
    *(at(f"shelf/{place}") for place in ("bar/labels", "bar/count", "jar/labels", "walk")),
    at("bench"),
    *(alone("parcel-board", order=of) for of in ("late", "none", "o3", "o10")),
    at("melt"),
    at("melt/pour"),
    at("book"),
    *(alone("order-board", order=of) for of in ("late", "two", "none", "o2", "o3", "o7")),
    alone("person-board", person="ann", typed=""),
    alone("till-board", day=""),
    alone("calls-board"),
    alone("season-board", season=""),
    *map(board, ("house", "heat", "tax", "melting", "papers", "goods", "cartons", "device", "prices")),
    *(alone("measure-board", good=good) for good in ("bar", "c8")),
    alone("cartons-board", carton="c8"),
]
IN_REACH: list[Json] = [
    *map(board, ("people", "late", "devices", "calendar", "device", "out")),
    alone("looking-back-board", season=""),
    alone("person-board", person="gus", typed=""),
    alone("lot-board", lot="W27-190-1"),
    alone("season-board", season=""),
    alone("first-walk", path=["help"]),
]
ROOMS = ("counter", "shelf", "bench", "melt", "book", "settings")


def _looked_at(*tags: str) -> list[Json]:
    return [screen for screen in LOOKED_AT if screen["tag"].startswith(tags)]


KEYS: dict[str, Json] = {
    "counter": {"kept": OWNED, "screens": COUNTER[:8]},
    "counter-on": {"kept": OWNED, "screens": COUNTER[8:15]},
    "counter-further": {"kept": OWNED, "screens": COUNTER[15:]},
    "shelf": {"kept": OWNED, "screens": _looked_at("shelf", "good-board")},
    "bench": {"kept": OWNED, "screens": _looked_at("bench", "parcel")[:3]},
    "bench-further": {"kept": OWNED, "screens": _looked_at("parcel")[2:]},
    "packed": {"kept": OWNED, "screens": AT_WORK[:3]},
    "handed-over": {"kept": OWNED, "screens": AT_WORK[3:]},
    "melt": {"kept": OWNED, "screens": [*_looked_at("melt-room"), *MELTING]},
    "orders": {"kept": OWNED, "screens": _looked_at("order-board")},
    "book": {"kept": OWNED, "screens": _looked_at("book", "person-board", "till", "calls", "arrivals", "season", "looking", "lot")},
    "settings": {"kept": OWNED, "screens": _looked_at("settings", "device", "lost", "moved", "house", "tax", "heat", "people", "padding",
                                                      "papers", "melting", "calendar", "out", "needs", "late")},
    "goods": {"kept": OWNED, "screens": _looked_at("goods", "cartons", "prices", "measure", "sold", "good-new")},
    "first": {"kept": OWNED, "screens": _looked_at("first")},
    "helper": {"most": 4, "kept": {"rows": ROWS, "identity": HELPER}, "screens": [*map(at, ROOMS), *map(board, BOARDS)]},
    "nothing-yet": {"most": 4, "kept": {"rows": [], "identity": OWNER}, "screens": [
        *map(at, ROOMS), *map(board, BOARDS),
        *(alone("first-walk", path=path) for path in ([], ["name"], ["goods"], ["shelf"], ["cartons"], ["molds"])),
    ]},
    "nobody": {"kept": {"rows": [], "identity": None}, "screens": [*map(at, ROOMS), at("settings/enrol/ABCD"), at("settings/own")]},
    "no-signal": {"most": 4, "kept": {**OWNED, "rows": [*ROWS, *BELOW_ZERO], "log": LOG, "status": {"signal": "none", "update": True}},
                  "screens": [alone("house-head"), board("needs"), board("device"), *map(at, ROOMS),
                              at("counter", *TEN_BARS, name="ten bars")]},
    "another-way": {"most": 4, "kept": {**OWNED, "granted": {}, "rows": [
        *({"table": "setting", "id": id, "value": value} for id, value in OTHERWISE.items()),
        *(row for row in ROWS if row["table"] != "setting"), *LATE,
    ]}, "screens": IN_ANOTHER_HOUSE},
    "in-reach": {"told": ANSWERS, "afterwards": 6, "kept": OWNED, "screens": IN_REACH},
    "wide": {"most": 4, "wide": True, "kept": OWNED, "screens": [*map(at, ROOMS), at("book/order/o1"), at("shelf/bar"), at("bench/o1")]},
}  # fmt: skip
