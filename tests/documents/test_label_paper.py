"""The address label on its papers: marks of our own beside their words, room for a carrier's label, the address by the postal standard."""

from __future__ import annotations

import re
from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR, line, orla
from documents.sheets import boxes_of, like, pages_of, reader_of
from honeyhold.documents.doors import label_html
from honeyhold.errors import BadRequest
from honeyhold.stock.people import address_lines

INCH = 25.4


SIDES_IN = {"label": (4, 6), "letter": (8.5, 11), "a4": (210 / INCH, 297 / INCH), "a5": (148 / INCH, 210 / INCH)}


@pytest.mark.parametrize(("size", "sides"), SIDES_IN.items())
def test_each_size_is_one_page_with_all_of_it(size: str, sides: tuple[float, float]) -> None:
    made = label_html({**orla(), "label_size": size})["html"]
    (page,) = reader_of(made).pages
    assert [float(side) / 72 for side in (page.mediabox.width, page.mediabox.height)] == pytest.approx(sides, abs=0.01)
    (words,) = pages_of(made)
    for said in (
        "ORLA TENNICK", "41 HERON SILL RD", "DULUTH MN 55811", "FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT", "Box 1 of 1",
        "NINE LINDENS",
    ):  # fmt: skip
        assert said in words, said


@pytest.mark.parametrize(("size", "body_pt", "to_pt"), [("label", 12, 16), ("letter", 12, 24), ("a4", 12, 24), ("a5", 12, 20)])
def test_the_receiver_is_read_from_further_off_than_the_rest(size: str, body_pt: float, to_pt: float) -> None:
    """Letters of a third of an inch where there is room; a name longer than its line in smaller ones."""
    made = label_html({**orla(), "label_size": size})["html"]
    assert [float(found) for found in re.findall(r" font: ([\d.]+)pt/", made)] == [body_pt]
    sizes = [float(found) for found in re.findall(r"\.to[^{]*{[^}]*font-size: ([\d.]+)pt", made)]
    assert sizes == pytest.approx([to_pt, to_pt * 0.81])


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_plain_paper_keeps_room_for_a_carriers_label_of_four_by_six_inches(size: str) -> None:
    """Nothing is printed where the carrier's label goes but the word that it goes there."""
    made = label_html({**orla(), "label_size": size})["html"]
    page = reader_of(made).pages[0]
    assert "carrier’s own label goes here" in pages_of(made)[0]
    assert any(like(box, 6 * INCH, 4 * INCH) or like(box, 6 * INCH - 0.53, 4 * INCH - 0.53) for box in boxes_of(reader_of(made), 0))
    heights: list[tuple[float, str]] = []
    page.extract_text(visitor_text=lambda text, matrix, place, _font, _size: heights.append((matrix[3] * place[5] + matrix[5], text)))
    below = [text for height, text in heights if text.strip() and height < 4.25 * 72]
    assert [text.strip() for text in below] == ["The carrier’s own label goes here."]


def test_a_label_of_its_own_size_keeps_room_for_postage_and_a_demo_has_none() -> None:
    assert "postage" in pages_of(label_html(orla())["html"])[0]
    assert "postage" not in pages_of(label_html(orla(house={**HOUSE, "demo": True}))["html"])[0]


def test_each_mark_has_a_drawing_and_none_is_drawn_where_it_does_not_belong() -> None:
    assert label_html(orla())["html"].count("<svg") == 3
    assert label_html(orla(lines=[line(BAR, 1)]))["html"].count("<svg") == 1
    assert label_html(orla(lines=[line({**BAR, "kind": "bulk", "name": "paper bag"}, 1)]))["html"].count("<svg") == 0
    assert len(set(re.findall(r'<path d="([^"]+)"', label_html(orla(lines=[line(JAR, 1)]))["html"]))) >= 4


def test_a_long_name_and_a_held_parcel_stay_on_their_page() -> None:
    person = {**orla()["person"], "name": "The Heron Sill Society of Amateur Beekeepers", "unit": "Apartment 12"}
    held = label_html(orla(person=person, order={**orla()["order"], "hold_at_counter": True}))["html"]
    (words,) = pages_of(held)
    assert "THE HERON SILL SOCIETY OF AMATEUR BEEKEEPERS" in words and "HOLD FOR PICK-UP" in words and "41 HERON SILL RD APT 12" in words


def test_another_paper_is_refused() -> None:
    with pytest.raises(BadRequest, match="label_size"):
        label_html({**orla(), "label_size": "poster"})


def _postal(**changes: str) -> list[str]:
    fields: dict[str, Any] = {"name": "", "street": "", "unit": "", "city": "", "state": "", "zip": "", **changes}
    return address_lines(fields)


def test_the_standards_own_address() -> None:
    """Publication 28, October 2023: the address its letter of transmittal gives for questions, as a person would spell it."""
    lines = _postal(name="Address Services", street="N. Humphreys Blvd.", unit="Suite 501", city="Memphis", state="TN", zip="38188-1001")
    assert lines == ["ADDRESS SERVICES", "N HUMPHREYS BLVD STE 501", "MEMPHIS TN  38188-1001"]


def test_the_standards_rules_of_the_unit_and_of_marks() -> None:
    """Publication 28: 213 the pound sign only where the kind of unit is not known, a space behind it; 222 no marks but the ZIP+4 hyphen."""
    assert _postal(street="1 Elm St", unit="#3")[0] == "1 ELM ST # 3"
    assert _postal(street="1 Elm St", unit="12")[0] == "1 ELM ST # 12"
    assert _postal(street="1 Elm St.,", unit="apartment 3-B")[0] == "1 ELM ST APT 3-B"
    assert _postal(city="St. Louis", state="MO", zip="631011234") == ["ST LOUIS MO  63101-1234"]
