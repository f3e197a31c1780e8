"""The first questions of a house that begins, and of one that is asked anew: typed wrong, passed over, gone back, answered otherwise."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, digits, fill, touch
from screens.kinds_of_rows import carton, good, moved
from screens.rows import OWNED, OWNER, ROWS

Json = dict[str, Any]
DEVICE: Json = {"table": "device", "id": "phone-a", "name": "Shed phone", "mark": "A", "role": "keeper", "lost": False}
LOTS: list[Json] = [
    {"table": "lot", "id": lot, "good": "bar_1oz", "made_on": "2027-07-05", "sources": [], "measures": {}}
    for lot in ("W27-186-1", "W27-187-1")
]
SHELF: list[Json] = [
    good("bar_1oz", ("wax bar (1 oz)", "wax bars (1 oz)", "bars"), 1, 0, kind="wax", form="bar", row=12, typical=True),
    good("jar_1lb", ("honey jar (1 lb)", "honey jars (1 lb)", "1 lb jars"), 2, 1000, kind="honey", form="jar", row=6, typical=True),
    *LOTS,
    moved("bar_1oz", 5, "opening", "2027-06-01"),
    moved("bar_1oz", 20, "poured", "2027-07-05", "W27-186-1"),
    moved("bar_1oz", 10, "poured", "2027-07-06", "W27-187-1"),
]
OVER: Json = {"table": "setting", "id": "first_questions", "value": {"by": "phone-a", "told": {"help": "skipped"}, "done": True}}
UNDERWAY: Json = {
    "table": "setting", "id": "first_questions",
    "value": {"by": "phone-a", "told": {"name": "skipped", "goods": "answered", "molds": "answered"}, "done": False},
}  # fmt: skip


def first(name: str, *acts: Any, path: list[str]) -> Json:
    return {**alone("first-walk", *acts, path=path), "name": name}


TAKE_AWAY = touch("take the last figure away")
BEGINS: list[Json] = [
    first("the list at the beginning", path=[]),
    first(
        "a name, a ZIP and a town",
        touch("next"), fill("name", "Alder Hill Honey"), touch("next"), fill("zip", "5484"), touch("next"), fill("zip", "00901"),
        touch("next"), touch("back"), path=["name"],
    ),
    first("the name is kept", fill("city", "San Juan"), touch("another town"), path=["name"]),
    first(
        "a state that is none", touch("another town"), fill("state", "P1"), touch("next"), fill("state", "pr"), touch("next"),
        touch("skip"), path=["name"],
    ),
    first("another ZIP", fill("zip", "54843"), fill("city", "Hayward"), touch("another town"), touch("next"), path=["name"]),
    first("a ZIP that is in no list", fill("zip", "00000-1234"), touch("next"), path=["name"]),
    first("nothing is sold yet", touch("nothing yet"), path=["goods"]),
    first("a thing touched twice", touch("wax bar (1 oz)"), touch("honey jar (1 lb)"), touch("honey jar (1 lb)"), path=["goods"]),
    first("what was touched is kept", touch("this one"), touch("back"), path=["goods"]),
    first("no carton yet", touch("none yet"), path=["cartons"]),
    first(
        "a carton of one's own",
        touch("add this size"), fill("length", "7"), fill("width", "5"), fill("height", "3 1/2"), touch("add this size"),
        path=["cartons"],
    ),
    first("one of one's own is kept", touch("this one"), path=["cartons"]),
    first("what one bar costs", touch("$3"), path=["prices", "bar_1oz"]),
    first("the shelf at the beginning", touch("none"), path=["shelf", "bar_1oz"]),
    first("the molds at the beginning", touch("no molds yet"), path=["molds"]),
    first("nobody helps", touch("nobody"), path=["help"]),
    first("the list at the end", path=[]),
]  # fmt: skip
ASKED_ANEW: list[Json] = [
    first("the list of what is open", path=[]),
    first("none of what was asked", path=["nothing"]),
    first("honey in a state that is not known", touch("Not yet"), touch("back"), path=["honey"]),
    first(
        "a price typed", *digits("3"), touch("“point” ."), *digits("255"), touch("$3.26 each"), touch("back"), path=["prices", "bar_1oz"],
    ),
    first("a price to the cent", path=["prices", "bar_1oz"]),
    first("the next price", touch("$8"), touch("back"), path=["prices", "jar_1lb"]),
    first("fewer bars than the book says", *digits("33"), touch("33 wax bars (1 oz)"), path=["shelf", "bar_1oz"]),
    first("fewer than have no lot", *digits("12"), touch("12 wax bars (1 oz)"), path=["shelf", "bar_1oz"]),
    first("more bars than the book says", *digits("1000"), touch("1,000 wax bars (1 oz)"), path=["shelf", "bar_1oz"]),
    first("as many as the book says", touch("40"), path=["shelf", "bar_1oz"]),
    first("forty once more", touch("40"), path=["shelf", "bar_1oz"]),
    first("one bar alone", *digits("1"), touch("1 wax bar (1 oz)"), path=["shelf", "bar_1oz"]),
    first("the first jars", *digits("7"), touch("7 honey jars (1 lb)"), path=["shelf", "jar_1lb"]),
    first("a figure that is kept", *digits("8"), path=["shelf", "jar_1lb"]),
    first("a figure taken away", TAKE_AWAY, path=["shelf", "jar_1lb"]),
    first("molds", touch("24 bars"), path=["molds"]),
    first("molds once more", touch("back"), path=["molds"]),
]
OTHERWISE: list[Json] = [
    first("a list that is over", path=[]),
    first("the state is known", touch("Not yet"), path=["honey"]),
    first("back to the list", touch("back"), path=["molds"]),
    first("back to the thing before", touch("back"), path=["shelf", "jar"]),
    first("what is sold no more", touch("candle block (1 lb)"), touch("these 2"), path=["goods"]),
    first("nothing is sold any more", touch("wax bar (1 oz)"), touch("honey jar (1 lb)"), path=["goods"]),
    first("cartons changed", touch("6×4×4"), touch("12×12×8"), touch("these"), path=["cartons"]),
    first("one size typed twice", *([fill("length", "9"), fill("width", "7"), fill("height", "5 1/2"), touch("add this size")] * 2),
          touch("9×7×5 1/2"), touch("these"), path=["cartons"]),
    first("cartons counted", *digits("1200"), touch("1,200 of them"), path=["cartons", "c10"]),
    first("cartons put away", touch("12×12×8"), touch("10×8×6"), touch("8×6×4"), touch("none yet"), path=["cartons"]),
    first("a helper more", touch("a helper"), touch("back"), path=["help"]),
    at("settings"),
]
FIRST_WALK: dict[str, Json] = {
    "first-begins": {"kept": {"rows": [DEVICE], "identity": OWNER}, "screens": BEGINS},
    "first-anew": {"kept": {"rows": [DEVICE, *SHELF, UNDERWAY, *carton("c6", "6×4×4", [6, 4, 4], 41)], "identity": OWNER},
                   "screens": ASKED_ANEW},
    "first-over": {"kept": {**OWNED, "rows": [*ROWS, OVER]}, "screens": OTHERWISE},
}  # fmt: skip
