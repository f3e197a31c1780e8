"""The Settings at work: what is typed wrong, put away, brought back and taken away, in a full house and in one of which little is known."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, board, digits, fill, still, touch
from screens.answers import ANSWERS
from screens.kinds_of_rows import bulk, carton, good, moved, person
from screens.rows import OWNED, OWNER, ROWS, entry
from screens.settings_first_chapters import FIRST_WALK

Json = dict[str, Any]
Act = dict[str, Any]


def setting(id: str, value: Any) -> Json:
    return {"table": "setting", "id": id, "value": value}


PADDINGS: list[Json] = [
    {"id": "pa", "name": "wool", "thickness_mm": 12, "mw_per_mk": 40, "kg_per_m3": 35, "cost_cents": 35, "here": 0, "hidden": False},
    {"id": "pb", "name": "paper batt", "thickness_mm": 15, "mw_per_mk": 40, "kg_per_m3": 35, "cost_cents": 0, "here": None,
     "hidden": False},
    {"id": "pc", "name": "old felt", "thickness_mm": 9, "mw_per_mk": 40, "kg_per_m3": 35, "cost_cents": 0, "here": 4, "hidden": True},
    {"id": "pd", "name": "cork", "thickness_mm": 20, "mw_per_mk": 40, "kg_per_m3": 35, "cost_cents": 120, "here": 7, "hidden": False},
]
COLD_PACKS: list[Json] = [
    {"id": "ka", "name": "gel pack", "length_mm": 152, "width_mm": 102, "height_mm": 26, "mass_g": 283, "cost_cents": 60, "here": 12,
     "hidden": False},
]  # fmt: skip
FEES = "price,ground,1,24,,,950,yes\nfee,,,,longest_over_in,22,400,\nfee,,,,volume_over_in3,3456,1500,\n"
SERVICES = "row,service,zone,up_to_oz,what,over,cents,example\n"
TYPED_WRONG = "price,ground,1,many,,,950,\n"
MORE: list[Json] = [
    setting("paddings", PADDINGS),
    setting("cold_packs", COLD_PACKS),
    setting("label_picture", "data:image/png;base64,AAAA"),
    good("unmeasured", ("melted ornament", "melted ornaments", "ornaments"), 6, 900, kind="wax", form="candle", bears_g=1500),
    good("bottle_12oz", ("honey bottle (12 oz)", "honey bottles (12 oz)", "12 oz bottles"), 7, 800, kind="honey", form="bottle",
         length_mm=60, width_mm=60, height_mm=150, gross_g=370, net_g=340, typical=True, bears_g=2000),
    good("bucket_60lb", ("bucket of honey (60 lb)", "buckets of honey (60 lb)", "buckets"), 8, 24000, kind="honey", form="bucket"),
    *carton("c5", "5×5×5", [5, 5, 5], 0, tare_g=0),
]  # fmt: skip
KEPT: Json = {**OWNED, "rows": [*ROWS, *MORE]}


def named(name: str, screen: Json) -> Json:
    return {**screen, "name": name}


def typed(which: str, *values: str, nth: int = 0) -> list[Act]:
    """Several things into one field, one after the other."""
    return [fill(which, value, nth) for value in values]


def tried(which: str, key: str, *values: str) -> list[Act]:
    """The same, and the key of the form after each."""
    return [act for value in values for act in (fill(which, value), touch(key))]


TAKEN_AWAY = [touch("take the last figure away")] * 3
EVERY_BOARD = ("devices", "lost", "moved", "house", "goods/lump", "tax", "heat", "measures", "measures/lump", "people",
               "cartons", "cartons/new",
               "padding", "prices", "papers", "melting", "calendar", "out", "needs", "late", "device", "first", "first/goods",
               "nothing")  # fmt: skip
FULL: list[Json] = [
    board(
        "padding",
        *typed("input", "many", "4", ""), touch("use this one first", 1), touch("put it away"), touch("bring old felt back"),
        touch("put it away", 3), touch("add a padding"), touch("add the padding"), fill("name", "sheep"), fill("cost", "free"),
        touch("add the padding"), fill("cost", "0.5"), fill("here", "1.5"), touch("add the padding"), fill("here", "12"),
        touch("add the padding"), fill("thickness_mm", "1/2"), touch("add the padding"), touch("undo"),
    ),
    named("a cold pack more", board(
        "padding",
        touch("add a cold pack"), fill("name", "big gel pack"), fill("length_mm", "6"), fill("width_mm", "4"), fill("height_mm", "thick"),
        touch("add the cold pack"), fill("height_mm", "1 1/4 in"), touch("add the cold pack"),
        *tried("weight", "add the cold pack", "0", "ten", "10"), touch("use this one first", 3), touch("add a padding"),
        touch("add a cold pack"), touch("leave it"),
    )),
    alone(
        "cartons-board",
        touch("6×6×6"), touch("6×6×6"), touch("add it"), fill("L", "7"), fill("W", "5"), fill("H", "3 1/2"),
        *tried("count", "add it", "2.5", "some", "-1", "3"), carton="new",
    ),
    named("a usual carton", alone("cartons-board", touch("9×6×4"), fill("cost", "0.61"), touch("add it"), carton="new")),
    board("cartons", touch("bring 12×12×8 back"), touch("undo")),
    alone("cartons-board", touch("put it away"), touch("bring it back"), fill("cost", ""), touch("write it down"), carton="c10"),
    board(
        "papers",
        *typed("input", "0", "1", "40", "41", "2.5", "4"), *typed("input", "wide", "-1", "66 mm", nth=2), fill("input", "0", 4),
        *typed("input", "-1 mm", "−1/16", "0.0 in", "1 mm", "-", nth=8), touch("A4", 1), touch("letter"), touch("leave it out"),
        touch("print the price list"), touch("print care cards"), touch("print the test sheet"),
    ),
    board(
        "house",
        *typed("input", "Alder Hill Honey", "Alder Mill Honey"), *typed("input", "55811", nth=1),
        *typed("input", "12", "2185550144", nth=6),
        *typed("input", "https://example.org/parcel", "", "https://example.org/{number}", nth=9),
        fill("textarea", "So long."), touch("Mon"), touch("Wed"), touch("1 g"), touch("1 in 100"),
    ),
    board(
        "goods",
        touch("change the order"), still(touch("“wax bar (1 oz): up” ↑")), touch("“honey jar (1 lb): up” ↑"),
        touch("“wax bar (1 oz): down” ↓"), still(touch("“bucket of honey (60 lb): down” ↓")), touch("this is the order"),
    ),
    alone("goods-board", path=["add", "own"]),
    alone("goods-board", path=["gone", "price"]),
    named("the price of another day", alone(
        "goods-board",
        touch("from Aug 1"), fill("date", "2027-09-15"), *digits("4"), touch("write it down"), touch("take this price away"),
        touch("from now"), touch("some together"), touch("only one"), touch("some together"), *digits("1"),
        touch("take the last figure away"), *digits("5"), touch("what do 5 cost?"), touch("only one"), touch("some together"),
        touch("what do 5 cost?"), *digits("12"), touch("write it down"), path=["bar", "price"],
    )),
    named("a price at the counter taken away", alone("goods-board", touch("take this price away"), touch("undo"), path=["jar", "price"])),
    board(
        "heat",
        *typed("input", "warm", "", "100", nth=0), *typed("input", "0", "0.04", "0.1", "1000", "1000.1", "2,5", nth=4),
        touch("back to the usual"), fill("input", "99", 1), touch("handed in at the door"), touch("9 am"),
    ),
    board("tax", fill("checkbox", "on"), fill("checkbox", "", 6), fill("checkbox", "on", 7)),
    named("rates of tax", board(
        "tax", *TAKEN_AWAY, *digits("101"), touch("use this rate"), touch("take the last figure away"), *digits("0"),
        touch("take the last figure away"), touch("take the last figure away"), *digits("00"), touch("use this rate"),
        *([touch("take the last figure away")] * 3), *digits("0"), touch("use this rate"),
    )),
    board("melting", touch("12"), still(touch("12")), touch("24")),
    alone(
        "sold-good",
        touch("rename it"), fill("name", " "), touch("write it down"), fill("name", "bar of the purest yellow wax of ours"),
        fill("plural", ""), fill("short", ""), touch("write it down"),
        touch("rename it"), touch("leave the name"), touch("stop selling it"), good="bar",
    ),
    *(alone("sold-good", good=good) for good in ("block", "unmeasured", "bottle_12oz", "bucket_60lb", "nobody's")),
    alone("sold-good", touch("sell it again"), good="comb"),
    named("a price at once", alone("goods-board", fill("name", ""), touch("add it"), path=["add", "own"])),
    board("measure", good=""),
    *(alone("measure-board", good=good) for good in ("unmeasured", "c5", "gone")),
    named("a bar measured", alone(
        "measure-board",
        fill("net", "31"), *tried("weight", "write it down", "", "0", "30", "31"), fill("weight", "41"), fill("net", ""),
        fill("glass", "on"), fill("bare", "on"), fill("upright", "on"), fill("L", "3 1/16"), touch("write it down"), fill("bare", ""),
        touch("write it down"), good="bar",
    )),
    named("a jar measured", alone("measure-board", touch("write it down"), fill("bare", ""), touch("write it down"), good="jar")),
    named("a comb measured", alone("measure-board", touch("write it down"), good="comb")),
    named("an ornament measured", alone(
        "measure-board", fill("L", "60 mm"), fill("W", "2 3/8 in"), fill("H", "0"), fill("weight", "50"), touch("write it down"),
        fill("H", "5 mm"), touch("write it down"), good="unmeasured",
    )),
    named("a carton measured", alone(
        "measure-board",
        *tried("weight", "write it down", "0", "150"),
        *tried("gross", "write it down", "none", "0", "0.5", "1 lb", "65 lbs"), *tried("united", "write it down", "99 mm", "wide", "75 in"),
        *tried("crush", "write it down", "0.9", "32"), *tried("board", "write it down", "0.4 mm", "31 mm", "5/32 in", "4 mm", ""),
        good="c8",
    )),
    board("prices", fill("pasted", " "), still(touch("look at it")), fill("pasted", SERVICES + FEES + TYPED_WRONG), touch("look at it"),
          touch("leave it"), fill("pasted", SERVICES + FEES + 2 * TYPED_WRONG), touch("look at it"), touch("use this table"),
          still(touch("save as a file"))),
    named("a long table", board("prices", fill("pasted", SERVICES + 81 * TYPED_WRONG), touch("look at it"))),
    named("prices by hand", board(
        "prices", fill("weight", "1"), fill("price", "0"), *[act for zone in ("0", "1.5", "9") for act in (
            fill("zone", zone), touch("look at it", 1))], touch("leave it"), fill("zone", "1"), fill("weight", "0"), touch("look at it", 1),
        fill("weight", "heavy"), touch("look at it", 1), fill("weight", "0.5"), fill("price", ""), touch("look at it", 1),
        fill("price", "dear"), touch("look at it", 1), fill("price", "$ 7.10"), touch("look at it", 1),
    )),
    named("a long file of people", board("people", touch("0 twice"), touch("0 left out"), touch("0 to look at"), read={
        "encoding": "koi8-r", "counts": {}, "columns": [],
        "lines": [{**ANSWERS["POST /api/people/read"]["lines"][0], "line": line} for line in range(1, 63)],
    })),
    named("sixty people", board("people", read={
        "encoding": "utf-8", "counts": {"new": 60}, "columns": [],
        "lines": [{**ANSWERS["POST /api/people/read"]["lines"][0], "line": line} for line in range(1, 61)],
    })),
]  # fmt: skip
LITTLE: list[Json] = [
    {"table": "device", "id": "phone-a", "name": "Shed phone", "mark": "A", "role": "keeper", "lost": False},
    setting("demo", True),
    setting("sales_tax", {"on": False, "rate": 0}),
    {"table": "good", "id": "lump", "name": "lump of wax", "rank": 1, "kind": "wax", "unit": "each", "sold": True, "hidden": False},
    {"table": "good", "id": "ball", "name": "ball of wax", "rank": 2, "kind": "wax", "unit": "each", "sold": False, "hidden": False},
    {"table": "good", "id": "box", "name": "carton of old", "rank": 100, "kind": "carton", "unit": "each", "sold": False, "hidden": False},
    bulk("wax_fine", "fine screened wax", 20),
    person("eve", "Eve Stroud", ""),
    moved("ball", 2, "opening", "2027-06-01"),
    {"table": "forecast", "id": "548", "service": "example", "issued": "2027-07-24T10:00:00Z", "fetched_at": "2027-07-24T11:00:00Z",
     "days": [{"day": "2027-07-24", "max_tenths": 280, "min_tenths": 160, "sky_percent": 40}]},
]  # fmt: skip
LITTLE_LOG = [
    entry(1, "refused", "note_person", "Nobody is called that.", table="person", id="eve", note="x"),
    entry(2, "refused", "of_tomorrow", "It cannot be read.", table="person", id="nobody", note="x"),
    entry(3, "refused", "amend", "The order is not known.", table="order", id="o99", note="x"),
]
BARE: list[Json] = [
    at("settings"),
    at("settings/own"),
    board("needs", touch("dealt with")),
    board("house", fill("input", "00901", 1), fill("input", "00801", 1), touch("Tue")),
    board("heat", *typed("input", "100", "99", nth=0), touch("back to the usual"), touch("The weather service is asked")),
    board("melting", touch("16"), touch("2"), touch("2 hours"), touch("no fan"), touch("1 in 20")),
    board("goods", touch("sell it again"), touch("change the order"), touch("this is the order")),
    board("cartons"),
    board("measure", good=""),
    *(alone("measure-board", good=good) for good in ("lump", "box")),
    *(alone("sold-good", good=good) for good in ("lump", "ball")),
    named("lump renamed", alone("sold-good", touch("rename it"), touch("write it down"), good="lump")),
    board("tax", touch("on"), fill("checkbox", "on", 1)),
    board("prices", touch("begin with the example")),
    board("padding"),
    board("papers", touch("print care cards")),
    board("people", read={"encoding": "utf-8", "counts": {}, "columns": [], "lines": []}),
    *(at(f"settings/{place}") for place in EVERY_BOARD),
    alone("settings-room", path=["moved", "https://192.168.1.9:8471"]),
]
SETTINGS_AT_WORK: dict[str, Json] = {
    "settings-typed": {"kept": KEPT, "screens": FULL},
    "settings-bare": {"kept": {"rows": LITTLE, "identity": OWNER, "log": LITTLE_LOG}, "screens": BARE},
    **FIRST_WALK,
}
