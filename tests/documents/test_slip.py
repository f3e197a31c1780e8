"""The packing slip as HTML: what it says, what it must never say, and what it refuses."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR, forty_lines, line, orla
from honeyhold.documents.doors import slip_html
from honeyhold.documents.page import css_text
from honeyhold.documents.wording import day_words, weight_to_tenths_words
from honeyhold.errors import BadRequest


class _Reader(HTMLParser):
    """Text and tags as a browser sees them."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def _read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    return reader


def _text(request: dict[str, Any]) -> str:
    html = slip_html(request)["html"]
    return " ".join(" ".join(_read(html[html.index("<body>") :]).words).split())


def test_the_slip_says_who_what_from_which_lot_and_where_returns_go() -> None:
    told = _text(orla())
    for words in (
        "Nine Lindens Honey House",
        "1 Cooper's Bend",
        "715-555-0109",
        "Orla Tennick",
        "41 Heron Sill Rd",
        "Duluth, MN 55811",
        "10 one-ounce wax bars W26-170-1",
        "1 12 oz jar of honey J26-183-1",
        "11 pieces in all",
        "By mail, Wednesday, July 22, 2026",
        "1 of 1",
        "2 lb 6 oz",
        "Firm if it leaves by Wednesday.",
        "Stand the jar in the middle.",
        "Keep the pieces and send a picture.",
    ):
        assert words in told, words


def test_no_price_and_no_note_of_the_house_goes_into_the_box() -> None:
    html = slip_html(orla())["html"]
    assert "$" not in html and "3.17" not in html and "317" not in html and "763" not in html
    assert "her mother rings too" not in html


def test_what_is_not_sure_is_said_to_come_later() -> None:
    told = _text(orla(lines=[line(BAR, 10, sure=3)]))
    assert "3 one-ounce wax bars" in told
    assert "Still to come: 7 one-ounce wax bars" in told


def test_after_handing_over_nothing_is_sure_and_the_lots_say_what_went() -> None:
    told = _text(orla(lines=[line(BAR, 10, ("W26-170-1", 4), ("W26-197-1", 6), sure=0)]))
    assert "10 one-ounce wax bars 4 of W26-170-1 6 of W26-197-1" in told
    assert "Still to come" not in told


@pytest.mark.parametrize(
    ("goods", "wanted", "unwanted"),
    [
        ([BAR], ["Wax may soften"], ["babies", "Glass"]),
        ([JAR], ["babies under 12 months", "Glass"], ["Wax may soften"]),
        (
            [{**JAR, "kind": "bulk", "glass": False, "name": "pail of honey"}],
            ["babies under 12 months"],
            ["Glass"],
        ),
        ([{**JAR, "name": "12 oz jar of spring"}], ["babies under 12 months", "Glass"], ["Wax may soften"]),
        ([{**BAR, "name": "one-ounce bar"}], ["Wax may soften"], ["babies", "Glass"]),
    ],
)
def test_cautions_belong_to_the_contents(
    goods: list[dict[str, Any]], wanted: list[str], unwanted: list[str]
) -> None:
    told = _text(orla(lines=[line(good, 1) for good in goods]))
    assert [words in told for words in wanted + unwanted] == [True] * len(wanted) + [False] * len(unwanted)


def test_the_infant_caution_comes_once_even_when_the_asker_says_it_too() -> None:
    told = _text(orla(cautions=["Honey is not for babies under 12 months.", "Local words."]))
    assert told.count("12 months") == 1
    assert "Local words." in told


def test_a_good_that_only_waits_brings_no_caution() -> None:
    assert "babies" not in _text(orla(lines=[line(BAR, 1), line(JAR, 2, sure=0)]))


def test_somebody_without_a_name_gets_a_slip_too() -> None:
    order = {"number": "B-2", "way": "walk_in"}
    told = _text(orla(person=None, order=order, parcels=[], heat=None))
    assert "No name given" in told
    assert "Picked up, Tuesday, July 21, 2026" in told
    assert "How it is packed" not in told


def test_what_is_kept_by_weight_is_counted_in_pounds_and_ounces() -> None:
    wax = {**BAR, "name": "loose beeswax", "plural": "", "unit": "g"}
    told = _text(orla(lines=[line(wax, 1077)]))
    assert "2 lb 6 oz loose beeswax" in told
    assert "pieces in all" not in told


HOSTILE = '</title></style></text><script>alert(1)</script>"\\);}<img src=x onerror=alert(1)>&amp;'


def test_text_is_only_ever_text() -> None:
    plain = _read(slip_html(orla())["html"]).tags
    request = orla(
        house={**HOUSE, "name": HOSTILE, "returns_words": HOSTILE},
        person={**orla()["person"], "name": HOSTILE},
        lines=[line({**BAR, "plural": HOSTILE}, 10, (HOSTILE, 10)), line(JAR, 1, ("J26-183-1", 1))],
    )
    reader = _read(slip_html(request)["html"])
    assert reader.tags == plain
    assert HOSTILE in "".join(reader.words)


def test_a_css_text_cannot_be_left() -> None:
    quoted = str(css_text(HOSTILE))
    assert re.fullmatch(r'"(?:[A-Za-z0-9]|\\[0-9a-f]{6} )*"', quoted)
    back = re.sub(r"\\([0-9a-f]{6}) ", lambda found: chr(int(found[1], 16)), quoted[1:-1])
    assert back == HOSTILE


@pytest.mark.parametrize(
    "svg",
    [
        "<svg><script>alert(1)</script></svg>",
        '<svg onload="alert(1)"/>',
        '<svg><image href="data:image/png;base64,AA"/></svg>',
        '<svg xmlns:x="http://www.w3.org/1999/xlink"><use x:href="http://example.org/a"/></svg>',
        '<svg><rect fill="url(http://example.org/a)"/></svg>',
        "<svg><style>@import 'a'</style></svg>",
        '<svg><rect style="fill:u\\72l(a)"/></svg>',
        '<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>',
        "<div/>",
        "<svg>",
        "<svg><foreignObject/></svg>",
    ],
)
def test_a_drawing_that_is_more_than_a_drawing_is_refused(svg: str) -> None:
    parcel = {**orla()["parcels"][0], "svg": svg}
    with pytest.raises(BadRequest, match=r"parcels\[0\]\.svg is not a plain drawing"):
        slip_html(orla(parcels=[parcel]))


def test_a_drawing_with_a_pattern_passes_unchanged() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg"><defs><pattern id="h"/></defs><rect fill="url(#h)"/></svg>'
    parcel = {**orla()["parcels"][0], "svg": svg}
    assert svg in slip_html(orla(parcels=[parcel]))["html"]


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"house": None}, "house"),
        ({"house": {"name": " "}}, "house.name"),
        ({"house": {**HOUSE, "state": "Wisconsin"}}, "state"),
        ({"order": {"number": ""}}, "order.number"),
        ({"order": {"number": "A-1", "way": "by owl"}}, "order.way"),
        ({"order": {"number": "A-1", "leave_on": "July 22"}}, "order.leave_on"),
        ({"person": "Orla"}, "person"),
        ({"person": {"name": 7}}, "person.name"),
        ({"person": {"name": "a\ud800b"}}, "person.name"),
        ({"person": {"name": "x" * 5000}}, "person.name"),
        ({"lines": []}, "lines"),
        ({"lines": ["bar"]}, r"lines\[0\]"),
        ({"lines": [{**line(BAR, 1), "units": 1.5}]}, r"lines\[0\].units"),
        ({"lines": [{**line(BAR, 1), "units": True}]}, r"lines\[0\].units"),
        ({"lines": [{**line(BAR, 1), "sure": 2}]}, r"lines\[0\].sure"),
        ({"lines": [{**line(BAR, 1), "sure": -1}]}, r"lines\[0\].sure"),
        ({"lines": [line(BAR, 1, ("W26-170-1", 2))]}, r"lines\[0\].sure"),
        ({"lines": [line(BAR, 1, ("", 1))]}, r"lines\[0\].lots\[0\].lot"),
        ({"lines": [{**line(BAR, 1), "good": None}]}, r"lines\[0\].good"),
        ({"parcels": {}}, "parcels"),
        ({"parcels": [{"part": 2, "of": 1}]}, r"parcels\[0\].of"),
        ({"parcels": [{"part": 1, "of": 1, "steps": [1]}]}, r"parcels\[0\].steps\[0\]"),
        ({"heat": "hot"}, "heat"),
        ({"cautions": "hot"}, "cautions"),
        ({"size": "poster"}, "size"),
        ({"today": 20260721}, "today"),
    ],
)
def test_a_request_that_cannot_be_read_is_refused_by_the_name_of_its_field(
    change: dict[str, Any], named: str
) -> None:
    with pytest.raises(BadRequest, match=named) as caught:
        slip_html(orla(**change))
    assert caught.value.remedy


def test_forty_lines_are_all_there() -> None:
    told = _text(orla(lines=forty_lines()))
    assert all(f"jar number {n} of honey" in told for n in range(1, 41))
    assert f"{sum(range(1, 41))} pieces in all" in told


def test_days_and_weights_in_words() -> None:
    from datetime import date

    assert day_words(date(2026, 7, 22)) == "Wednesday, July 22, 2026"
    # 453.59237 g to the pound and 28.349523125 g to the ounce, exact since 1959
    assert [weight_to_tenths_words(g) for g in (0, 28, 454, 482, 453592, 1077)] == [
        "0 oz",
        "1 oz",
        "1 lb",
        "1 lb 1 oz",
        "1000 lb",
        "2 lb 6 oz",
    ]
