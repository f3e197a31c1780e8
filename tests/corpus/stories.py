"""The stories that were kept, as they were played. A story stays here for reading; its file is what counts."""

from __future__ import annotations

from datetime import date
from typing import Any

from demo_seed.client.device import DeviceClient

from honeyhold.house.forgetting import FORGOTTEN
from honeyhold.house.house import House
from replication.houses import entry, movement

Json = dict[str, Any]

GOODS: list[Json] = [
    {"table": "good", "id": "bar", "name": "wax bar", "plural": "wax bars", "short": "bars", "kind": "wax", "unit": "each", "net_g": 28,
     "gross_g": 29, "gross_sd_mg": 400, "length_mm": 96, "width_mm": 32, "height_mm": 12, "upright": False, "glass": False, "wall_mm": 0,
     "gap_mm": 0, "bears_g": None, "liquid_ml": 0, "price_cents": 250, "row": 10, "rank": 1, "sold": True, "hidden": False},
    {"table": "good", "id": "pint", "name": "pint jar", "plural": "pint jars", "short": "pints", "kind": "honey", "unit": "each",
     "net_g": 680, "gross_g": 950, "length_mm": 80, "width_mm": 80, "height_mm": 130, "upright": True, "glass": True, "wall_mm": 10,
     "gap_mm": 5, "bears_g": 2000, "liquid_ml": 473, "price_cents": 1400, "row": 12, "rank": 2, "sold": True},
    {"table": "good", "id": "clean-wax", "name": "clean wax", "kind": "bulk", "unit": "g", "sold": False},
    {"table": "good", "id": "box", "name": "small box", "kind": "carton", "unit": "each", "sold": False},
]  # fmt: skip
CARTON: Json = {
    "table": "carton", "id": "box", "name": "small box", "inner": ["8 5/8 in", "5 3/8 in", "1 5/8 in"],
    "outer": ["8 11/16 in", "5 7/16 in", "1 3/4 in"], "tare_g": 90, "max_gross_g": 9000, "cost_cents": 60, "hidden": False,
}  # fmt: skip
OPENING = [
    movement("clean-wax", 4000, "opening"), movement("box", 12, "bought"), movement("pint", 24, "opening"), movement("bar", 10, "opening"),
]  # fmt: skip


def first_versions(house: House) -> None:
    """Every kind in its first version: a keeper's phone, a helper's tablet and the house through a few days of July."""
    keeper, helper = DeviceClient.enrol(house, "Shed phone"), DeviceClient.enrol(house, "Wall tablet", role="helper")
    keeper.set_house({"name": "Nine Lindens", "time_zone": "America/Chicago", "posting_days": ["Mon", "Tue"], "thresholds": {}})
    keeper.set_good(GOODS, [CARTON])
    keeper.write("buy", OPENING)
    keeper.exchange(callers={"bar": 8, "pint": 6})
    helper.exchange(callers={"pint": 6})
    _taken(keeper, helper)
    _made(keeper, helper)
    _left(keeper, helper)
    house.write("foretell", [{
        "table": "forecast", "id": "741", "service": "a service", "issued": "2026-07-20T12:00:00Z", "fetched_at": "2026-07-20T13:00:00Z",
        "days": [{"day": "2026-07-21", "max_tenths": 335, "min_tenths": 221, "sky_percent": 40}],
    }])  # fmt: skip
    for hand in (keeper, helper, keeper):
        hand.exchange()


def _taken(keeper: DeviceClient, helper: DeviceClient) -> None:
    orla = keeper.note_person(
        name='Orla "O" Tennick \U0001f41d', phone="+12185550114", street="41 Heron Sill Rd", unit="", city="Duluth", state="MN",
        zip="55811", note="rings\nafter six", hidden=False,
    )  # fmt: skip
    waits = keeper.promise([("bar", 15)], person=orla, way="pick_up", pays="cash")
    keeper.amend(waits.order, lines=[("bar", 16), ("pint", 1)], note="and a jar", dressing="lined", hold_at_counter=True)
    nils = helper.note_person(name="Nils Bergqvist")
    gone = helper.promise(
        [("pint", 2, 1350)], person=nils, leave_on=date(2026, 7, 21), payment=(500, "check"), dressing="plain", hold_for_cool=False,
        pays="check", posting_cents=940, note="", heat="Firm all the way.",
        told={"on": "2026-07-20", "leave_on": "2026-07-21", "dressing": "plain", "verdict": "firm", "chance_permille": 4},
    )  # fmt: skip
    helper.let_go(gone.order)
    helper.exchange()
    keeper.exchange()


def _made(keeper: DeviceClient, helper: DeviceClient) -> None:
    lot: Json = {"id": "W26-204-1", "good": "bar", "made_on": "2026-07-23", "sources": [], "note": "third pour", "measures": {"wax_c": 72}}
    keeper.make([lot], [("clean-wax", None, -600, "used"), ("bar", "W26-204-1", 20, "poured"), ("bar", "W26-204-1", -1, "specked")][:2])
    keeper.count([("bar", "W26-204-1", -1, "specked"), ("box", None, 1, "counted")])
    keeper.buy([("box", None, 2, "bought")])
    keeper.take_back(keeper.log[-1])
    keeper.note_lot("W26-204-1", note="third pour, fine screen")
    keeper.exchange()
    helper.log.append(entry(helper, "set_house", [{"table": "setting", "id": "name", "value": "Mine"}]))  # a helper may not: refused
    helper.exchange()


def _left(keeper: DeviceClient, helper: DeviceClient) -> None:
    helper.exchange(callers={"pint": 4})
    order = helper.promise([("pint", 3)], person=helper.note_person(name="Ruth Amsel"), way="post")
    helper.pack(order.order, [{
        "carton": "box", "dressing": "plain", "plan": {"layers": [["pint", 3]]}, "gross_g": 2940, "gross_sd_g": 9, "told_permille": 4,
    }])  # fmt: skip
    helper.unpack(helper.log[-1])
    (parcel,) = helper.pack(order.order, [{"carton": "box", "gross_g": 2940}])
    helper.weigh(parcel, 2951)
    helper.hand_over(order.order, payment=(4200, "cash"))
    helper.arrive({parcel: "fine"})
    helper.pay(order.order, -100, "cash", note="one jar was cracked")
    helper.sell([("pint", 1)], lots={"pint": [(None, 1)]})
    helper.exchange(callers={"pint": 4})
    helper.give_back({"pint": helper.share("pint") - 1})
    helper.exchange()


def board_of_a_carton(house: House) -> None:
    """A carton with its maker's certificate, from a phone that knows of it, and again from one that does not."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    keeper.set_good(GOODS, [{**CARTON, "max_united_mm": 1905, "edge_crush_lb_per_in": 32, "board_um": 3969}])
    keeper.set_good([GOODS[3]], [{**CARTON, "tare_g": 95}])
    keeper.set_good([GOODS[3]], [{"table": "carton", "id": "box", "edge_crush_lb_per_in": None}])
    keeper.exchange()


def whose_posting_price(house: House) -> None:
    """An order priced by the table, changed and priced anew, and one typed by hand; a phone that never says whose price it is."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    keeper.set_good(GOODS, [CARTON])
    keeper.write("buy", OPENING)
    keeper.exchange(callers={"bar": 8, "pint": 6})
    ruth = keeper.note_person(name="Ruth Amsel", zip="55811")
    by_table = keeper.promise([("bar", 4)], person=ruth, way="post", posting_cents=700, posting_by="table")
    keeper.promise([("pint", 1)], person=ruth, way="post", posting_cents=940, posting_by="hand")
    keeper.promise([("pint", 1)], person=ruth, way="post", posting_cents=900)
    keeper.amend(by_table.order, lines=[("bar", 4), ("pint", 2)], posting_cents=950, posting_by="table")
    keeper.amend(by_table.order, posting_cents=800, posting_by="hand")
    keeper.exchange()


def getting_out(house: House) -> None:
    """An export read into an empty house, and a person forgotten on request."""
    person = {"table": "person", "id": "p1", "name": "Orla Tennick", "phone": "+12185550114", "note": "rings twice"}
    order = {"table": "order", "id": "o1", "number": "A-1", "person": "p1", "way": "pick_up", "state": "gone", "taken_on": "2026-06-01",
             "gone_on": "2026-06-02", "closed_on": "2026-06-02", "note": "for her mother"}  # fmt: skip
    line = {"table": "line", "id": "l1", "order": "o1", "good": "bar", "units": 2, "price_cents": 250}
    left = {"table": "movement", "id": "m1", "good": "bar", "lot": None, "units": -2, "reason": "gone", "order": "o1", "line": "l1",
            "on": "2026-06-02"}  # fmt: skip
    house.write_many("bring_in", [[person, GOODS[0]], [order], [line], [movement("bar", 10, "opening"), left]])
    emptied = {"table": "person", "id": "p1", **FORGOTTEN}  # the entry alone: a forgotten person's earlier entries carry no name any more
    house.write("forget_person", [emptied, {"table": "order", "id": "o1", "note": ""}])


def prices_told(house: House) -> None:
    """Ten for $25, a price for what is mailed, one from August on and sales tax; orders told all of it, changed by new and old apps."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    mail: Json = {"place": "mail", "since": "", "cents": 350, "steps": []}
    rules = [mail, {"place": "", "since": "2026-08-01", "cents": 325, "steps": [[10, 2900]]}]
    bar = {**GOODS[0], "price_cents": 300, "steps": [[10, 2500]], "prices": rules, "taxed": True, "form": "bar", "typical": True}
    keeper.set_good([bar, *GOODS[1:]], [CARTON])
    keeper.set_house({"state": "MN", "sales_tax": {"on": True, "rate": 6875, "mailing": True, "elsewhere": False}})
    keeper.write("buy", OPENING)
    keeper.exchange(callers={"bar": 10, "pint": 6})
    ruth = keeper.note_person(name="Ruth Amsel", state="MN", zip="55811")
    picked = keeper.promise([("bar", 12), ("pint", 1)], person=ruth, way="pick_up")
    mailed = keeper.promise([("bar", 2)], person=ruth, way="post", posting_cents=610, posting_by="hand")
    keeper.amend(picked.order, lines=[("bar", 9)])
    keeper.write("amend", [{"table": "line", "id": mailed.lines["bar"], "units": 1, "was": {"units": 2}}], {})
    keeper.amend(mailed.order, posting_cents=700)
    keeper.sell([("pint", 2)])
    keeper.exchange()


def undone_whole(house: House) -> None:
    """Every act that can be undone, undone in one entry each; one of them twice, and one by another device that came too late."""
    keeper, tablet = DeviceClient.enrol(house, "Shed phone"), DeviceClient.enrol(house, "Wall tablet")
    keeper.set_good(GOODS, [CARTON])
    keeper.write("buy", OPENING)
    keeper.exchange(callers={"bar": 9, "pint": 6})
    ruth = keeper.note_person(name="Ruth Amsel", zip="55811")
    keeper.note_person(ruth, name="Ruth Amsell")
    keeper.undo(keeper.log[-1], {ruth: {"name": "Ruth Amsel"}})
    _order_undone(keeper, ruth)
    poured = [("clean-wax", None, -300, "used"), ("bar", "W26-205-1", 10, "poured")]
    keeper.make([{"id": "W26-205-1", "good": "bar", "made_on": "2026-07-24"}], poured)
    keeper.undo(keeper.log[-1])
    keeper.count([("pint", None, -1, "broken")])
    keeper.undo(keeper.log[-1])
    keeper.buy([("box", None, 2, "bought")])
    keeper.undo(keeper.log[-1])
    keeper.undo(keeper.log[-2])  # once is enough: refused
    keeper.note_lot("W26-205-1", note="grainy")
    keeper.undo(keeper.log[-1], {"W26-205-1": {"note": ""}})
    keeper.set_good([{"id": "bar", "price_cents": 300}])
    keeper.undo(keeper.log[-1], {"bar": {"price_cents": 250}})
    keeper.set_house({"closing_words": "Thanks"})
    keeper.undo(keeper.log[-1])
    keeper.sell([("bar", 2), ("pint", 1)])
    keeper.exchange()
    tablet.exchange()
    sale = keeper.log[-1]
    keeper.undo(sale)
    tablet.undo(sale)
    for hand in (keeper, tablet, keeper):
        hand.exchange()


def _order_undone(keeper: DeviceClient, person: str) -> None:
    keeper.promise([("bar", 2)], person=person, payment=(500, "check"))
    keeper.undo(keeper.log[-1])
    order = keeper.promise([("bar", 3)], person=person).order
    before = {order: {**keeper.order(order), "note": ""}, **{line["id"]: dict(line) for line in keeper.view.lines_of(order)}}
    keeper.amend(order, lines=[("bar", 4), ("pint", 1)], note="and a jar")
    keeper.undo(keeper.log[-1], before)
    keeper.let_go(order)
    keeper.undo(keeper.log[-1])
    keeper.pay(order, 700, "cash")
    keeper.undo(keeper.log[-1])
    keeper.pack(order, [{"carton": "box", "gross_g": 300}])
    keeper.undo(keeper.log[-1])
    (parcel,) = keeper.pack(order, [{"carton": "box", "gross_g": 300}])
    keeper.weigh(parcel, 310)
    keeper.undo(keeper.log[-1], {parcel: {"scale_g": None}})
    keeper.hand_over(order)
    keeper.arrive({parcel: "leaked"})
    keeper.undo(keeper.log[-1], {parcel: {"arrived": "", "arrived_on": None}})


def people_from_a_list(house: House) -> None:
    """A keeper brings in people from a list, and the same list once more by mistake."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    empty = {"unit": "", "hidden": False}
    people = [
        {"id": "d9332f00-2ee9-520e-b970-0a69da9fa215", "name": "Ruth Amsel", "phone": "+12185550142", "street": "4 Heron Sill Rd",
         "city": "Duluth", "state": "MN", "zip": "55811", "note": 'likes "dark" honey', **empty},
        {"id": "77df8b5a-c845-5a08-ba40-70056c4b7f05", "name": "Nell Fenn", "phone": "", "street": "1 Larch Rd", "city": "Bar Harbor",
         "state": "ME", "zip": "04609", "note": "number as written: 111 111 1111", **empty},
    ]  # fmt: skip
    keeper.note_people(people)
    keeper.note_people(people)
    keeper.exchange()


def addresses_of_orders(house: House) -> None:
    """An order to its person's own address, a present to another, one of an older app; the person moves, and one of them follows."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    keeper.set_good([{"id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 250}])
    keeper.buy([("bar", None, 10, "opening")])
    keeper.exchange(callers={"bar": 10})
    ruth = keeper.note_person(name="Ruth Amsel", street="4 Heron Sill Rd", city="Duluth", state="MN", zip="55811")
    own = keeper.promise([("bar", 2)], person=ruth).order
    gift = {"to_name": "Bob Lind", "to_street": "9 Larch Rd", "to_city": "Bar Harbor", "to_state": "ME", "to_zip": "04609"}
    keeper.promise([("bar", 1)], person=ruth, goes_to="other", gift_note="Happy birthday", **gift)
    keeper.promise([("bar", 1)], person=ruth, goes_to="")
    keeper.note_person(ruth, street="7 Alder Ct")
    keeper.exchange()
    keeper.amend(own, to_street="7 Alder Ct")
    keeper.undo(keeper.log[-1])
    keeper.amend(own, goes_to="other")
    keeper.exchange()


def money_as_entries(house: House) -> None:
    """Paid in parts and ways, put right, taken off, paid back and sent again; the till opened, emptied and counted; two of it undone."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    keeper.set_good([{"id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 250}])
    keeper.buy([("bar", None, 20, "opening")])
    keeper.exchange(callers={"bar": 20})
    ruth = keeper.note_person(name="Ruth Amsel", street="4 Heron Sill Rd", city="Duluth", state="MN", zip="55811")
    order = keeper.promise([("bar", 4)], person=ruth).order
    keeper.till("opening", 5000)
    keeper.pay(order, 300, given_cents=500)
    keeper.pay(order, 200, "check", check_number="118")
    keeper.pay(order, 600, "transfer")
    wrong = next(row["id"] for row in keeper.view.rows["payment"].values() if row["how"] == "check")
    keeper.correct(wrong, 100, "read it wrong")
    keeper.hand_over(order)
    keeper.adjust(order, -250, "heat")
    keeper.adjust(order, -100, "discount")
    keeper.undo(keeper.log[-1])
    keeper.adjust(order, -5000, "gift")  # more than all of it: refused
    keeper.pay(order, -250)
    keeper.send_again(order, "heat")
    keeper.till("taken", 1000, "to the bank")
    keeper.till("counted", 4000)
    keeper.undo(keeper.log[-1])
    keeper.till("counted", 4050, "a quarter twice")
    keeper.exchange()


def went_without(house: House) -> None:
    """What two callers went without on two devices; one took it after all, which is undone."""
    keeper, other = DeviceClient.enrol(house, "Shed phone"), DeviceClient.enrol(house, "Kitchen")
    keeper.set_good([{"id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 250}])
    keeper.buy([("bar", None, 4, "opening")])
    keeper.exchange()
    other.exchange()
    keeper.go_without("bar", 10)
    other.go_without("bar", 5, "post")
    for device in (keeper, other):
        device.exchange()
    other.undo(other.log[-1])
    other.exchange()


def standing_orders(house: House) -> None:
    """Wanted each month and every second week; a day confirmed on two devices, canceled, confirmed anew; paused, ended, a mistake."""
    keeper, other = DeviceClient.enrol(house, "Shed phone"), DeviceClient.enrol(house, "Kitchen")
    keeper.set_good([{"id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 250}])
    keeper.buy([("bar", None, 60, "opening")])
    keeper.exchange(callers={"bar": 20})
    other.exchange(callers={"bar": 20})
    ruth = keeper.note_person(name="Ruth Amsel", street="4 Heron Sill Rd", city="Duluth", state="MN", zip="55811")
    monthly = keeper.note_standing(person=ruth, wanted=[("bar", 10)], way="post", every="month", interval=1, first_on="2026-07-01")
    gift = {"to_name": "Bob Lind", "to_street": "9 Larch Rd", "to_city": "Bar Harbor", "to_state": "ME", "to_zip": "04609"}
    often: Any = {"way": "post", "every": "week", "interval": 2, "first_on": "2026-07-06"}
    keeper.note_standing(person=ruth, wanted=[("bar", 2)], goes_to="other", gift_note="from Ruth", **gift, **often)
    keeper.exchange()
    other.exchange()
    for device in (keeper, other):
        device.promise_standing(monthly, "2026-08-01")
    keeper.exchange()
    other.exchange()
    keeper.undo(keeper.log[-1])
    keeper.promise_standing(monthly, "2026-08-01")
    keeper.note_standing(monthly, paused=True)
    keeper.undo(keeper.log[-1])
    keeper.note_standing(monthly, skipped_on="2026-09-01", ends_on="2026-12-31")
    keeper.note_standing(person=ruth, wanted=[("bar", 1)], way="pick_up", every="week", interval=1, first_on="2026-07-06")
    keeper.undo(keeper.log[-1])
    keeper.exchange()


def people_joined(house: House) -> None:
    """Somebody stands in the book twice: joined, in a circle (refused), parted, undone; two orders go in one parcel and are mailed."""
    keeper, other = DeviceClient.enrol(house, "Shed phone"), DeviceClient.enrol(house, "Kitchen")
    keeper.set_good([{"id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 250}])
    keeper.buy([("bar", None, 20, "opening")])
    keeper.exchange(callers={"bar": 20})
    ruth = keeper.note_person(name="Ruth Amsel", street="4 Heron Sill Rd", city="Duluth", state="MN", zip="55811")
    twin = keeper.note_person(name="R. Amsel", phone="+12185550142")
    keeper.promise([("bar", 2)], person=twin, goes_to="")
    keeper.exchange()
    other.exchange()
    keeper.join_people(twin, ruth)
    other.join_people(ruth, twin)
    keeper.exchange()
    other.exchange()
    keeper.join_people(twin, None)
    keeper.undo(keeper.log[-1])
    first, second = (keeper.promise([("bar", units)], person=ruth).order for units in (3, 4))
    keeper.amend(second, goes_with=first)
    keeper.pack(first, [{"gross_g": 300}])
    keeper.hand_over(first)
    keeper.exchange()


def after_it_left(house: House) -> None:
    """Mailed by mistake and undone, mailed again with its tracking number, a wrong number taken back, and refused once it has arrived."""
    keeper = DeviceClient.enrol(house, "Shed phone")
    keeper.set_good([{"id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 250}])
    keeper.buy([("bar", None, 20, "opening")])
    keeper.exchange(callers={"bar": 20})
    ruth = keeper.note_person(name="Ruth Amsel", street="4 Heron Sill Rd", city="Duluth", state="MN", zip="55811")
    order = keeper.promise([("bar", 4)], person=ruth).order
    (parcel,) = keeper.pack(order, [{"gross_g": 300}])
    keeper.hand_over(order, payment=(1000, "cash"))
    keeper.undo(keeper.log[-1])
    keeper.hand_over(order)
    left = keeper.log[-1]
    keeper.track(parcel, "AB123456789")
    keeper.track(parcel, "AB1")
    keeper.undo(keeper.log[-1])
    keeper.arrive({parcel: "fine"})
    keeper.undo(left)
    keeper.exchange()
