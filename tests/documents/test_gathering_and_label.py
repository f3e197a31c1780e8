"""The gathering sheet adds up; the label is written as the Postal Service likes to read it."""

from __future__ import annotations

import re
from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR, line, orla
from honeyhold.documents.doors import gathering_html, label_html
from honeyhold.documents.order_facts import receiver_facts
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest


def _body(html: str) -> str:
    body = html[html.index("<body>") :].replace("<br>", "\n")
    return re.sub(r"[ \t]*\n\s*", "\n", re.sub(r"<[^>]+>", " ", body))


def _words(html: str) -> str:
    return " ".join(_body(html).split())


def _day(*orders: dict[str, Any]) -> dict[str, Any]:
    return {"house": HOUSE, "day": "2026-07-22", "orders": list(orders), "size": "letter"}


def test_the_shelf_part_sums_by_good_and_lot_and_the_order_part_names_each() -> None:
    second = orla(
        order={"number": "B-7", "way": "post", "note": "ring first"},
        person={**orla()["person"], "name": "Wren Ostrava"},
        lines=[line(BAR, 8, ("W26-170-1", 3)), line(JAR, 2, sure=0)],
    )
    told = _words(gathering_html(_day(orla(), second))["html"])
    shelf, orders = told.split("Parcel by parcel")
    assert "13 one-ounce wax bars W26-170-1" in shelf
    assert "5 one-ounce wax bars oldest first" in shelf
    assert "1 12 oz jar of honey J26-183-1" in shelf
    assert "2 8 by 6 by 4 in lined" in shelf
    assert shelf.index("wax bars") < shelf.index("jar of honey")
    assert "Orla Tennick Duluth, MN Order A-1" in orders
    assert "Wren Ostrava" in orders
    assert "ring first" in orders


def test_a_day_without_parcels_says_so() -> None:
    assert "Nothing leaves on this day." in _words(gathering_html(_day())["html"])


def test_a_sheet_without_a_day_or_with_a_bad_order_is_refused() -> None:
    with pytest.raises(BadRequest, match="day must be"):
        gathering_html({"house": HOUSE, "orders": []})
    with pytest.raises(BadRequest, match=r"orders\[0\]\.order"):
        gathering_html(_day({"lines": []}))


def test_the_address_stands_in_capitals_with_two_spaces_before_the_zip_code() -> None:
    """Publication 28: upper case, no punctuation, unit ends the delivery line, two spaces preferred."""
    person = {
        "name": "Tamsin Okoro-Beale",
        "street": "77 Larch Hook Dr.",
        "unit": "Apartment 3",
        "city": "Missoula",
        "state": "MT",
        "zip": "59801",
    }
    told = _body(label_html(orla(person=person))["html"])
    assert "TAMSIN OKORO-BEALE\n77 LARCH HOOK DR APT 3\nMISSOULA MT  59801" in told
    assert "NINE LINDENS HONEY HOUSE\n1 COOPERS BEND\nALDER FERRY WI  54843" in told


def test_a_zip_code_keeps_its_zero() -> None:
    person = {**orla()["person"], "city": "Bar Harbor", "state": "ME", "zip": "04609"}
    assert "BAR HARBOR ME  04609" in _body(label_html(orla(person=person))["html"])


@pytest.mark.parametrize(
    ("goods", "marks"),
    [
        ([BAR], {"KEEP OUT OF SUN AND HEAT", "BEESWAX"}),
        ([JAR], {"FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT", "HONEY, IN GLASS"}),
        ([{**BAR, "kind": "bulk", "name": "paper bag"}], set()),
    ],
)
def test_handling_words_stand_only_where_they_belong(goods: list[dict[str, Any]], marks: set[str]) -> None:
    told = _words(label_html(orla(lines=[line(good, 1) for good in goods]))["html"])
    every = {"FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT", "BEESWAX", "HONEY, IN GLASS"}
    assert {mark for mark in every if mark in told} == marks


def test_each_parcel_has_its_page_and_marks_of_what_it_names() -> None:
    parcel = orla()["parcels"][0]
    parcels = [{**parcel, "of": 2, "goods": ["bar"]}, {**parcel, "part": 2, "of": 2, "goods": ["jar12"]}]
    pages = label_html(orla(parcels=parcels))["html"].split('<section class="label">')[1:]
    assert ["FRAGILE" in page for page in pages] == [False, True]
    assert ["Box <strong>1 of 2" in pages[0], "Box <strong>2 of 2" in pages[1]] == [True, True]


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"person": None}, "person"),
        ({"person": {**orla()["person"], "street": ""}}, "person.street"),
        ({"person": {**orla()["person"], "zip": "5581"}}, "5581"),
        ({"parcels": []}, "parcels"),
        ({"parcels": [{"part": 1, "of": 1, "goods": ["quart"]}]}, r"parcels\[0\].goods"),
    ],
)
def test_a_label_that_would_go_astray_is_refused(change: dict[str, Any], named: str) -> None:
    with pytest.raises(BadRequest, match=named):
        label_html(orla(**change))


def test_liquids_over_four_fluid_ounces_bring_the_three_layers_onto_the_sheet() -> None:
    """Domestic Mail Manual 601.3.4. Two jars of 355 ml by post; one small jar and one that is picked up need none of it."""
    large, small = {**JAR, "liquid_ml": 355}, {**JAR, "liquid_ml": 118}
    posted, taken = orla(lines=[line(large, 2), line(BAR, 5)]), orla(order={"number": "A-2", "way": "pick_up"}, lines=[line(large, 3)])
    told = _words(gathering_html(_day(posted, taken))["html"])
    assert "2 leakproof bags, one around each jar" in told and "about 3.8 oz of paper to soak up" in told and "what is in them" in told
    assert "Liquids by mail" not in _words(gathering_html(_day(taken, orla(lines=[line(small, 2)])))["html"])


def test_a_parcel_dressed_against_heat_says_so_on_its_label_and_so_does_one_that_is_held() -> None:
    parcel = orla()["parcels"][0]
    for dressing, words in (("lined", "against heat: padded"), ("chilled", "against heat: cold pack"), ("plain", "")):
        told = _words(label_html(orla(parcels=[{**parcel, "dressing": dressing}]))["html"])
        assert ("against heat" in told) is bool(words) and words in told
    held = orla(order={**orla()["order"], "hold_at_counter": True})
    assert "HOLD FOR PICK-UP" in _words(label_html(held)["html"]) and "HOLD FOR" not in _words(label_html(orla())["html"])


@pytest.mark.parametrize(("to_name", "sent_by"), [("Bob Lind", "Orla Tennick"), ("Orla Tennick", ""), ("", "")])
def test_a_present_names_who_sends_it_and_nobody_sends_to_themselves(to_name: str, sent_by: str) -> None:
    """Another name on the label than that of whoever ordered."""
    order = {**orla()["order"], "goes_to": "other", "to_name": to_name, "to_street": "9 Larch Rd", "to_city": "Hayward", "to_zip": "54843"}
    assert receiver_facts(Reader({**orla(), "order": order}, "")).sent_by == sent_by
