"""Small questions asked of rows: where an order goes, which day comes next, what a price is, who rides along, who owes and who waits."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB, in_node
from screens.kinds_of_rows import TODAY, bulk, good, moved, order, person
from screens.rows import DULUTH, ROWS
from store.acted import Json, acted, rows_of
from store.in_page import in_page

EACH = "asked.map(([name, ...given]) => here[name](...given))"
HOME: Json = {"name": "Ann", "street": "41 Heron Sill Rd", "unit": "", "city": "Duluth", "state": "MN", "zip": "55811"}
NOWHERE: Json = {"name": "Ann", "street": "", "unit": "", "city": "", "state": "", "zip": ""}
OWN: Json = {"way": "post", "state": "promised", "goes_to": "own", "to_street": HOME["street"], "to_city": "Duluth", "to_state": "MN",
    "to_zip": "55811"}


def test_two_go_in_one_parcel_to_the_same_door_while_both_are_open_or_both_are_gone() -> None:
    other: Json = {**HOME, "zip": "55811-1234", "street": "41  heron sill rd."}
    doors = [(HOME, other, True), (NOWHERE, NOWHERE, False), ({**NOWHERE, "city": "Ely"}, {**NOWHERE, "city": "ely "}, True),
             (HOME, {**HOME, "name": "Bo"}, False), (HOME, {**HOME, "unit": "2"}, False)]  # fmt: skip
    assert in_node("store/destination.js", EACH, [["sameAddress", one, two] for one, two, _ in doors]) == [same for *_, same in doors]
    states = [("promised", "packed", True), ("gone", "gone", True), ("gone", "promised", False), ("packed", "gone", False),
              ("let_go", "gone", False), ("gone", "let_go", False), ("let_go", "let_go", False), (None, None, False)]  # fmt: skip
    asked = [["inOneParcel", {"way": "post", "state": one}, HOME, {"way": "post", "state": two}, other] for one, two, _ in states]
    assert in_node("store/destination.js", EACH, asked) == [together for *_, together in states]
    ways = [["inOneParcel", {"way": one, "state": "gone"}, HOME, {"way": two, "state": "gone"}, HOME]
            for one, two in (("post", "pick_up"), ("pick_up", "post"))]  # fmt: skip
    assert in_node("store/destination.js", EACH, ways) == [False, False]


def test_an_address_is_copied_where_there_is_one_and_has_moved_where_any_part_of_it_is_another() -> None:
    copied = in_node("store/destination.js", EACH, [["copiedFrom", None], ["copiedFrom", NOWHERE], ["copiedFrom", HOME]])
    assert copied[:2] == [{}, {}] and (copied[2]["goes_to"], copied[2]["to_city"]) == ("own", "Duluth")
    part = {"street": HOME["street"], "city": "Duluth", "state": "MN", "zip": "55811"}
    cases: list[tuple[Json, Json | None, bool]] = [
        (OWN, HOME, False), (OWN, part, False), (OWN, {**HOME, "unit": "2"}, True), (OWN, {**HOME, "zip": "55812"}, True), (OWN, NOWHERE,
            False),
        (OWN, None, False), ({**OWN, "way": "pick_up"}, {**HOME, "unit": "2"}, False), ({**OWN, "state": "gone"}, {**HOME, "unit": "2"},
            False),
        ({**OWN, "goes_to": "other"}, {**HOME, "unit": "2"}, False), ({**OWN, "state": "packed"}, {**HOME, "unit": "2"}, True),
    ]  # fmt: skip
    assert in_node("store/destination.js", EACH, [["hasMoved", one, who] for one, who, _ in cases]) == [moved for *_, moved in cases]


def test_the_next_day_of_a_standing_order_is_after_what_was_skipped_and_not_after_its_end() -> None:
    every = {"every": "week", "interval": 1, "first_on": "2027-07-05", "hidden": False, "skipped_on": None, "ends_on": None}
    cases: list[tuple[Json, str | None]] = [
        ({}, "2027-07-12"), ({"skipped_on": "2027-07-12"}, "2027-07-19"), ({"skipped_on": "2027-07-06"}, "2027-07-12"),
        ({"skipped_on": "2027-07-05"}, "2027-07-12"), ({"hidden": True}, None), ({"ends_on": "2027-07-12"}, "2027-07-12"),
        ({"ends_on": "2027-07-11"}, None),
    ]  # fmt: skip
    told = in_node("store/recurring.js", EACH, [["nextDay", {**every, **more}, "2027-07-06"] for more, _ in cases])
    assert told == [day for _, day in cases]
    due = [["dueDay", {**every, "first_on": "2027-07-24", "ends_on": ends}, [], TODAY] for ends in ("2027-07-23", "2027-07-24",
        "2027-07-25")]
    assert in_node("store/recurring.js", EACH, due) == [None, "2027-07-24", "2027-07-24"]
    skipped = [["dueDay", {**every, "skipped_on": day}, [], "2027-07-26"] for day in ("2027-07-05", "2027-07-12", "2027-07-19")]
    assert in_node("store/recurring.js", EACH, skipped) == ["2027-07-12", "2027-07-19", "2027-07-26"]


def test_a_price_is_the_one_begun_last_at_the_place_and_a_line_without_a_total_costs_its_units() -> None:
    cake = {"price_cents": 100, "prices": [{"cents": 90}, {"place": "mail", "since": "2027-08-01", "cents": 130, "steps": [[5, 600], [2,
        250]]},
                                           {"place": "mail", "cents": 120}]}  # fmt: skip
    told = in_node("store/pricing.js", EACH, [
        ["priceOn", cake, "post", "2027-07-31"], ["priceOn", cake, "post", "2027-08-01"], ["priceOn", cake, "walk_in", TODAY],
        ["priceOn", {}, "post", TODAY], ["lineTotal", {"units": 3, "price_cents": 20, "total_cents": None}],
        ["lineTotal", {"units": 3, "price_cents": 20, "total_cents": 0}],
        ["orderTotal", {"tax_cents": None}, [{"units": 2, "price_cents": 5}]],
        ["lineCents", 20, 100, [[10, 900]]], ["lineCents", 21, 100, [[10, 900]]], ["lineCents", 101, 100, [[10, 900]]],
        ["lineCents", 100, 100, [[10, 900]]],
    ])  # fmt: skip
    assert told[:4] == [{"price_cents": cents, "steps": steps} for cents, steps in (
        (120, []), (130, [[2, 250], [5, 600]]), (90, []), (0, [])
    )]  # fmt: skip
    assert told[4:] == [60, 0, 10, 1800, 1900, 9100, 9000]


def test_lots_stand_the_oldest_first_and_what_is_of_none_last() -> None:
    lots = [{"lot": None, "made_on": None}, {"lot": "W26-204-10", "made_on": "2026-07-23"}, {"lot": "W26-204-9", "made_on": "2026-07-23"},
            {"lot": "A", "made_on": None}, {"lot": "B", "made_on": "2026-01-01"}]  # fmt: skip
    for rows in (lots, lots[::-1]):
        told = in_node("store/sorting.js", "[...asked].sort(here.oldestFirst).map(({ lot }) => lot)", rows)
        assert told == ["A", "B", "W26-204-9", "W26-204-10", None]
    numbered = in_node("store/sorting.js", "asked.sort(here.byNumber).map(({ number }) => number ?? '')",
                       [{"number": "A-14"}, {}, {"number": "A-9"}])  # fmt: skip
    assert numbered == ["", "A-9", "A-14"]


def test_the_view_tells_parcels_riders_moved_people_and_who_waits() -> None:
    """Of people that are not on this device nothing is told but the order."""
    place: Json = dict(zip(("to_street", "to_city", "to_state", "to_zip"), DULUTH, strict=True))
    parcel = {"table": "parcel", "order": "o1", "packed_on": TODAY}
    lost = [*order("w1", "who", "pick_up", "promised", TODAY, {"comb": (3, 4500)}, sure={"comb": 1}),
            *order("w2", None, "pick_up", "promised", TODAY, {"comb": (2, 3000)}, sure={}),
            *order("w3", "who", "post", "promised", TODAY, {}, goes_to="own", **place)]  # fmt: skip
    rows = [*ROWS, *lost, {**parcel, "id": "x2", "part": 2}, {**parcel, "id": "x1", "part": 1}, {**parcel, "id": "x3", "part": 3,
        "packed_on": None},
            {**person("gus", "Gus Amin", "+14805550143"), "street": "1 New Rd", "city": "Mesa", "state": "AZ", "zip": "85201"},
            moved("block", -1, "opening", "2027-07-01", "L1"), moved("block", 1, "opening", "2027-07-01", "L2"),
            moved("block", -9, "lost", TODAY)]  # fmt: skip
    told = in_page("store/view.js", """(() => {
      const { view } = known, ids = (all) => all.map(({ id }) => id);
      return [ids(view.parcelsOf('o1')), ids(view.parcelsOf({ id: 'none' })), ids(view.ridersOf('o1')), ids(view.ridersOf('none')),
        ids(view.moved()),
        view.waitingFor('comb').map(({ order, person, units }) => [order.id, person, units]),
        view.promisedTo('comb').map(({ order, person, units }) => [order.id, person, units]),
        view.lotsBelowZero().map(({ good, lot, units }) => [good.id, lot, units])];
    })()""", None, rows)  # fmt: skip
    assert told == [
        ["x1", "x2"], [], ["o8"], [], ["o11", "o7"], [["w1", None, 2], ["w2", None, 2]], [["w1", None, 1]], [["block", "L1", 1]],
    ]  # fmt: skip


def test_who_may_have_the_rest_is_named_or_the_order_is() -> None:
    rows = [*order("w1", "ann", "pick_up", "promised", TODAY, {"jar": (3, 3600)}), *order("w2", None, "pick_up", "promised", TODAY,
        {"jar": (2, 2)}),
            person("ann", "Ann", "")]  # fmt: skip
    told = in_page("store/sureness.js", "[5, 4, 2, 1].map((units) => here.whoseItMayBe('jar', units, known.view))", None, rows)
    two, ann = {"name": "order A-w2", "units": 2}, {"name": "Ann", "units": 3}
    assert told == [[two, ann], [two, {**ann, "units": 2}], [two], [{**two, "units": 1}]]


def test_who_owes_most_stands_first_and_one_person_is_one() -> None:
    def had(id: str, who: str | None, cents: int, **more: Any) -> list[Json]:
        return order(id, who, "pick_up", "gone", None, {"jar": (1, cents)}, handed=True, **more)

    rows = [person("ann", "Ann", ""), person("bo", "Bo", ""), person("bo2", "B.", "", same_as="bo"), *had("w1", "ann", 500), *had("w2",
        "bo", 300),
            *had("w3", "bo2", 400), *had("w4", None, 100), *had("w5", "away", 50), *had("w6", "ann", 0),
            *order("w7", "ann", "pick_up", "promised", None, {"jar": (1, 900)})]  # fmt: skip
    told = in_page("store/owing.js", "here.owing(known.view)", None, rows)
    assert told == [["bo", 700], ["ann", 500], ["", 100], ["away", 50]]


def test_what_was_made_says_of_which_lots_it_is_and_every_bucket_may_be_one() -> None:
    stages = [bulk(id, id, 1) for id in ("honey_bulk", "cappings", "wax_fine", "wax_back")] + [good("bar", ("bar", "bars", ""), 1, 0,
        kind="wax")]
    lots = [{"table": "lot", "id": id, "good": "wax_fine", "made_on": on, "sources": [], "measures": {}} for id, on in (
        ("F1", "2027-01-01"), ("F2", "2027-02-01"))]  # fmt: skip
    here = [moved("wax_fine", 100, "came", "2027-01-01", "F1"), moved("wax_fine", 100, "came", "2027-02-01", "F2")]
    told = acted([
        ["extract", {"buckets_g": [10, 20], "cappings_g": 3, "supers": 2}], ["extract", {"buckets_g": [10, 20], "each_a_lot": True}],
        ["pass", {"from": "wax_fine", "grams": 50, "to": [{"good": "wax_back", "units": 40}]}],
        ["pass", {"from": "wax_fine", "lot": "F2", "grams": 50, "to": [{"good": "wax_back", "units": 50}]}],
        ["pour", {"good": "bar", "units": 3, "specked": 1, "poured_g": 30, "back_g": 10, "lot": "F2"}],
        ["pour", {"good": "bar", "units": 3, "specked": 0, "poured_g": 30, "back_g": 0}],
        ["bottle", {"from": "wax_fine", "lot": "F2", "used_g": 5, "lost_g": 0, "jars": [{"good": "bar", "units": 1}]}],
        ["make", {"lots": [{"good": "bar", "units": 1}], "used": [{"good": "wax_fine", "units": 7, "lot": "F2"}]}],
        ["make", {"lots": [{"good": "bar", "units": 1}], "used": [{"good": "wax_fine", "units": 7}]}],
        ["takeAway", "wax_fine", "F2", 1, "lost"], ["takeAway", "wax_fine", None, 1, "lost"], ["savePerson", {"name": "Ann"}],
        ["savePerson", {"id": "$11.person", "name": "Ann"}],
    ], [*stages, *lots, *here])  # fmt: skip
    assert [step["said"] for step in told] == [""] * 13
    made = [rows_of(step, "lot", "good", "sources", "measures") for step in told[:2]]
    honey, comb = told[0]["answer"]["lots"]
    assert made[0] == [["honey_bulk", [], {"supers": 2, "honey_g": 30, "buckets": 2}], ["cappings", [honey], {"drained_g": 3}]]
    assert (comb[0], made[1]) == ("K", [["honey_bulk", [], {"honey_g": grams, "buckets": 1}] for grams in (10, 20)])
    used = [[row for row in rows_of(step, "movement", "lot", "units", "reason") if row[1] < 0] for step in told[2:11]]
    assert used == [
        [["F1", -40, "passed"], ["F1", -10, "lost"]], [["F2", -50, "passed"]], [["F2", -20, "used"], ["F2", -10, "passed"]],
        [["F1", -30, "used"]], [["F2", -5, "used"]], [["F2", -7, "used"]], [["F1", -7, "used"]], [["F2", -1, "lost"]], [[None, -1, "lost"]],
    ]  # fmt: skip
    assert [rows_of(step, "lot", "sources")[0] for step in told[2:9]] == [[[lot]] for lot in ("F1", "F2", "F2", "F1", "F2", "F2", "F1")]
    assert (told[12]["answer"], told[12]["wrote"]) == ({"op": None, "person": told[11]["answer"]["person"]}, [])


def test_a_standing_order_is_promised_with_its_own_address_and_words_and_they_are_asked_about_by_day() -> None:
    weekly = {"table": "standing", "person": "ann", "wanted": [{"good": "bar", "units": 5}], "way": "post", "every": "week", "interval": 1}
    mia = {"goes_to": "other", "to_name": "Mia", "to_city": "Ely", "to_state": "MN", "gift_note": "Hello", "note": "soft"}
    firsts = {"t1": "2027-07-28", "t2": "2027-07-26", "t3": "2027-07-30", "t4": "2027-07-26", "t5": "2027-08-26"}
    rows: list[Json] = [*ROWS, *({**weekly, "id": id, "first_on": on, **(mia if id == "t1" else {})} for id, on in firsts.items())]
    told = acted([["promiseStanding", "t1", "2027-07-28"], ["promiseStanding", "t2", "2027-07-26"], ["letGo", "$1.order"],
        ["promiseStanding", "t2", "2027-07-26"],
                  ["promiseStanding", "t2", "2027-07-26"]], rows)  # fmt: skip
    assert [step["said"][:31] for step in told] == ["", "", "", "", "This was promised already, perh"]
    fields = ("goes_to", "to_name", "to_city", "gift_note", "note", "leave_on", "standing", "standing_on", "pays")
    assert rows_of(told[0], "order", *fields) == [["other", "Mia", "Ely", "Hello", "soft", "2027-07-28", "t1", "2027-07-28", "later"]]
    assert rows_of(told[1], "order", *fields) == [["own", "", "Duluth", None, "", "2027-07-26", "t2", "2027-07-26", "later"]]
    assert told[1]["answer"]["order"] != told[3]["answer"]["order"]
    due = in_page("store/standing-orders.js", "here.dueStanding().map(({ standing, on }) => [standing.id, on])", None, rows)
    assert due == [["s1", "2027-07-16"], ["s2", "2027-07-26"], ["t2", "2027-07-26"], ["t4", "2027-07-26"], ["t1", "2027-07-28"], ["t3",
        "2027-07-30"]]


HELD = """(async () => {
  const { load } = await import(`${asked.web}store/known.js`);
  const all = () => db.read(['log'], (tx) => tx.objectStore('log').getAll());
  const log = async () => (await all()).map(({ operation: { kind, spent } }) => [kind, spent]);
  await db.write(['keep', 'sentences'], async (tx) => {
    tx.objectStore('keep').put({ granted: { bar: 10, jar: 4, comb: 3 }, spent: { bar: 1 } }, 'share');
    for (const row of asked.sentences) tx.objectStore('sentences').put(row);
  });
  await load();
  here.holdFor(asked.held);
  Object.assign(here.asking, asked.asking);
  const { wants, callers } = here.wishes();
  await here.giveBack(asked.back);
  return [Object.keys(wants), callers, await log()];
})()"""


def test_what_is_being_promised_is_wished_for_and_never_given_back() -> None:
    def sentence(id: str, *lines: tuple[str, int], amends: str | None = None) -> Json:
        draft = {"lines": [{"good": name, "units": units} for name, units in lines], "amends": amends}
        return {"id": id, "owner": None, "changed_at": "", "draft": draft}

    def told(back: Json, *sentences: Json, held: list[Json] | None = None, **asking: int) -> Any:
        goods: dict[str, Json] = {"bar": {}, "old": {"hidden": True}, "stop": {"sold": False}}
        rows = order("w1", None, "pick_up", "promised", None, {"comb": (3, 300)})
        rows += [good(id, ("", "", ""), 1, 0, **more) for id, more in goods.items()]
        asked = {"back": back, "sentences": sentences, "held": held or [], "asking": asking, "web": f"{WEB.as_uri()}/"}
        return in_page("store/wishes.js", HELD, asked, rows)

    assert told({"bar": 4, "jar": 9, "none": 2}) == [["bar"], {}, [["give_back", {"bar": 4, "jar": 4}]]]
    held = [{"good": "jar", "units": 1}, {"good": "jar", "units": 2}]
    both = (sentence("s1", ("bar", 5)), sentence("s2", ("bar", 1), ("comb", 3), amends="w1"))
    given_back = ["give_back", {"bar": 1, "jar": 1, "comb": 3}]
    assert told({"bar": 9, "jar": 4, "comb": 9}, *both, held=held, bar=8) == [["bar"], {"bar": 8, "jar": 3}, [given_back]]
    assert told({"bar": 9, "jar": 4}, sentence("s1", ("bar", 9)), held=[{"good": "jar", "units": 4}]) == [["bar"], {"bar": 9, "jar": 4}, []]


def test_the_parcels_of_an_order_stand_by_their_part_and_only_the_packed_ones() -> None:
    """However they came to this device: the last first, the middle last."""
    parcel = {"table": "parcel", "order": "o1", "dressing": "plain", "gross_g": 900, "carton": "c8"}
    rows = [{**parcel, "id": f"q{part}", "part": part, "packed_on": packed_on} for part, packed_on in
            ((3, "2027-07-12"), (4, None), (1, "2027-07-13"), (10, "2027-07-12"), (2, "2027-07-12"))]  # fmt: skip
    body = "known.view.parcelsOf('o1').map(({ part }) => part)"
    assert in_page("store/known.js", body, None, [row for row in ROWS if row["table"] != "parcel"] + rows) == [1, 2, 3, 10]
