"""Everything that a device can write down in the house of `house.py`, at least once: by kind, an act that writes one or more entries.

The last entry of an act is the one that is said otherwise (`as_before.py`); those before it are what it hangs on.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from demo_seed.client.device import DeviceClient

from honeyhold.operations.standing_names import order_id
from honeyhold.stock.pricing import order_total
from replication.houses import movement

Json = dict[str, Any]
Named = dict[str, str]
Act = Callable[[DeviceClient, Named], Any]
ELSEWHERE: Final[Json] = {
    "goes_to": "other", "to_name": "Ada Lind", "to_street": "9 Larch Rd", "to_unit": "3", "to_city": "Bar Harbor", "to_state": "ME",
    "to_zip": "04609", "gift_note": "Happy birthday",
}  # fmt: skip
TOLD: Final[Json] = {
    "leave_on": "2026-07-27", "dressing": "chilled", "hold_for_cool": True, "pays": "check", "posting_cents": 940, "posting_by": "table",
    "note": "rings twice", "heat": "Firm all the way.", "hold_at_counter": True, "call_for": "going", "called_on": "2026-07-20",
    "told": {"on": "2026-07-20", "leave_on": "2026-07-27", "verdict": "firm", "chance_permille": 4},
}  # fmt: skip
PARCEL: Final[Json] = {
    "carton": "box", "dressing": "lined", "plan": {"layers": [["bar", 2]]}, "gross_g": 1200, "gross_sd_g": 9, "scale_g": 1190,
    "told_permille": 12, "tracking": "9400 2",
}  # fmt: skip
LEFT: Final[Json] = {"reason": "counted", "lot": None}


def undone(act: Act) -> Act:
    """What it wrote first, undone in the next breath."""

    def both(hand: DeviceClient, named: Named) -> None:
        before = len(hand.log)
        act(hand, named)
        hand.undo(hand.log[before])

    return both


def undone_twice(act: Act) -> Act:
    """Undone, and undone once more."""

    def thrice(hand: DeviceClient, named: Named) -> None:
        before = len(hand.log)
        act(hand, named)
        hand.undo(hand.log[before])
        hand.undo(hand.log[before])

    return thrice


def then(*acts: Act) -> Act:
    """One after the other."""

    def all_of_them(hand: DeviceClient, named: Named) -> None:
        for act in acts:
            act(hand, named)

    return all_of_them


def rows(kind: str, *given: Json, spent: dict[str, int] | None = None) -> Act:
    """An entry that no screen of today writes so."""

    def write(hand: DeviceClient, _named: Named) -> None:
        hand.write(kind, [{**row, "id": row.get("id") or hand.new_id()} for row in given], spent)

    return write


def _line_of(hand: DeviceClient, order: str, good: str) -> Json:
    return next(row for row in hand.view.lines_of(order) if row["good"] == good)


def _old_amend(hand: DeviceClient, named: Named) -> None:
    """As older apps wrote it: a line alone, which says neither its order nor what it comes to."""
    line = _line_of(hand, named["mailed"], "bar")
    hand.write("amend", [{"table": "line", "id": line["id"], "units": 3, "was": {"units": 4}}])


def _freed_too_much(hand: DeviceClient, named: Named) -> None:
    line = _line_of(hand, named["mailed"], "bar")
    hand.write("let_go", [{"table": "order", "id": named["mailed"], "state": "let_go"}, hand.reserve(line, -40)])


def _handed_by_eye(hand: DeviceClient, named: Named) -> None:
    """From a lot that nobody knows, of a line that is not there."""
    order = named["picked up"]
    line = _line_of(hand, order, "pint")
    left = movement("pint", -2, "gone", "J26-999-9", order=order, line="no-line")
    freed = {**hand.reserve(line, -2), "line": "no-line"}
    hand.write("hand_over", [{"table": "order", "id": order, "state": "gone"}, {**left, "id": hand.new_id()}, freed])


def _anothers(kind: str, reason: str, state: str = "") -> Act:
    """Brings back what left for another order than it says, or for any."""

    def write(hand: DeviceClient, named: Named) -> None:
        hand.pack(named["mailed"], [PARCEL])
        moved = [row for entry in hand.log for row in entry["rows"] if row["table"] == "movement" and row["reason"] == reason]
        back = {**moved[0], "id": hand.new_id(), "units": -moved[0]["units"], "undoes": moved[0]["id"]}
        hand.write(kind, [*([{"table": "order", "id": named["mailed"], "state": state}] if state else []), back])

    return write


def _taken_back(reason: str, good: str, units: int) -> Act:
    def both(hand: DeviceClient, _named: Named) -> None:
        hand.buy([(good, None, units, reason)])
        hand.take_back(hand.log[-1])

    return both


def _renamed_lot(hand: DeviceClient, _named: Named) -> None:
    """Another lot by a code that is there already, and bars taken from it before this device heard."""
    hand.make([{"id": "W26-190-1", "good": "bar", "made_on": "2026-07-20", "sources": ["W26-190-1"]}],
              [("clean-wax", None, -300, "used"), ("bar", "W26-190-1", 10, "poured")])  # fmt: skip
    hand.count([("bar", "W26-190-1", -2, "specked")])


PROMISE: Final[dict[str, Act]] = {
    "of bars and jars": lambda hand, named: hand.promise([("bar", 3), ("pint", 1)], named["nell"], "pick_up"),
    "by mail": lambda hand, named: hand.promise([("bar", 10)], named["bob"], payment=(500, "check"), **TOLD),
    "to another": lambda hand, named: hand.promise([("pint", 1)], named["ruth"], **ELSEWHERE),
    "of an older app": lambda hand, named: hand.promise([("bar", 1)], named["ruth again"], goes_to=""),
    "that waits": lambda hand, named: hand.promise([("comb", 2), ("bar", 30)], named["ruth"]),
    "sent again": lambda hand, named: hand.send_again(named["gone"], "breakage"),
    "of a day": lambda hand, named: hand.promise_standing(named["monthly"], "2026-09-01"),
    "of a day that was canceled": then(
        lambda hand, named: hand.let_go(named["of the day"]), lambda hand, named: hand.promise_standing(named["monthly"], "2026-08-01")
    ),
    "of a day once more": lambda hand, named: hand.promise(
        [("bar", 5)], named["ruth"], id=order_id(named["monthly"], "2026-08-01", 1), standing=named["monthly"], standing_on="2026-08-01"
    ),
    "with an address": lambda hand, named: hand.write("promise", [
        {"table": "person", "id": named["nell"], "street": "1 Alder Ct", "city": "Duluth", "state": "MN", "zip": "55811"},
        {"table": "order", "id": "p-order", "number": "A-90", "person": named["nell"], "way": "post", "state": "promised",
         "taken_on": "2026-07-20"},
        {"table": "line", "id": "p-line", "order": "p-order", "good": "bar", "units": 2, "price_cents": 300, "total_cents": 600},
        {"table": "reservation", "id": "p-held", "order": "p-order", "line": "p-line", "good": "bar", "units": 2},
        {"table": "payment", "id": "p-paid", "order": "p-order", "cents": 600, "how": "cash", "on": "2026-07-20", "given_cents": 1000},
    ], {"bar": 2}),
}  # fmt: skip
AMEND: Final[dict[str, Act]] = {
    "more": lambda hand, named: hand.amend(named["mailed"], [("bar", 6), ("pint", 2)], note="and more"),
    "less": lambda hand, named: hand.amend(named["mailed"], [("bar", 1)], posting_cents=800, posting_by="table"),
    "nothing of it": lambda hand, named: hand.amend(named["mailed"], [("pint", 0)]),
    "another good": lambda hand, named: hand.amend(named["picked up"], [("comb", 1), ("bar", 2)]),
    "more of what waits": lambda hand, named: hand.amend(named["waits"], [("comb", 7)]),
    "less of what waits": lambda hand, named: hand.amend(named["waits"], [("comb", 3)]),
    "all fields": lambda hand, named: hand.amend(named["gift"], **{**TOLD, "dressing": "lined", "hold_for_cool": False}),
    "another person": lambda hand, named: hand.amend(named["mailed"], person=named["bob"]),
    "another way": lambda hand, named: hand.amend(named["mailed"], way="pick_up"),
    "elsewhere": lambda hand, named: hand.amend(named["host"], **ELSEWHERE),
    "the rider elsewhere": lambda hand, named: hand.amend(named["rider"], to_street="7 Alder Ct", goes_to="other"),
    "with another": lambda hand, named: hand.amend(named["mailed"], goes_with=named["host"]),
    "with a rider": lambda hand, named: hand.amend(named["mailed"], goes_with=named["rider"]),
    "by itself": lambda hand, named: hand.amend(named["rider"], goes_with=None),
    "packed": lambda hand, named: hand.amend(named["packed"], note="fragile"),
    "gone": lambda hand, named: hand.amend(named["gone"], note="late"),
    "of an older app": _old_amend,
}
LET_GO: Final[dict[str, Act]] = {
    "promised": lambda hand, named: hand.let_go(named["mailed"]),
    "packed": lambda hand, named: hand.let_go(named["packed"]),
    "waiting": lambda hand, named: hand.let_go(named["waits"]),
    "host": lambda hand, named: hand.let_go(named["host"]),
    "twice": lambda hand, named: hand.let_go(named["let go"]),
    "gone": lambda hand, named: hand.let_go(named["gone"]),
    "too much": _freed_too_much,
}
SELL: Final[dict[str, Act]] = {
    "from the share": lambda hand, named: hand.sell([("bar", 2), ("pint", 1)], named["nell"]),
    "by check": lambda hand, named: hand.sell([("bar", 10)], pays="check"),
    "beyond it": lambda hand, named: hand.sell([("pint", 30)], pays="later"),
    "of a lot": lambda hand, named: hand.sell([("bar", 2)], lots={"bar": [("W26-190-1", 1), ("W26-000-0", 1)]}),
}
PACK: Final[dict[str, Act]] = {
    "one parcel": lambda hand, named: hand.pack(named["mailed"], [PARCEL]),
    "two parcels": lambda hand, named: hand.pack(named["gift"], [PARCEL, {"carton": "big"}], on="2026-07-21"),
    "by eye": lambda hand, named: hand.pack(named["picked up"], [{}]),
    "host and rider": lambda hand, named: hand.pack(named["host"], [PARCEL]),
    "packed": lambda hand, named: hand.pack(named["packed"], [PARCEL]),
    "with none": lambda hand, named: hand.pack(named["mailed"], []),
    "three of two": lambda hand, named: hand.pack(named["mailed"], [PARCEL], {"big": 3}),
}
UNPACK: Final[dict[str, Act]] = {
    "it": then(lambda hand, named: hand.pack(named["mailed"], [PARCEL, PARCEL]), lambda hand, _: hand.unpack(hand.log[-1])),
    "of another's carton": _anothers("unpack", "packed", "promised"),
    "of what was handed over": _anothers("unpack", "gone", "promised"),
    "twice": then(
        lambda hand, named: hand.pack(named["mailed"], [PARCEL]), lambda hand, _: hand.unpack(hand.log[-1]),
        lambda hand, _: hand.unpack(hand.log[-2]),
    ),
}  # fmt: skip
PARCELS: Final[dict[str, Act]] = {
    "weigh": lambda hand, named: hand.weigh(named["parcel packed"], 1400),
    "track": lambda hand, named: hand.track(named["parcel packed"], "9400 3"),
    "arrive": lambda hand, named: hand.arrive({named["parcel gone"]: "leaked", named["parcel arrived"]: "fine"}),
    "arrive not yet gone": lambda hand, named: hand.arrive({named["parcel packed"]: "fine"}),
    "arrive taken back": lambda hand, named: hand.arrive({named["parcel arrived"]: ""}),
}
HAND_OVER: Final[dict[str, Act]] = {
    "promised": lambda hand, named: hand.hand_over(named["picked up"], payment=(1300, "cash")),
    "packed": lambda hand, named: hand.hand_over(named["packed"], on="2026-07-21"),
    "of a lot": lambda hand, named: hand.hand_over(named["mailed"], lots={"bar": [("W26-190-1", 3), (None, 1)]}),
    "host and rider": then(lambda hand, named: hand.pack(named["host"], [PARCEL]), lambda hand, named: hand.hand_over(named["host"])),
    "gone": lambda hand, named: hand.hand_over(named["gone"]),
    "by eye": _handed_by_eye,
}
SHELF: Final[dict[str, Act]] = {
    "make": lambda hand, _: hand.make(
        [{"id": "W26-201-1", "good": "bar", "made_on": "2026-07-20", "sources": ["W26-190-1"], "note": "thin", "measures": {"wax_c": 71}}],
        [("clean-wax", None, -600, "used"), ("bar", "W26-201-1", 20, "poured"), ("raw", None, -10, "fed")]),
    "make of stages": lambda hand, _: hand.make(
        [{"id": "R26-201-1", "good": "raw", "made_on": "2026-07-20"}],
        [("clean-wax", None, -500, "passed"), ("raw", "R26-201-1", 500, "came"), ("raw", None, -20, "lost"), ("raw", None, 3, "made")]),
    "make of pieces passed on": lambda hand, _: hand.make(
        [{"id": "R26-201-2", "good": "raw", "made_on": "2026-07-20"}], [("bar", None, -5, "passed"), ("raw", "R26-201-2", 5, "came")]),
    "count": lambda hand, _: hand.count(
        [("bar", "W26-190-1", -3, "counted"), ("pint", None, 2, "counted"), ("box", None, -1, "broken"), ("pint", None, -1, "gift")]),
    "count to nothing": lambda hand, _: hand.count([("bar", None, -100, "counted"), ("pint", None, -60, "counted")]),
    "count of a lot unknown": lambda hand, _: hand.count([("bar", "W26-000-0", -1, "spoiled")]),
    "buy": lambda hand, _: hand.buy([("big", None, 4, "bought"), ("bar", None, 2, "opening")], on="2026-07-18"),
    "take back": _taken_back("bought", "big", 4),
    "take back of an order's": _anothers("take_back", "gone"),
    "take back of a carton": _anothers("take_back", "packed"),
    "of a code that is there": _renamed_lot,
    "comes for who waits": lambda hand, _: hand.buy([("comb", None, 4, "bought")]),
}  # fmt: skip
MONEY: Final[dict[str, Act]] = {
    "pay": lambda hand, named: hand.pay(named["arrived"], 900, "check", note="in the mail", check_number="119"),
    "pay with change": lambda hand, named: hand.pay(named["sold"], 300, given_cents=500),
    "pay back": lambda hand, named: hand.pay(named["gone"], -100, "transfer", "2026-07-19"),
    "correct": lambda hand, named: hand.correct(named["payment"], 100),
    "adjust": lambda hand, named: hand.adjust(named["arrived"], -300, "discount", "a friend"),
    "adjust back": lambda hand, named: hand.adjust(named["arrived"], 100, "correction"),
    "adjust all of it": lambda hand, named: hand.adjust(named["arrived"], -1760, "gift"),
    "till": lambda hand, _: hand.till("counted", 4050, "a quarter twice"),
    "lost sale": lambda hand, _: hand.go_without("bar", 20, "post"),
}
NOTES: Final[dict[str, Act]] = {
    "person new": lambda hand, _: hand.note_person(
        name="Ada Lind", phone="+12075550100", street="9 Larch Rd", unit="3", city="Bar Harbor", state="ME", zip="04609", note="",
        hidden=False,
    ),
    "person moves": lambda hand, named: hand.note_person(named["ruth"], street="7 Alder Ct"),
    "person changed": lambda hand, named: hand.note_person(named["nell"], name="Nell Fen", phone="+12075550101"),
    "people": lambda hand, named: hand.note_people([{"id": named["nell"], "zip": "55811"}, {"id": "p-9", "name": "Ivo"}]),
    "join": lambda hand, named: hand.join_people(named["nell"], named["ruth again"]),
    "join in a circle": lambda hand, named: hand.join_people(named["ruth"], named["ruth again"]),
    "part": lambda hand, named: hand.join_people(named["ruth again"], None),
    "lot": lambda hand, _: hand.note_lot("W26-190-1", note="grainy", measures={"wax_c": 70}, sources=["J26-180-1"], made_on="2026-07-08"),
    "standing new": lambda hand, named: hand.note_standing(
        person=named["bob"], wanted=[("bar", 2), ("pint", 1)], way="post", every="week", interval=2, first_on="2026-07-06",
        ends_on="2026-12-31", skipped_on="2026-08-01", note="porch", paused=False, hidden=False, **ELSEWHERE,
    ),
    "standing changed": lambda hand, named: hand.note_standing(named["monthly"], paused=True, wanted=[("bar", 6)]),
    "give back": lambda hand, _: hand.give_back({"bar": 2, "pint": 1}),
}  # fmt: skip
SETTINGS: Final[dict[str, Act]] = {
    "good new": lambda hand, _: hand.set_good([
        {"id": "candle", "name": "candle", "plural": "candles", "short": "candles", "kind": "wax", "unit": "each", "net_g": 100,
         "gross_g": 110, "gross_sd_mg": 300, "length_mm": 50, "width_mm": 50, "height_mm": 120, "upright": True, "glass": False,
         "wall_mm": 1, "gap_mm": 2, "bears_g": None, "liquid_ml": 0, "price_cents": 800, "row": 6, "rank": 3, "sold": True,
         "hidden": False, "form": "candle", "typical": False, "steps": [[2, 1500], [6, 4000]], "taxed": True,
         "prices": [{"place": "mail", "since": "2026-08-01", "cents": 900, "steps": [[3, 2500]]}]}]),
    "good changed": lambda hand, _: hand.set_good([{"id": "bar", "price_cents": 310, "hidden": True}, {"id": "pint", "sold": False}]),
    "carton new": lambda hand, _: hand.set_good([{"id": "tube", "name": "tube", "kind": "carton"}], [
        {"id": "tube", "name": "tube", "inner": ["8 in", "5 in", "2 in"], "outer": ["9 in", "6 in", "3 in"], "tare_g": 50,
         "max_gross_g": 2000, "max_united_mm": 900, "edge_crush_lb_per_in": 32, "board_um": 3000, "cost_cents": 40, "hidden": False}]),
    "carton of a bar": lambda hand, _: hand.set_good(
        [{"id": "bar", "rank": 2}], [{"id": "bar", "name": "bar", "inner": ["1 in"] * 3, "outer": ["2 in"] * 3}]),
    "house": lambda hand, _: hand.set_house({"name": "Ten Lindens", "time_zone": "America/Denver", "demo": False, "leave_hour": 15}),
    "a demo": lambda hand, _: hand.set_house({"demo": True}),
    "somewhere else": lambda hand, _: hand.set_house({"time_zone": "Atlantis/Center"}),
}  # fmt: skip
OF_NO_KIND: Final[dict[str, Act]] = {
    "unknown": rows("dance", {"table": "person", "name": "Ada"}),
    "of the house": rows("fill", {"table": "person", "name": "Ada"}),
    "another table": rows("note_person", {"table": "person", "name": "Ada"}, {"table": "lot", "good": "bar", "made_on": "2026-07-20"}),
    "nothing": rows("note_person"),
    "a forecast": rows("foretell", {"table": "forecast", "id": "548", "issued": "2026-07-20T12:00:00Z", "days": []}),
    "an arrival in passing": rows("note_person", {"table": "person", "name": "Ada", "same_as": "nobody"}),
    "spends": rows("note_person", {"table": "person", "name": "Ada"}, spent={"bar": 1}),
    "gives back what nobody knows": rows("give_back", spent={"bar": 0}),
}
FIRST: Final = {
    "promise": PROMISE, "amend": AMEND, "let_go": LET_GO, "sell": SELL, "pack": PACK, "unpack": UNPACK, "parcels": PARCELS,
    "hand_over": HAND_OVER, "shelf": SHELF, "money": MONEY, "notes": NOTES, "settings": SETTINGS, "of no kind": OF_NO_KIND,
}  # fmt: skip
UNDONE: Final = {
    f"undo {kind}": {name: undone(act) for name, act in acts.items() if name not in ("people", "give back")}
    for kind, acts in FIRST.items() if kind not in ("of no kind", "unpack")
}  # fmt: skip
UNDONE_LATER: Final[dict[str, Act]] = {
    "a promise that was packed": then(
        lambda hand, named: hand.promise([("bar", 1)], named["nell"], "pick_up"),
        lambda hand, _: hand.pack(_order_of(hand), [{}]), lambda hand, _: hand.undo(hand.log[-2]),
    ),
    "a sale that was paid again": then(
        lambda hand, _: hand.sell([("bar", 1)]), lambda hand, _: hand.pay(_order_of(hand), 100), lambda hand, _: hand.undo(hand.log[-2])
    ),
    "a hand-over that arrived": then(
        lambda hand, named: hand.hand_over(named["packed"]), lambda hand, named: hand.arrive({named["parcel packed"]: "fine"}),
        lambda hand, _: hand.undo(hand.log[-2]),
    ),
    "a pour that was sold": then(
        SHELF["make"], lambda hand, _: hand.sell([("bar", 2)], lots={"bar": [("W26-201-1", 2)]}),
        lambda hand, _: hand.undo(hand.log[-2]),
    ),
    "a note that was changed": then(
        lambda hand, named: hand.note_person(named["nell"], zip="55811"), lambda hand, named: hand.note_person(named["nell"], zip="55812"),
        lambda hand, _: hand.undo(hand.log[-2]),
    ),
    **{f"{name} twice": undone_twice(act) for name, act in {
        "a promise": PROMISE["by mail"], "a sale": SELL["by check"], "a packing": PACK["one parcel"], "a pour": SHELF["make"],
        "a payment": MONEY["pay"], "a note": NOTES["person changed"],
    }.items()},
}  # fmt: skip


ORDERS: Final = (
    "mailed", "rider", "host", "picked up", "gift", "packed", "gone", "arrived", "let go", "packed and let go", "again", "sold",
    "sold and paid", "of the day", "waits", "of the helper",
)  # fmt: skip


def _of(order: str) -> dict[str, Act]:
    """All that may be done with one order, whatever its state."""
    acts: dict[str, Act] = {
        "note": lambda hand, named: hand.amend(named[order], note="once more"),
        "one more": lambda hand, named: hand.amend(named[order], [("pint", 3)]),
        "a bar less": lambda hand, named: hand.amend(named[order], [("bar", 1)]),
        "with the host": lambda hand, named: hand.amend(named[order], goes_with=named["host"]),
        "with what is mailed": lambda hand, named: hand.amend(named[order], goes_with=named["mailed"]),
        "by itself": lambda hand, named: hand.amend(named[order], goes_with=None, way="pick_up"),
        "by mail": lambda hand, named: hand.amend(named[order], way="post", person=named["ruth"]),
        "let go": lambda hand, named: hand.let_go(named[order]),
        "pack": lambda hand, named: hand.pack(named[order], [PARCEL]),
        "pack in nothing": rows_of_order("pack", order, "packed"),
        "unpack": rows_of_order("unpack", order, "promised"),
        "hand over": lambda hand, named: hand.hand_over(named[order]),
        "pay": lambda hand, named: hand.pay(named[order], 1),
        "take a cent off": lambda hand, named: hand.adjust(named[order], -1, "discount"),
        "take all off": lambda hand, named: hand.adjust(named[order], -_total(hand, named[order]), "gift"),
        "take more than all off": lambda hand, named: hand.adjust(named[order], -_total(hand, named[order]) - 1, "gift"),
        "send again": lambda hand, named: hand.send_again(named[order], "loss"),
    }
    return acts


def rows_of_order(kind: str, order: str, state: str) -> Act:
    """An entry that says the state and nothing else."""

    def write(hand: DeviceClient, named: Named) -> None:
        hand.write(kind, [{"table": "order", "id": named[order], "state": state}])

    return write


def _total(hand: DeviceClient, order: str) -> int:
    taken_off = sum(row["cents"] for row in hand.view.rows["adjustment"].values() if row["order"] == order)
    return order_total({**hand.order(order), "adjusted_cents": taken_off}, hand.view.lines_of(order))


def _order_of(hand: DeviceClient) -> str:
    return str(next(row["id"] for row in hand.log[-1]["rows"] if row["table"] == "order"))


OF_EACH: Final = {f"of the order {order}": _of(order) for order in ORDERS}
"""Whose entries are said as they are, and undone."""
ACTS: Final[dict[str, dict[str, Act]]] = {**FIRST, **UNDONE, "undone later": UNDONE_LATER, **OF_EACH}
PARTS: Final = {
    f"{group}, {name}" if group not in OF_EACH else group: (group, [name] if group not in OF_EACH else list(acts))
    for group, acts in ACTS.items() for name in acts
}  # fmt: skip
"""What is asked in one go: a group and acts of it, few enough to be asked quickly."""
