"""What an order asks of the planner, what is told of what is packed, and what a label says of what is inside."""

from __future__ import annotations

from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR, orla
from honeyhold.documents.gathering import GatheredOrder, ShelfLine, carton_lines, liquid_lines, shelf_lines
from honeyhold.documents.label import _inside, _label, heat_packed
from honeyhold.documents.order_facts import ParcelFacts, good_facts, line_facts, order_facts, parcel_facts, receiver_facts
from honeyhold.documents.order_slip import _asked, _carton_name, _kept_words, _packed, _unnumbered, told_parcels, with_named_lots
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest

Json = dict[str, Any]
BOX = {"id": "box", "name": "8 by 6 by 4 in", "inner": ["8 in", "6 in", "4 in"], "outer": ["8 in", "6 in", "4 in"], "in_stock": 3}
PERSON = {"name": "Ruth", "zip": "55811"}


def asked(order: Json | None = None, **changes: Any) -> Any:
    """As it is asked to be planned."""
    row = {"number": "A-1", "way": "post", "dressing": "lined", "leave_on": "2026-07-22", **(order or {})}
    lines = [{"good": BAR, "units": 9, "sure": 5}, {"good": JAR, "units": 2, "sure": 0}]
    whole = Reader({"order": row, "person": PERSON, "lines": lines, **changes})
    return _asked(whole, whole.mapping("order"), Reader({"house": HOUSE, "cartons": [BOX], "today": "2026-07-21"}))


def test_what_is_sure_is_asked_about_with_all_that_the_planner_goes_by() -> None:
    found = asked(carton="box")
    assert (found.to_zip, found.way, found.leave_on, found.today, found.dressing, found.carton, found.view) == (
        "55811", "post", "2026-07-22", "2026-07-21", "lined", "box", "oblique",
    )  # fmt: skip
    assert [(one.good, one.units) for one in found.lines] == [("bar", 5)] and set(found.goods) == {"bar", "jar12"}
    assert [carton.id for carton in found.cartons] == ["box"]


@pytest.mark.parametrize(("order", "changes", "to_zip"), [
    ({"goes_to": "other", "to_zip": "04609"}, {}, "04609"), ({}, {"person": None}, ""), ({}, {"person": {"name": "Ruth", "zip": None}}, ""),
])  # fmt: skip
def test_it_goes_where_the_order_goes(order: Json, changes: Json, to_zip: str) -> None:
    assert asked(order, **changes).to_zip == to_zip


def test_of_lots_those_with_a_name_are_told() -> None:
    lots = [{"lot": "W1", "units": 1}, {"lot": None, "units": 2}, {"lot": "", "units": 3}]
    named = with_named_lots(Reader({"lines": [{"units": 6, "lots": lots}, {"units": 1}]}, "orders[0]."))
    assert named.held["lines"] == [{"units": 6, "lots": lots[:1]}, {"units": 1, "lots": []}] and named.where == "orders[0]."


@pytest.mark.parametrize(("order", "words"), [
    ({}, ""), ({"dressing": "plain"}, ""), ({"dressing": "lined"}, "Against heat: padded."),
    ({"dressing": "chilled"}, "Against heat: cold pack; it may sweat."),
    ({"hold_at_counter": True}, "Held at the post office for pick-up."),
    ({"dressing": "lined", "hold_at_counter": True}, "Against heat: padded. Held at the post office for pick-up."),
])  # fmt: skip
def test_what_was_done_against_heat_in_words(order: Json, words: str) -> None:
    assert _kept_words(Reader(order)) == words


@pytest.mark.parametrize(("row", "carton", "gross", "dressing"), [
    ({"carton": "box", "gross_g": 454, "scale_g": 907, "dressing": "lined"}, BOX["name"], "2 lb", "lined"),
    ({"carton": "box", "gross_g": 454, "scale_g": None}, BOX["name"], "1 lb", "plain"), ({"carton": "box"}, BOX["name"], "", "plain"),
    ({"carton": "gone"}, "", "", "plain"), ({"carton": "gone", "carton_row": {"id": "gone", "name": "old box"}}, "old box", "", "plain"),
    ({"carton": "box", "carton_row": {"id": "box", "name": None}}, "", "", "plain"),
])  # fmt: skip
def test_a_packed_parcel_by_its_row(row: Json, carton: str, gross: str, dressing: str) -> None:
    shared = Reader({"house": HOUSE, "cartons": [BOX]})
    found = _packed(Reader({"part": 2, **row}), 3, shared)
    assert (found.part, found.of, found.carton, found.gross, found.dressing_id) == (2, 3, carton, gross, dressing)
    assert (found.drawing, found.steps, _carton_name(Reader(row), shared)) == ("", (), carton)


def test_packed_parcels_come_in_their_order_and_those_not_packed_not_at_all() -> None:
    parcels = [{"part": 2, "packed_on": "2026-07-21"}, {"part": 3}, {"part": 1, "packed_on": "2026-07-21"}]
    order = Reader({"order": {"way": "post"}, "lines": [], "parcels": parcels})
    told = told_parcels(order, Reader({"house": HOUSE, "cartons": []}), None)
    assert [(parcel.part, parcel.of) for parcel in told] == [(1, 2), (2, 2)]


@pytest.mark.parametrize("way", ["pick_up", "walk_in", None])
def test_what_does_not_go_by_post_has_no_parcel(way: str | None) -> None:
    order = Reader({"order": {"way": way}, "lines": [], "parcels": [{"part": 1, "packed_on": "2026-07-21"}]})
    assert told_parcels(order, Reader({"house": HOUSE, "cartons": []}), None) == ()


def test_steps_lose_the_numbers_that_the_paper_gives_them() -> None:
    numbered = ["1. Ten bars.", "12.Two jars.", "3 jars.", "Then 4. more."]
    assert _unnumbered(numbered) == ("Ten bars.", "Two jars.", "3 jars.", "Then 4. more.")


# Labels


@pytest.mark.parametrize(("goods", "handling", "contents"), [
    ([BAR], ("KEEP OUT OF SUN AND HEAT",), "BEESWAX"),
    ([JAR], ("FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT"), "HONEY, IN GLASS"),
    ([JAR, BAR], ("FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT"), "HONEY AND BEESWAX, IN GLASS"),
    ([{**JAR, "glass": False}], ("THIS SIDE UP", "KEEP OUT OF SUN AND HEAT"), "HONEY"),
    ([{**JAR, "kind": "bulk", "name": "vase"}], ("FRAGILE", "THIS SIDE UP"), ""), ([], (), ""),
])  # fmt: skip
def test_what_a_label_says_of_what_is_inside(goods: list[Json], handling: tuple[str, ...], contents: str) -> None:
    parcel = ParcelFacts(1, 2, "", "2 lb", "", "", (), "lined")  # type: ignore[arg-type]
    found = _label(parcel, [good_facts(Reader(good)) for good in goods])
    assert (found.part, found.of, found.gross, found.packed) == (1, 2, "2 lb", "against heat: padded")
    assert (found.handling, found.contents) == (handling, contents)


@pytest.mark.parametrize(("dressing", "words"), [
    ("plain", ""), ("", ""), ("lined", "against heat: padded"), ("chilled", "against heat: cold pack"),
])  # fmt: skip
def test_a_label_tells_of_heat_where_something_was_done(dressing: str, words: str) -> None:
    assert heat_packed(dressing) == words


@pytest.mark.parametrize(("named", "inside"), [
    ([], ["bar", "jar12"]), (["bar"], ["bar"]), (["jar12", "bar"], ["bar", "jar12"]), (["bar", "bar"], ["bar"]),
])  # fmt: skip
def test_a_parcel_holds_what_it_names_or_all_of_the_order(named: list[str], inside: list[str]) -> None:
    (parcel,) = parcel_facts(Reader({"parcels": [{"part": 1, "of": 1, "goods": named}]}))
    assert [good.id for good in _inside([good_facts(Reader(good)) for good in (BAR, JAR)], parcel, "parcels[0].")] == inside


def test_a_parcel_that_names_what_the_order_does_not_send_is_refused() -> None:
    (parcel,) = parcel_facts(Reader({"parcels": [{"part": 1, "of": 1, "goods": ["bar", "quart"]}]}))
    with pytest.raises(BadRequest, match=r"parcels\[0\]\.goods must be a list of goods that the order sends, but it is \['bar', 'quart'\]"):
        _inside([good_facts(Reader(BAR))], parcel, "parcels[0].")


# The gathering sheet


def gathered(*lines: Json, way: str = "post", parcels: tuple[Json, ...] = ()) -> GatheredOrder:
    """One order of the day."""
    holder = Reader({**orla(), "order": {"number": "A-1", "way": way}, "lines": list(lines), "parcels": list(parcels)})
    return GatheredOrder(order_facts(holder), receiver_facts(holder), line_facts(holder), parcel_facts(holder))


def sent(good: Json, units: int, *lots: tuple[str, int]) -> Json:
    return {"good": good, "units": units, "sure": units, "lots": [{"lot": lot, "units": count} for lot, count in lots]}


def test_the_shelf_goes_by_the_houses_order_then_by_name_then_by_lot() -> None:
    comb = {**BAR, "id": "comb", "name": "comb", "plural": ""}
    day = [gathered(sent(JAR, 1), sent(BAR, 3, ("W2", 1), ("W1", 1))), gathered(sent(comb, 2), sent(BAR, 1, ("W1", 1)))]
    assert shelf_lines(day) == [
        ShelfLine("comb", "oldest first", "2"), ShelfLine("one-ounce wax bars", "W1", "2"), ShelfLine("one-ounce wax bar", "W2", "1"),
        ShelfLine("one-ounce wax bar", "oldest first", "1"), ShelfLine("12 oz jar of honey", "oldest first", "1"),
    ]  # fmt: skip


def test_cartons_are_counted_by_sort_and_dressing() -> None:
    box, bare = {"part": 1, "of": 1, "carton_name": "box", "dressing": "lined"}, {"part": 1, "of": 1}
    day = [gathered(sent(BAR, 1), parcels=(box, bare)), gathered(sent(BAR, 1), parcels=(box, {**box, "dressing": "plain"}))]
    found = [(one.count, one.carton, one.dressing) for one in carton_lines(day)]
    assert found == [(2, "box", "lined"), (1, "box", "plain"), (1, "carton not chosen yet", "")]


@pytest.mark.parametrize(("jars", "begins"), [(1, "1 leakproof bag, one around"), (2, "2 leakproof bags, one around")])
def test_liquids_by_mail_are_packed_threefold(jars: int, begins: str) -> None:
    large = {**JAR, "liquid_ml": 355}
    bags, paper, cartons = liquid_lines([gathered(sent(large, jars), sent(BAR, 3))])
    assert bags == f"{begins} each jar over 4 fl oz, closed so that it holds a leak"
    assert paper.startswith("about ") and paper.endswith(" of paper to soak up all that is in them, around the jars inside their cartons")
    assert cartons == "strong cartons, the outside saying what is in them: three layers in all; ask the post office what holds today"


@pytest.mark.parametrize(("good", "way"), [(JAR, "post"), ({**JAR, "liquid_ml": 355}, "pick_up"), ({**JAR, "liquid_ml": 355}, "walk_in")])
def test_what_is_no_liquid_or_does_not_go_by_mail_needs_none_of_it(good: Json, way: str) -> None:
    assert liquid_lines([gathered(sent(good, 2), way=way)]) == [] == liquid_lines([])
