"""Which screens are looked at, and what is touched and filled in there, by whom."""

from __future__ import annotations

from typing import Any

from screens.rows import BELOW_ZERO, HELPER, LOG, OWNER, ROWS

Json = dict[str, Any]
Act = list[Any]


def touch(words: str, nth: int = 0) -> Act:
    """The first key with these words, or another of those that say nothing else."""
    return ["touch", words, nth] if nth else ["touch", words]


def fill(name: str, value: str, nth: int = 0) -> Act:
    """A field by its name."""
    return ["fill", name, value, nth]


def digits(number: str) -> list[Act]:
    """A number by the large keys."""
    return [touch(f"“{digit}” {digit}") for digit in number]


def at(place: str, *acts: Act, name: str = "") -> Json:
    """The room at a place, `bench/o1`."""
    room, *path = place.split("/")
    return {"name": name or place, "tag": f"{room}-room", "properties": {"path": path}, "acts": acts}


def alone(tag: str, *acts: Act, **properties: Any) -> Json:
    """One element by itself."""
    name = " ".join([tag, *(f"{name}={value}" for name, value in properties.items())])
    return {"name": f"{name} at work" if acts else name, "tag": tag, "properties": properties, "acts": acts}


OWNED: Json = {"rows": ROWS, "identity": OWNER, "granted": {"bar": 12, "jar": 5}}
BOARDS = (
    "device",
    "devices",
    "lost",
    "moved",
    "house",
    "goods",
    "tax",
    "heat",
    "people",
    "cartons",
    "padding",
    "prices",
    "papers",
    "melting",
    "calendar",
    "out",
    "needs",
    "late",
)


def board(name: str, *acts: Act, **properties: Any) -> Json:
    """A board of the Settings."""
    return alone(f"{name}-board", *acts, **({"path": []} if name == "goods" else {}) | properties)


LOOKED_AT: list[Json] = [
    at("shelf"),
    *(alone("good-board", good=good) for good in ("bar", "jar", "block", "c8", "c6", "honey_bulk", "cappings")),
    at("shelf/bar/count"),
    at("shelf/walk"),
    at("shelf/bar/labels"),
    at("bench"),
    *(alone("parcel-board", order=order) for order in ("o1", "o2", "o3", "o7", "o10", "o11", "o12", "o5")),
    at("melt"),
    at("melt/pour"),
    at("melt/extract"),
    at("melt/bottle"),
    at("melt/rest"),
    at("melt/step/cappings"),
    at("book"),
    *(alone("order-board", order=f"o{n}") for n in range(1, 13)),
    *(alone("person-board", person=who, typed="") for who in ("ann", "ben", "cy", "dora", "fay", "gus")),
    alone("person-board", person="new", typed="715"),
    alone("till-board", day=""),
    alone("till-board", day="2027-07-23"),
    alone("calls-board"),
    alone("arrivals-board"),
    alone("season-board", season=""),
    alone("looking-back-board", season=""),
    alone("lot-board", lot="W27-190-1"),
    alone("lot-board", lot=""),
    at("settings"),
    *map(board, BOARDS),
    *(alone("measure-board", good=good) for good in ("", "bar", "jar", "block", "c8")),
    *(alone("sold-good", good=good) for good in ("bar", "jar", "comb")),
    alone("good-new"),
    alone("cartons-board", carton="c8"),
    *(alone("goods-board", path=path) for path in (["add"], ["bar", "price"], ["jar", "price"], ["order"])),
    *(
        alone("first-walk", path=path)
        for path in ([], ["name"], ["goods"], ["prices", "bar"], ["shelf", "bar"], ["cartons"], ["molds"], ["honey"], ["help"])
    ),
    at("counter"),
]

CALLS: list[Json] = [
    at(
        "counter",
        *digits("2185"),
        touch("Ann Tollefson"),
        touch("10"),
        touch("something else"),
        touch("honey jars"),
        touch("3"),
        touch("one more"),
        touch("how?"),
        touch("check in the mail"),
        touch("Monday"),
        touch("Tuesday"),
        touch("padded"),
        touch("held at the post office"),
        touch("Duluth"),
        touch("mail"),
        touch("they pick it up"),
        touch("today"),
        touch("Read back"),
        touch("not quite"),
        name="a call for honey and bars",
    ),
    at(
        "counter",
        touch("start over"),
        *digits("2185"),
        touch("Ann Tollefson"),
        touch("another number"),
        *digits("7"),
        touch("that many"),
        touch("how?"),
        touch("later"),
        touch("Read back"),
        touch("Promise"),
        touch("undo"),
        name="a promise",
    ),
    at(
        "counter",
        touch("start over"),
        touch("someone is here now"),
        touch("5"),
        touch("in cash"),
        touch("$20.00"),
        touch("Say it, then sell"),
        touch("Sell"),
        touch("undo"),
        name="a sale",
    ),
    at(
        "counter",
        touch("start over"),
        *digits("7155550144"),
        touch("someone new"),
        touch("write it down"),
        fill("name", "Ida Moen"),
        touch("write it down"),
        touch("where?"),
        touch("write it down"),
        fill("zip", "5581"),
        fill("street", "1 Elm St"),
        touch("write it down"),
        fill("zip", "55811"),
        fill("city", "Duluth"),
        fill("state", "MN"),
        touch("write it down"),
        touch("what?"),
        touch("5"),
        touch("how?"),
        touch("later"),
        touch("another call this one on hold"),
        name="somebody new",
    ),
    at("counter", touch("letters"), touch("on hold: go on"), name="letters, and the call on hold"),
    at(
        "counter/change/o2",
        touch("40 wax bars"),
        touch("20"),
        touch("Read back, then change"),
        touch("Change it"),
        touch("undo"),
        touch("leave it as it was"),
        name="a change",
    ),
    at("counter", touch("promise it"), touch("not this time"), name="standing orders"),
]

SHELF: list[Json] = [
    at(
        "shelf/bar/count",
        *digits("70"),
        touch("that many lie there"),
        touch("undo"),
        *digits("3"),
        touch("broken"),
        touch("W27-200-1"),
        *digits("4"),
        touch("take all figures away"),
        touch("no lot"),
    ),
    at("shelf/walk", touch("69 lie there"), *digits("4"), touch("lost"), touch("12 lie there"), *digits("9"), touch("nobody knows")),
    alone("good-board", touch("100"), touch("undo"), good="bar"),
    alone("good-board", touch("20"), good="c8"),
    at("shelf/bar/labels", touch("W27-190-1"), *digits("12"), touch("print 12 labels")),
]

BENCH: list[Json] = [
    at("bench/o10", touch("one more"), touch("one more"), touch("one less"), touch("another lot"), touch("no lot"), touch("Handed over")),
    at("bench/o3", touch("weigh again"), touch("+1 oz"), touch("type grams"), touch("not now"), touch("Mailed"), touch("undo")),
    at(
        "bench/o11",
        touch("padded"),
        touch("undo"),
        touch("8×6×4"),
        touch("Packed"),
        touch("on the scale"),
        touch("+1 oz"),
        touch("−0.1 oz"),
        touch("write"),
        touch("undo"),
    ),
    at("bench/o7", touch("send it to the new one"), touch("undo"), touch("leave it as it is"), touch("10×8×6"), touch("one more")),
    at("bench/o1", touch("two parcels after all"), touch("put both in one parcel"), touch("print the gathering sheet")),
    at("bench", touch("print the gathering sheet"), touch("print all papers")),
]

MELT: list[Json] = [
    at(
        "melt/pour",
        touch("pour molds empty"),
        touch("fan off"),
        touch("another mold set"),
        touch("candle blocks"),
        touch("knock out"),
        touch("step back"),
    ),
    at(
        "melt/bottle",
        *digits("12"),
        touch("next: honey in them"),
        *digits("9"),
        touch("next: left behind"),
        touch("to the shelf"),
        touch("undo"),
    ),
    at(
        "melt/extract",
        *digits("30"),
        touch("this bucket"),
        touch("next: drained cappings"),
        *digits("2"),
        touch("next: supers"),
        *digits("4"),
        touch("next: water"),
        *digits("17"),
        touch("next: color"),
        *digits("20"),
        touch("to the book"),
    ),
    at("melt/step/cappings", touch("next: first melt out"), *digits("1"), touch("first melt done"), touch("undo")),
    at("melt/step/wax_fine"),
    at("melt/rest", *digits("1"), touch("lost")),
]

BOOK: list[Json] = [
    alone("order-board", touch("the check is here"), touch("undo"), touch("cancel the order"), order="o2"),
    alone("order-board", touch("paid in cash"), touch("this is wrong"), fill("amount", "70", 1), touch("put it right"), order="o1"),
    alone("order-board", fill("amount", "2"), fill("note", "a dent"), touch("broken"), order="o4"),
    alone("order-board", fill("amount", "20"), fill("check_number", "77"), touch("check"), touch("undo"), order="o3"),
    alone("order-board", touch("fine"), order="o4"),
    alone("order-board", fill("note", "call first"), touch("write it down"), order="o12"),
    alone(
        "person-board",
        fill("name", "Ann T."),
        fill("phone", "218"),
        touch("write it down"),
        fill("phone", "2185550143"),
        touch("write it down"),
        touch("pause it"),
        touch("end it"),
        touch("a standing order"),
        person="ann",
        typed="",
    ),
    alone("person-board", touch("all paid in cash"), touch("forget them"), person="gus", typed=""),
    alone("person-board", touch("somebody else after all"), touch("undo"), person="dora", typed=""),
    alone("person-board", fill("name", "Ole"), touch("write it down"), person="new", typed="7155550190"),
    alone(
        "till-board",
        fill("amount", "7x"),
        touch("put in"),
        fill("amount", "75.00"),
        fill("note", "by two"),
        touch("that is what I counted"),
        touch("undo"),
        fill("amount", "5"),
        touch("taken out"),
        day="",
    ),
    alone("lot-board", fill("note", "clear"), touch("write it down"), lot="W27-190-1"),
    alone("season-board", season="2026"),
    alone("calls-board", touch("they know"), touch("undo")),
    at("book", touch("letters")),
]

SETTINGS: list[Json] = [
    board("tax", touch("off"), touch("undo"), touch("take the last figure away"), *digits("6"), touch("use this rate")),
    board("house", touch("Thu"), touch("undo"), touch("1 in 20"), touch("2 g"), touch("prices on the slip"), touch("We asked our state")),
    board("heat", touch("sunny porch"), touch("undo"), touch("noon"), touch("is never advised"), touch("The weather service is asked")),
    board("melting", touch("3"), touch("12"), touch("6 hours"), touch("with a fan"), touch("1 in 50"), touch("undo")),
    board("papers", touch("A4"), touch("plain paper"), touch("undo")),
    board("goods", touch("sell it again"), touch("undo"), touch("change the order")),
    alone(
        "sold-good",
        touch("rename it"),
        fill("name", "jar of honey"),
        touch("write it down"),
        touch("undo"),
        touch("stop selling it"),
        good="jar",
    ),
    alone("good-new", touch("bottle"), fill("name", "mead"), fill("plural", "meads"), touch("add it")),
    alone("goods-board", touch("pint of honey"), path=["add"]),
    alone(
        "cartons-board",
        fill("cost", "0.7o"),
        touch("write it down"),
        fill("cost", "0.70"),
        touch("write it down"),
        touch("put it away"),
        carton="c8",
    ),
    alone("cartons-board", carton="new"),
    board("padding", touch("add a padding"), touch("leave it"), touch("add a cold pack")),
    board(
        "prices",
        fill("pasted", "row,service,zone,up_to_oz,what,over,cents,example\nprice,ground,1,16,,,950,\n"),
        touch("look at it"),
        touch("use this table"),
        touch("undo"),
        touch("take the table away"),
        touch("undo"),
    ),
    {
        **board(
            "prices",
            fill("zone", "10"),
            touch("look at it", 1),
            fill("zone", "2"),
            touch("look at it", 1),
            fill("weight", "1.5"),
            touch("look at it", 1),
            fill("price", "7.105"),
            touch("look at it", 1),
            touch("use this table"),
        ),
        "name": "one price by hand",
    },
    alone(
        "measure-board",
        fill("L", "3 1/4 in"),
        fill("weight", "31"),
        touch("write it down"),
        fill("W", "wide"),
        touch("write it down"),
        good="bar",
    ),
    board(
        "moved",
        fill("address", "https://example.org"),
        touch("send it there"),
        fill("address", "https://192.168.1.9:8471"),
        touch("send it there"),
    ),
    board("devices", touch("remove it"), touch("a code for a helper")),
    board("device", touch("start it")),
    alone("first-walk", touch("12"), path=["shelf", "block"]),
    alone("first-walk", touch("nobody"), path=["help"]),
    alone("first-walk", fill("name", ""), touch("next"), fill("zip", "1"), touch("next"), path=["name"]),
    alone("first-walk", touch("votive candle"), touch("these 5"), path=["goods"]),
    alone("first-walk", touch("I asked"), path=["honey"]),
    alone("first-walk", touch("48 bars"), path=["molds"]),
    alone("first-walk", touch("4×4×4"), touch("these"), path=["cartons"]),
    at("settings", touch("dark")),
]

HEADS = [alone("house-head"), board("device")]
CHAPTERS: dict[str, Json] = {
    "trouble": {
        "kept": {**OWNED, "rows": [*ROWS, *BELOW_ZERO], "log": LOG, "status": {"signal": "none", "update": True}},
        "screens": [
            *HEADS,
            board("needs", touch("dealt with"), touch("dealt with")),
            {**alone("house-head"), "name": "house-head afterwards"},
            at("settings"),
            alone("lot-board", lot="W27-190-1"),
            alone("lot-board", lot="F27-188-1"),
            alone("lot-board", lot="X"),
            alone("looking-back-board", season=""),
            alone("order-board", order="o4"),
            at("shelf/jar"),
            alone("parcel-board", order="o7"),
            at("counter", *digits("2185"), touch("Ann Tollefson"), touch("20"), touch("they go without")),
        ],
    },
    "frozen": {
        "kept": {**OWNED, "marks": {"frozen": "Its storage is an older copy."}, "status": {"turnedAway": "Nobody knows this device."}},
        "screens": [*HEADS, at("settings/enrol"), at("counter"), alone("good-board", touch("100"), good="bar")],
    },
    "signed-out": {"kept": {**OWNED, "log": LOG[2:], "status": {"turnedAway": "Nobody knows this device."}}, "screens": HEADS},
    "too-old": {
        "kept": {
            **OWNED,
            "status": {"tooOld": "The ask cannot be read.", "signal": "working", "storage": {"persisted": True, "trouble": None}},
        },
        "screens": HEADS,
    },
    "full": {
        "kept": {**OWNED, "log": LOG[3:], "status": {"storage": {"persisted": False, "trouble": "The disk is full."}, "update": True}},
        "screens": [*HEADS, at("counter")],
    },
    "moved-away": {"kept": {**OWNED, "marks": {"moved_to": "https://192.168.1.9"}}, "screens": [*HEADS, at("settings")]},
    "removed": {
        "kept": {**OWNED, "log": LOG[2:], "marks": {"removed_at": "2027-07-23T10:00:00Z"}},
        "screens": [*HEADS, at("settings/enrol")],
    },
    "owner": {"kept": OWNED, "screens": LOOKED_AT},
    "calls": {"kept": OWNED, "screens": CALLS},
    "shelf-and-bench": {"kept": OWNED, "screens": [*SHELF, *BENCH]},
    "melt-and-book": {"kept": OWNED, "screens": [*MELT, *BOOK]},
    "settings": {"kept": OWNED, "screens": SETTINGS},
    "helper": {
        "kept": {"rows": ROWS, "identity": HELPER},
        "screens": [
            at("counter"),
            at("shelf"),
            alone("good-board", good="c8"),
            at("melt"),
            at("settings"),
            *map(board, BOARDS),
            alone("good-board", good="bar"),
            alone("measure-board", good="bar"),
            alone("sold-good", good="jar"),
        ],
    },
    "nobody": {
        "kept": {"rows": [], "identity": None},
        "screens": [
            at("counter"),
            at("shelf"),
            at("bench"),
            at("melt"),
            at("book"),
            at("settings"),
            at("settings/lost"),
            at("settings/own"),
            at("settings/enrol/ABCD", touch("add this device")),
        ],
    },
    "empty": {
        "kept": {"rows": [], "identity": OWNER},
        "screens": [
            at("counter"),
            at("shelf"),
            at("bench"),
            at("melt"),
            at("book"),
            at("settings"),
            *map(board, BOARDS),
            *(alone("first-walk", path=path) for path in ([], ["name"], ["goods"], ["shelf"], ["cartons"], ["molds"])),
            alone("till-board", day=""),
            alone("season-board", season=""),
            alone("calls-board"),
            alone("arrivals-board"),
            alone("lot-board", lot=""),
        ],
    },
    "wide": {
        "wide": True,
        "kept": OWNED,
        "screens": [
            at("counter"),
            at("shelf"),
            at("bench"),
            at("melt"),
            at("book"),
            at("settings"),
            at("melt/pour"),
        ],
    },
}
