"""An order, whoever it is for, its lines and its parcels as every paper is told them."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from documents.example_orders import BAR, DRAWING, JAR, line
from documents.test_jar_label import METRIC, THIRTY
from honeyhold.documents.jar_label import _side_mm
from honeyhold.documents.label_grid import read_grid
from honeyhold.documents.letterhead import house_facts, phone_words
from honeyhold.documents.order_facts import (
    OrderFacts,
    ParcelFacts,
    PersonFacts,
    good_facts,
    good_name,
    line_facts,
    order_facts,
    parcel_facts,
    person_facts,
    receiver_facts,
)
from honeyhold.documents.page import Paper
from honeyhold.documents.reading import Reader
from honeyhold.documents.statement import _owed_cents
from honeyhold.documents.wording import amount_words, day_words, short_day_words, weight_to_tenths_words
from honeyhold.errors import BadRequest
from honeyhold.quoting.request import Good

Json = dict[str, Any]


@pytest.mark.parametrize(("order", "facts"), [
    ({"number": "A-1"}, OrderFacts("A-1", "By mail", "", "", "")),
    ({"number": "A-1", "way": "pick_up", "note": " ring "}, OrderFacts("A-1", "To be picked up", "", "", "ring")),
    ({"number": "A-1", "way": "walk_in", "taken_on": "2026-07-20"}, OrderFacts("A-1", "Picked up", "", "Monday, July 20, 2026", "")),
    ({"number": "A-1", "leave_on": "2026-07-22"}, OrderFacts("A-1", "By mail", "Wednesday, July 22, 2026", "", "")),
    ({"number": "A-1", "leave_on": "2026-07-22", "gone_on": "2026-07-23"}, OrderFacts("A-1", "By mail", "Thursday, July 23, 2026", "", "")),
])  # fmt: skip
def test_an_order_leaves_when_it_left_or_when_it_is_to_leave(order: Json, facts: OrderFacts) -> None:
    assert order_facts(Reader({"order": order})) == facts


@pytest.mark.parametrize(("person", "facts"), [
    (None, PersonFacts("No name given", [], "")), ({"city": "Hayward"}, PersonFacts("No name given", ["Hayward"], "Hayward")),
    ({"name": "Ruth", "street": "1 Comb Lane", "unit": "Apt 2", "city": "Hayward", "state": "WI", "zip": "54843"},
     PersonFacts("Ruth", ["1 Comb Lane, Apt 2", "Hayward, WI 54843"], "Hayward, WI")),
    ({"name": "Ruth", "unit": "Apt 2", "state": "WI"}, PersonFacts("Ruth", ["Apt 2", "WI"], "WI")),
])  # fmt: skip
def test_a_person_as_they_spell_themselves(person: Json | None, facts: PersonFacts) -> None:
    assert person_facts(Reader({"person": person})) == facts


@pytest.mark.parametrize(("order", "person", "name", "sent_by"), [
    ({}, {"name": "Ruth"}, "Ruth", ""), ({}, None, "No name given", ""),
    ({"goes_to": "other", "to_name": "Bob"}, None, "Bob", ""), ({"goes_to": "other", "to_name": "Bob"}, {"name": "Ruth"}, "Bob", "Ruth"),
])  # fmt: skip
def test_who_receives_and_who_sends(order: Json, person: Json | None, name: str, sent_by: str) -> None:
    facts = receiver_facts(Reader({"order": {**order, "gift_note": "Enjoy."}, "person": person}))
    assert (facts.name, facts.sent_by, facts.gift_note) == (name, sent_by, "Enjoy.")


@pytest.mark.parametrize(("given", "sent", "waiting", "lots"), [
    (line(BAR, 3), (3, "one-ounce wax bars", "3"), (0, "one-ounce wax bars", "0"), ()),
    (line(BAR, 3, sure=1), (1, "one-ounce wax bar", "1"), (2, "one-ounce wax bars", "2"), ()),
    (line(BAR, 3, ("W1", 2), sure=0), (2, "one-ounce wax bars", "2"), (1, "one-ounce wax bar", "1"), ("W1",)),
    (line(BAR, 3, ("W1", 2), ("W2", 1), sure=0), (3, "one-ounce wax bars", "3"), (0, "one-ounce wax bars", "0"), ("2 of W1", "1 of W2")),
    (line({**BAR, "unit": "g"}, 907, ("W1", 454), sure=1), (454, "one-ounce wax bar", "1 lb"), (453, "one-ounce wax bar", "1 lb"), ("W1",)),
])  # fmt: skip
def test_what_is_sent_and_what_waits(given: Json, sent: Any, waiting: Any, lots: tuple[str, ...]) -> None:
    (facts,) = line_facts(Reader({"lines": [given]}))
    assert (facts.sent, facts.good, facts.amount) == sent and (facts.waiting, facts.waiting_good, facts.waiting_amount) == waiting
    assert facts.lot_words == lots


def test_lines_may_be_none_where_that_is_said() -> None:
    assert line_facts(Reader({"lines": []}), least=0) == ()
    with pytest.raises(BadRequest, match="lines must be a list of at least 1"):
        line_facts(Reader({"lines": []}))


@pytest.mark.parametrize(("row", "good"), [
    ({"name": "bar"}, Good("", "bar")), ({"id": 7, "name": "bar", "kind": 3, "unit": "lb"}, Good("7", "bar", kind="3")),
    ({"id": "j", "name": "jar", "plural": "jars", "kind": "honey", "unit": "g"}, Good("j", "jar", "jars", kind="honey", unit="g")),
    ({"name": "jar", "rank": 3, "glass": True, "upright": True, "liquid_ml": 355},
     Good("", "jar", rank=3, glass=True, upright=True, liquid_ml=355)),
    ({"name": "jar", "rank": "3", "glass": 1, "upright": "yes", "liquid_ml": "355"}, Good("", "jar")),
])  # fmt: skip
def test_a_good_as_a_paper_needs_it(row: Json, good: Good) -> None:
    """What is no number is nothing, and what is not true is not so."""
    assert good_facts(Reader(row)) == good


@pytest.mark.parametrize(("good", "units", "name"), [
    (JAR, 1, "12 oz jar of honey"), (JAR, 2, "12 oz jars of honey"), (JAR, 0, "12 oz jars of honey"),
    ({**JAR, "plural": ""}, 2, JAR["name"]), ({**JAR, "unit": "g"}, 2, JAR["name"]),
])  # fmt: skip
def test_several_are_named_in_the_plural(good: Json, units: int, name: str) -> None:
    assert good_name(good_facts(Reader(good)), units) == name


@pytest.mark.parametrize(("parcel", "facts"), [
    ({"part": 1, "of": 1}, ParcelFacts(1, 1, "", "", "", "", (), "", ())),  # type: ignore[arg-type]
    ({"part": 2, "of": 3, "carton_name": "box", "gross_words": "2 lb", "dressing": "lined", "dressing_words": "padded", "svg": DRAWING,
      "steps": ["one", "", "two"], "goods": ["bar", " "]},
     ParcelFacts(2, 3, "box", "2 lb", "padded", DRAWING, ("one", "two"), "lined", ("bar",))),  # type: ignore[arg-type]
    ({"part": 1, "of": 1, "dressing": "lined"}, ParcelFacts(1, 1, "", "", "lined", "", (), "lined", ())),  # type: ignore[arg-type]
    ({"part": 1, "of": 1, "dressing_words": "padded"}, ParcelFacts(1, 1, "", "", "padded", "", (), "", ())),  # type: ignore[arg-type]
])  # fmt: skip
def test_a_parcel_is_dressed_in_the_words_it_brings_or_by_its_short_name(parcel: Json, facts: ParcelFacts) -> None:
    assert parcel_facts(Reader({"parcels": [parcel]})) == (facts,)


@pytest.mark.parametrize(("part", "of", "named"), [(0, 1, "part"), (2, 1, "of")])
def test_a_parcel_is_one_of_so_many(part: int, of: int, named: str) -> None:
    with pytest.raises(BadRequest, match=rf"parcels\[0\].{named} must be a whole number of"):
        parcel_facts(Reader({"parcels": [{"part": part, "of": of}]}))


# The house, and words for days, weights and telephones


@pytest.mark.parametrize(("phone", "words"), [
    ("+17155550109", "715-555-0109"), ("+1715555010", "+1715555010"), ("+171555501099", "+171555501099"),
    ("+497155550109", "+497155550109"), ("7155550109", "7155550109"), ("", ""),
])  # fmt: skip
def test_a_telephone_number_of_the_north_american_plan(phone: str, words: str) -> None:
    assert phone_words(phone) == words


@pytest.mark.parametrize(("house", "nameless", "name", "demo"), [
    ({"name": "Nine Lindens"}, "", "Nine Lindens", False), ({"name": "Nine Lindens", "demo": True}, "", "DEMO: Nine Lindens", True),
    ({"name": "Nine Lindens", "demo": "yes"}, "", "Nine Lindens", False), ({}, "Our honey house", "Our honey house", False),
    ({"demo": True}, "Our honey house", "DEMO: Our honey house", True),
])  # fmt: skip
def test_a_demo_says_so_before_its_name(house: Json, nameless: str, name: str, demo: bool) -> None:
    facts = house_facts(Reader({"house": house}), nameless)
    assert (facts.name, facts.demo) == (name, demo)


def test_a_house_without_a_name_has_no_paper_where_it_needs_one() -> None:
    with pytest.raises(BadRequest, match="house.name must be some text"):
        house_facts(Reader({"house": {"demo": True}}))


def test_days_in_words() -> None:
    assert [day_words(date(2026, 1, 1)), day_words(date(2026, 12, 31))] == ["Thursday, January 1, 2026", "Thursday, December 31, 2026"]
    assert [short_day_words(date(2026, 1, 4)), short_day_words(date(2026, 9, 28))] == ["Sun Jan 4, 2026", "Mon Sep 28, 2026"]


@pytest.mark.parametrize(("grams", "words"), [
    (0, "0 oz"), (1, "0 oz"), (2, "0.1 oz"), (42, "1.5 oz"), (452, "15.9 oz"), (453, "1 lb"), (454, "1 lb"), (456, "1 lb 0.1 oz"),
    (905, "1 lb 15.9 oz"), (906, "2 lb"), (907, "2 lb"), (10_000, "22 lb 0.7 oz"),
])  # fmt: skip
def test_a_weight_to_the_tenth_of_an_ounce(grams: int, words: str) -> None:
    """A tenth is 2.835 g."""
    assert weight_to_tenths_words(grams) == amount_words(grams, "g") == words and amount_words(grams, "each") == str(grams)


@pytest.mark.parametrize(("sheet", "size"), [(THIRTY, "215.9000mm 279.4000mm"), (METRIC, "210.0000mm 297.0000mm")])
def test_a_sheet_of_labels_is_its_paper_to_the_edge_in_small_type(sheet: Json, size: str) -> None:
    assert read_grid(Reader(sheet)).paper == Paper(size, "0", 9)


def test_labels_stand_row_by_row_from_the_first_free_one_on() -> None:
    """Three columns and ten rows, 69.85 mm across and 25.4 mm down; the printer is a millimeter off to the right and two up."""
    grid = read_grid(Reader({**THIRTY, "nudge_x": "1 mm", "nudge_y": "-2 mm"}))
    spots = [(spot.sheet, float(spot.left), float(spot.top)) for spot in grid.spots(4, 28)]
    assert spots == [(0, 5.7625, 239.3), (0, 75.6125, 239.3), (0, 145.4625, 239.3), (1, 5.7625, 10.7)]
    assert len(list(grid.spots(5))) == 5 and next(grid.spots(1)).left == grid.left + 1


@pytest.mark.parametrize("side", [True, "72", -1, [72]])
def test_a_side_that_is_no_length_is_refused(side: object) -> None:
    with pytest.raises(BadRequest, match="good.length_mm must be a length in mm"):
        _side_mm(Reader({"length_mm": side}, "good."), "length_mm")
    assert [_side_mm(Reader({"length_mm": none}), "length_mm") for none in (None, 0, 72, 7.5)] == [0, 0, 72, 7.5]


@pytest.mark.parametrize("cents", [True, "1", 1.5, None])
def test_what_is_owed_is_told_in_whole_cents(cents: object) -> None:
    with pytest.raises(BadRequest, match="owed_cents must be whole cents"):
        _owed_cents(Reader({"owed_cents": cents}))
    assert [_owed_cents(Reader({"owed_cents": whole})) for whole in (0, -5)] == [0, -5]
