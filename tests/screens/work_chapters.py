"""Chapters of what is seldom done at work: at the Counter, at the Bench and at the stove."""

from __future__ import annotations

from typing import Any

from screens.acts import alone, at, digits, fill, touch
from screens.kinds_of_rows import TODAY, good, moved, order, person
from screens.rows import AUSTIN, DULUTH, MONDAY, OWNED, ROWS, YESTERDAY

Json = dict[str, Any]
WAX: Json = {"kind": "wax", "form": "block", "net_g": 100, "gross_g": 104, "length_mm": 120, "width_mm": 30, "height_mm": 30,
    "typical": True}
SELDOM_SOLD: list[Json] = [
    good("taper", ("taper", "tapers", "tapers"), 6, 700, row=0, **WAX),
    good("bear", ("wax bear", "", ""), 7, 900, row=4, **WAX),
    moved("taper", 40, "opening", "2027-06-01"), moved("bear", 1, "opening", "2027-06-01"),
]  # fmt: skip
"""One by the piece and not by the row, and one that has but one name."""
CALLERS: list[Json] = [
    person("ida", "Ida Moen", "+17155550144"),
    person("ed", "Ed Varga", "+17155550145"),
    person("eva", "Eva Lund", "+17155550146"),
    person("nell", "Nell Boyd", "", AUSTIN),
    *order("o41", "ed", "pick_up", "let_go", None, {"jar": (1, 1200)}, pays="paid"),
    {"table": "payment", "id": "y41", "order": "o41", "cents": 1200, "how": "cash", "on": YESTERDAY, "note": ""},
    *order("o42", "eva", "pick_up", "gone", YESTERDAY, {"bar": (5, 1250)}, handed=True, gone_on=YESTERDAY, pays="cash"),
    {"table": "payment", "id": "y42", "order": "o42", "cents": 1250, "how": "cash", "on": YESTERDAY, "note": ""},
    *order("o43", "nell", "post", "promised", None, {"bar": (5, 1250)}, posting_cents=900, posting_by="hand", pays="later"),
    *order("o47", "ann", "post", "promised", MONDAY, {"bar": (5, 1250)}, posting_cents=900, posting_by="hand", pays="later", goes_to="own",
           to_name="Mia Berg", to_street=DULUTH[0], to_city=DULUTH[1], to_state=DULUTH[2], to_zip=DULUTH[3]),
    *order("o44", None, "pick_up", "promised", None, {"taper": (1, 700)}, pays="later"),
    *order("o45", "eva", "pick_up", "promised", TODAY, {"taper": (1, 700)}, pays="later"),
    *order("o46", "nell", "pick_up", "promised", TODAY, {"taper": (1, 700)}, pays="later"),
]
"""Who wants nothing, is to have money back, has had it all; an order by mail without a day, and one that nobody's name is on."""
COUNTER: list[Json] = [
    at("counter", name="a day with much to do"),
    at(
        "counter", fill("text", "Ben"), touch("Okada"), touch("Ben Okada"), fill("text", "Gus"), touch("Amin"), touch("Gus Amin"),
        fill("text", "Ed "), touch("Varga"), touch("Ed Varga"), fill("text", "Eva"), touch("Lund"), touch("Eva Lund"),
        fill("text", "Ida"), touch("Moen"), touch("mail"), touch("What do they want?"), name="who they are",
    ),
    at(
        "counter", touch("Ida Moen"), fill("text", "Ann"), touch("Tollefson"), touch("change that order"),
        touch("5 wax bars"), touch("5 wax bars"), touch("leave it as it was"), name="an open order",
    ),
    at("counter/change/o43", touch("Read back, then change"), touch("Change it"), touch("Next call"), name="a change of nothing"),
    at(
        "counter/change/o1", touch("Duluth"), fill("street", "9 Elm Ct"), touch("they live here now"), touch("Read back, then change"),
        touch("Change it"), touch("Next call"), name="a change of where they live",
    ),
    at("counter/change/o8", touch("use the new address"), touch("1 candle block"), touch("1 candle block"), touch("leave it as it was")),
    at("counter/change/o47", touch("use the new address"), touch("wax bars"), touch("10"), touch("Read back, then change"),
        touch("Change it"), touch("Next call")),
    at(
        "counter", *digits("2185"), touch("Ann Tollefson"), touch("10"), touch("Duluth"), fill("street", "2 Oak St"),
        fill("to_name", "Mia Berg"), fill("gift_note", "With love"), touch("for this order only"), touch("Mia Berg, Duluth MN"),
        touch("to their own address"), touch("Duluth"), fill("street", "3 Ash St"), fill("to_name", "Mia Berg"),
            touch("they live here now"),
        touch("$34.50"), *digits("8"), touch("add it"), touch("something else"), touch("tapers"), touch("2"), touch("something else"),
        touch("wax bear"), touch("another number"), touch("that many"), touch("1"), touch("one more"), touch("take 1"),
        touch("Read back, then promise"), touch("Promise"), touch("one more, to another address"), touch("Duluth"),
            touch("they go without"), touch("tapers"), touch("tapers"), touch("start over"),
        name="a call for three things",
    ),
    at(
        "counter", fill("text", "3 bees"), touch("someone new"), touch("back"), fill("text", "Nils"), touch("someone new"),
        fill("phone", "7155550147"), touch("write it down"), touch("5"), touch("where?"),
        fill("zip", "55811"), fill("street", "1 Elm St"), fill("city", "Duluth"), fill("state", "MN"), touch("write it down"),
        touch("Read back, then promise"), touch("Promise"), touch("Next call"), name="somebody new who pays later",
    ),
    at(
        "counter", fill("text", "Gus"), touch("Amin"), touch("15"), touch("take 15, 15 waiting"), touch("Gus Amin"),
        fill("text", "Nell"), touch("Boyd"), touch("Read back, then promise"), touch("Promise"), touch("Next call"),
        name="heat on the way, and some of it waits",
    ),
    at(
        "counter", touch("someone is here now"), touch("something else"), touch("tapers"), touch("1"), touch("Someone"),
            touch("no name needed"), touch("Someone"),
        fill("text", "Eva"), touch("Lund"), touch("in cash"), touch("check"), touch("Say it, then sell"), touch("Sell"), touch("Next"),
        name="a sale by check",
    ),
    at(
        "counter", touch("someone is here now"), touch("something else"), touch("honey jars"), touch("1"), touch("in cash"),
        touch("owes it"), touch("something else"), touch("wax bars"), touch("20"), touch("Who is it?"), touch("no name needed"),
        touch("Who is it?"), fill("text", "Eva"), touch("Lund"), touch("sell 20 all the same"),
        touch("Say it, then sell"), touch("Sell"), touch("Next"), name="a sale of more than is free here, owed by somebody with a name",
    ),
    at(
        "counter", fill("text", "Ida"), touch("Moen"), touch("mail"), touch("here now"), touch("here now"), touch("they pick it up"),
        name="here now after all",
    ),
]
PACKED_FIRST: list[Json] = [
    {"table": "setting", "id": "label_size", "value": "paper"},
    good("pole", ("dipping pole", "dipping poles", "poles"), 8, 4000, **{**WAX, "length_mm": 900}),
    {"table": "lot", "id": "B27-1", "good": "bear", "made_on": "2027-06-01", "sources": [], "measures": {}},
    {"table": "lot", "id": "Q27-1", "good": "never_heard_of", "made_on": "2027-06-01", "sources": [], "measures": {}},
    {"table": "lot", "id": "W27-201-1", "good": "bar", "made_on": "2027-07-20", "sources": [], "measures": {}},
    {"table": "lot", "id": "W27-202-1", "good": "bar", "made_on": "2027-07-21", "sources": [], "measures": {}},
    moved("bar", 1, "poured", "2027-07-20", "W27-201-1"),
    moved("bar", 2, "poured", "2027-07-21", "W27-202-1"), moved("bar", -2, "broken", "2027-07-21", "W27-202-1"),
    moved("bar", 12, "poured", "2027-07-22", "W27-203-1"),
    moved("block", 20, "opening", "2027-06-02"), moved("pole", 2, "opening", "2027-06-01"), moved("bar", 90, "opening", "2027-06-02"),
    *order("o51", "ben", "pick_up", "promised", TODAY, {"bar": (60, 13800)}, pays="check"),
    *order("o52", "ida", "pick_up", "promised", YESTERDAY, {"bar": (5, 1250)}, pays="paid"),
    {"table": "payment", "id": "y52", "order": "o52", "cents": 1250, "how": "cash", "on": YESTERDAY, "note": ""},
    *order("o53", "ed", "pick_up", "promised", TODAY, {"bar": (5, 1250), "jar": (1, 1200), "block": (1, 2200), "taper": (2, 1400)},
        pays="paid"),
    {"table": "payment", "id": "y53", "order": "o53", "cents": 9000, "how": "cash", "on": YESTERDAY, "note": ""},
    *order("o54", None, "pick_up", "promised", None, {"bar": (5, 1250)}, sure={}, pays="later"),
    *order("o55", "ben", "post", "promised", MONDAY, {"bar": (2, 600)}, pays="later"),
    *order("o56", "nell", "post", "promised", MONDAY, {"bar": (12, 2900)}, pays="later", posting_cents=900, posting_by="hand"),
    *order("o57", "ann", "post", "promised", "2027-07-27", {"block": (12, 26400)}, pays="later"),
    *order("o58", "gus", "post", "promised", "2027-08-03", {"bar": (5, 1250)}, pays="later", goes_to="other", to_name="Mia Berg",
           to_street="58 Elm St", to_city="Duluth", to_state="MN", to_zip="55811"),
    *order("o63", "nell", "post", "packed", "2027-07-28", {"bar": (2, 600)}, pays="later"),
    {"table": "parcel", "id": "p63", "order": "o63", "part": 1, "carton": "c6", "dressing": "plain", "gross_g": 180, "gross_sd_g": 5,
     "packed_on": YESTERDAY, "tracking": ""},
    *order("o66", "fay", "post", "promised", "2027-07-28", {"bar": (2, 600)}, sure={}, pays="later"),
    *order("o64", "fay", "post", "promised", "2027-08-02", {"bar": (40, 9200)}, sure={"bar": 5}, pays="later"),
    *order("o65", "fay", "post", "promised", "2027-08-02", {"pole": (1, 4000)}, pays="later"),
    *order("o67", "fay", "post", "promised", None, {"bar": (2, 600)}, pays="later"),
    *order("o68", "nell", "post", "promised", None, {"bar": (2, 600)}, pays="later"),
]  # fmt: skip
"""Lots of which little lies here, what is paid already, what has no address, what fills two cartons, and what fits in none."""
OTHER_LOT = "another lot"
BENCH: list[Json] = [
    alone("day-list"), alone("parcel-board", order="nobody"), alone("pack-deck", order="nobody"), at("bench/o54",
        touch("cancel the order")),
    at("bench/o52", touch("Handed over")),
    at("bench/o53", touch("Handed over")),
    at(
        "bench/o51", touch("one more"), touch(OTHER_LOT), touch("this one"), fill("lot", "j27-180-1"), touch("this one"),
        fill("lot", "b27-1"), touch("this one"), fill("lot", "q27-1"), touch("this one"), fill("lot", "X9"), touch("this one"),
        touch("as planned"), touch(OTHER_LOT), fill("lot", "w27-200 -1"), touch("this one"),
        touch("another lot than W27-190-1"), touch("W27-201-1"), name="a lot of which too few lie here",
    ),
    at(
        "bench/o51", touch("another lot than W27-190-1"), fill("lot", "W27-201-1"), touch("this one"),
        touch("another lot than W27-200-1"), fill("lot", "W27-190-1"), touch("this one"), touch("by check"),
            name="a lot of which no more lies here",
    ),
    at("bench/o55", touch("print the slip"), touch("Packed")),
    at(
        "bench/o56", touch("10×8×6"), touch("print the slip"), touch("print the gathering sheet", 2), touch("print all papers of the day",
            1),
        touch("as worked out"),
    ),
    at("bench/o57", touch("Packed"), touch("box 1"), touch("+1 lb"), touch("write it down"), touch("box 2"), touch("not now")),
    at("bench/o58", touch("empty carton on the scale"), *digits("120"), touch("lb and oz"), touch("type grams"), *digits("130"),
       touch("write it down"), touch("empty carton on the scale"), touch("not now"), touch("Packed")),
    at("bench/o64", touch("Packed"), name="only what is here is packed"),
    at("bench/o65"),
    {**alone("scale-deck", touch("+1 oz"), touch("−1 lb"), touch("+1 lb"), touch("+¼ oz"), touch("write it down"), parcel={"id": "p65"}),
     "name": "a parcel of no planned weight on the scale"},
    at("bench/o63"), at("bench/o66"),
]
STOVE: list[Json] = [
    {"table": "setting", "id": "posting_honey_asked", "value": False},
    good("mead", ("mead", "meads", ""), 9, 1500, kind="honey", form="bottle", net_g=0, gross_g=900),
    *(
        {"table": "lot", "id": lot, "good": "honey_bulk", "made_on": "2027-06-10", "sources": [], "measures": {"water_permille": water}}
        for lot, water in (("H27-161-A", 190), ("H27-161-B", 205))
    ),
    {"table": "lot", "id": "Q27-1", "good": "never_heard_of", "made_on": "2027-07-23", "sources": [], "measures": {}},
    moved("honey_bulk", 9000, "made", "2027-06-10", "H27-161-A"), moved("honey_bulk", 8000, "made", "2027-06-10", "H27-161-B"),
    moved("honey_residue", 3000, "made", "2027-07-05"),
    moved("cappings", 500, "made", "2027-06-11", "K27-162-1"), moved("cappings", -500, "passed", "2027-06-12", "K27-162-1"),
    moved("cappings", 400, "made", "2027-06-21", "K27-172-1"),
]  # fmt: skip
"""Honey of much water, an odd bottle of no net weight, a lot of which nothing is left, and honey that nobody asked the state about."""
BUCKET = [*digits("9"), touch("this bucket")]
MELT: list[Json] = [
    at("melt"),
    at(
        "melt/pour", touch("fan off"), touch("pour"), touch("knock out"), touch("look over"), touch("not yet"), touch("look over"),
        touch("2 8 good"), touch("pour"), touch("knock out"), touch("look over"), touch("none"), touch("by count: weigh it"), *digits("1"),
        touch("18 wax bars (1 oz) to the shelf"), touch("undo"),
    ),
    {**at("melt/pour", touch("pour"), touch("knock out"), touch("look over"), touch("10 0 good"), touch("pour"), touch("knock out"),
          touch("look over"), touch("1 9 good"), touch("9 wax bars (1 oz) to the shelf")), "name": "of two pours one is no good"},
    {**at("melt/pour", touch("candle blocks"), touch("pour"), touch("knock out"), touch("look over"), touch("none"),
          touch("4 candle blocks (1 lb) to the shelf")), "name": "blocks, none of them specked"},
    at(
        "melt/extract", *digits("30"), touch("this bucket"), *digits("31"), touch("this bucket"), touch("each bucket a lot of its own"),
        touch("water"), *digits("9"), touch("take the last figure away"), *digits("10"), touch("take the last figure away"),
        touch("take the last figure away"), *digits("35"), touch("take the last figure away"), *digits("6"),
        touch("take the last figure away"), touch("take the last figure away"), *digits("18"), touch("corrects for warmth"),
        touch("to the book"), touch("undo"),
    ),
    {**at("melt/extract", *(act for _ in range(7) for act in BUCKET), touch("to the book"), *(act for _ in range(8) for act in BUCKET)),
     "name": "seven buckets and eight"},
    {**at("melt/extract", *digits("30"), touch("this bucket"), touch("to the book")), "name": "one bucket and no more said"},
    at(
        "melt/bottle", touch("H27-161-B"), *digits("4"), touch("next: honey in them"), *digits("3"), touch("take all figures away"),
        *digits("5"), touch("next: left behind"), *digits("1"), touch("to the shelf"),
    ),
    {**at("melt/bottle", touch("mead"), *digits("4"), touch("next: honey in them"), *digits("0")), "name": "bottles of no net weight"},
    at("melt/bottle/honey_residue", *digits("2"), touch("to the shelf")),
    at("melt/rest", *digits("1"), touch("fed to the bees"), *digits("1"), touch("given away"), touch("fed to the bees")),
    {**at("melt/bottle/honey_residue", *digits("2")), "name": "nothing left to bottle"},
    at("melt/step/wax_melted", touch("next: dipped wax out"), *digits("1")),
    alone("step-deck", **{"from": "honey_bulk"}),
    at("melt/step/honey_bulk"),
    at(
        "counter", touch("what?"), touch("something else"), touch("honey jars"), touch("2"), touch("Who is it?"), *digits("2185"),
        touch("Ann Tollefson"), touch("it waits until I asked"), touch("Read back, then promise"), touch("not quite"),
        touch("it waits until I asked"), touch("it waits until I asked"), touch("Read back, then promise"), touch("Promise"),
        touch("Next call"), name="honey that may not go by mail yet",
    ),
]
BEGINS: list[Json] = [
    *(row for row in ROWS if row["table"] in ("setting", "device")),
    good("wick", ("wick", "wicks", "wicks"), 1, 100, hidden=True, **WAX),
    good("soap", ("soap", "soaps", "soaps"), 2, 100, **{**WAX, "sold": False}),
    good("bar", ("wax bar (1 oz)", "wax bars (1 oz)", "bars"), 3, 300, row=0, **{**WAX, "form": "bar", "net_g": 28, "gross_g": 30}),
    good("jar", ("honey jar (1 lb)", "honey jars (1 lb)", "1 lb jars"), 4, 1200, kind="honey", form="jar", net_g=454, gross_g=720),
]
"""A house that does not weigh yet and has one thing of wax and one of honey."""
BEGINNING: list[Json] = [
    at("counter"), at("melt"),
    at("melt/pour", touch("pour"), touch("knock out"), touch("look over"), touch("3 7 good"), touch("7 wax bars (1 oz) to the shelf")),
    {**at("melt", touch("keep them by weight")), "name": "weight by weight"},
    at("bench"),
    alone("sold-good", touch("stop selling it"), good="bar"),
    {**at("counter"), "name": "no wax at the counter"}, {**at("melt"), "name": "no wax at the stove"}, {**at("melt/pour"),
        "name": "no wax to pour"},
    alone("sold-good", touch("stop selling it"), good="jar"),
    alone("bottle-deck"), {**at("counter", touch("what?")), "name": "nothing is sold"}, {**at("melt"), "name": "nothing is made"},
]
UNWRITTEN: list[Json] = [
    at(
        "counter", *digits("2185"), touch("Ann Tollefson"), touch("20"), touch("they go without"), touch("10"), touch("Read back"),
        touch("Promise"), touch("try again"), touch("not quite"),
    ),
    at("bench/o10", touch("Handed over")), at("bench/o11", touch("Packed"), touch("print the slip")), at("melt/rest"),
    at("melt/bottle", *digits("2"), touch("to the shelf")),
]
WORK: dict[str, Json] = {
    "bench-work": {"kept": {**OWNED, "rows": [*ROWS, *SELDOM_SOLD, *CALLERS[:4], *PACKED_FIRST]}, "screens": BENCH},
    "counter-work": {
        "wide": True,
        "kept": {"rows": [*ROWS, *SELDOM_SOLD, *CALLERS], "identity": OWNED["identity"], "granted": {"bar": 20, "jar": 5, "taper": 4,
            "bear": 1}},
        "screens": COUNTER,
    },
    "melt-work": {"kept": {**OWNED, "rows": [*ROWS, *STOVE]}, "screens": MELT},
    "beginning": {"kept": {"rows": BEGINS, "identity": OWNED["identity"]}, "screens": BEGINNING},
    "unwritten": {
        "kept": {**OWNED, "marks": {"frozen": "Its storage is an older copy."}, "status": {"signal": "none"}},
        "screens": UNWRITTEN,
    },
    "not-open": {
        "kept": {**OWNED, "status": {"started": False}},
        "screens": [at("counter"), at("bench"), at("melt"), alone("day-list"), alone("shelf-glance")],
    },
}
