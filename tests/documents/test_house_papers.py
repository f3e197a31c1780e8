"""The papers beside the parcel: what is owed, the counting sheet, prices for the wall, care cards, the year. Read back from their PDFs."""

from __future__ import annotations

import re
from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR, line, orla
from documents.sheets import pages_of, reader_of
from honeyhold.documents.costs import cost_facts
from honeyhold.documents.doors import care_html, counting_html, label_html, prices_html, statement_html, year_html
from honeyhold.documents.reading import Reader
from honeyhold.documents.statement import _left_words
from honeyhold.errors import BadRequest

Json = dict[str, Any]


def owed_order(number: str, owed_cents: int, paid_cents: int = 0, **order: Any) -> Json:
    bars = {**line(BAR, 12), "price_cents": 300, "steps": [[10, 2500]], "total_cents": 3100}
    row = {"number": number, "way": "post", "state": "gone", "taken_on": "2026-07-02", "posting_cents": 610, **order}
    return {"order": row, "lines": [bars], "paid_cents": paid_cents, "adjusted_cents": 0, "owed_cents": owed_cents}


def statement_of(*orders: Json, **changes: Any) -> Json:
    return {"house": HOUSE, "person": orla()["person"], "orders": list(orders), "today": "2026-07-22", **changes}


def year_of(**changes: Any) -> Json:
    months = [{"mailed": month, "picked_up": 2, "income_cents": 1000 * month} for month in range(12)]
    goods = [{"good": BAR, "units": 1500, "months": [0, 0, 0, 0, 300, 1200, 0, 0, 0, 0, 0, 0]}]
    replaced = [{"why": "heat", "count": 2}]
    whole = {"house": HOUSE, "year": 2026, "day": "2026-11-22", "goods": goods, "months": months, "replaced": replaced, "taken_off": []}
    return {**whole, **changes}


GOODS = [
    {**BAR, "net_g": 28, "price_cents": 300, "steps": [[10, 2500]], "taxed": True},
    {**JAR, "net_g": 340, "price_cents": 750, "prices": [{"place": "mail", "since": "", "cents": 800, "steps": []}]},
]
SHELF = [
    {"good": BAR, "lots": [{"lot": "W26-170-1", "units": 40, "made_on": "2026-06-19"}, {"lot": None, "units": 3, "made_on": None}]},
    {"good": JAR, "lots": []},
    {"good": {**BAR, "id": "wax", "name": "clean wax", "plural": "", "unit": "g"}, "lots": [{"lot": "X26-1", "units": 4536}]},
]


def test_an_order_that_is_paid_is_owed_nothing() -> None:
    (page,) = pages_of(statement_html(statement_of(owed_order("A-1", 3710), owed_order("A-2", 0, 3710)))["html"])
    assert "$37.10 $37.10 $0.00" in page and "to pay back" not in page


def test_what_a_person_owes_is_told_order_by_order() -> None:
    asked = statement_of(owed_order("A-1", 3710), owed_order("A-7", 1710, 2000), owed_order("A-9", -500, 500, state="let_go"))
    (page,) = pages_of(statement_html(asked)["html"])
    for words in (
        "What is owed", "For Orla Tennick", "A-1", "12 one-ounce wax bars", "$37.10 $0.00 $37.10", "$37.10 $20.00 $17.10", "Canceled",
        "$0.00 $5.00 $5.00 to pay back", "Owed: $54.20", "To pay back: $5.00", "That leaves $49.20 to pay",
    ):  # fmt: skip
        assert words in page, words


def test_nobody_who_owes_nothing_is_asked_for_anything() -> None:
    (page,) = pages_of(statement_html(statement_of())["html"])
    assert "Nothing is owed." in page and "$" not in page


def test_the_counting_sheet_has_each_lot_and_room_to_write() -> None:
    (page,) = pages_of(counting_html({"house": HOUSE, "day": "2026-07-22", "shelf": SHELF})["html"])
    for words in (
        "Counting sheet", "Wednesday, July 22, 2026", "one-ounce wax bars", "the book says", "lies there", "W26-170-1 Fri Jun 19, 2026 40",
        "no lot written 3", "in all 43", "12 oz jars of honey", "no lot written 0", "10 lb",
    ):  # fmt: skip
        assert words in page, words


def test_a_long_shelf_goes_on_with_its_head_on_every_page() -> None:
    shelf = [{"good": {**JAR, "id": f"j{n}", "plural": f"jars number {n}"}, "lots": []} for n in range(60)]
    pages = pages_of(counting_html({"house": HOUSE, "day": "2026-07-22", "shelf": shelf})["html"])
    assert len(pages) > 3 and all(f"jars number {n}" in " ".join(pages) for n in range(60))
    assert all("counting sheet" in page and f"page {number} of {len(pages)}" in page for number, page in enumerate(pages[1:], 2))


def test_the_price_list_says_both_prices_where_they_differ_and_warns_of_babies() -> None:
    asked = {"house": {**HOUSE, "sales_tax": {"on": True, "rate": 5500}}, "goods": GOODS, "day": "2026-07-22"}
    (page,) = pages_of(prices_html(asked)["html"])
    for words in (
        "One-ounce wax bar*", "$3.00 each", "10 for $25.00", "12 oz", "$7.50", "$8.00", "by mail", "Sales tax is added",
        "babies under 12 months",
    ):  # fmt: skip
        assert words in page, words
    (plain,) = pages_of(prices_html({**asked, "house": HOUSE, "goods": GOODS[:1]})["html"])
    assert "by mail" not in plain and "*" not in plain and "babies" not in plain


@pytest.mark.parametrize(("tax", "added"), [({"on": True, "rate": 5500}, True), ({"on": False, "rate": 5500}, False), (None, False)])
def test_tax_is_spoken_of_where_it_is_added(tax: Json | None, added: bool) -> None:
    """A rate alone adds nothing."""
    html = prices_html({"house": {**HOUSE, "sales_tax": tax}, "goods": GOODS, "day": "2026-07-22"})["html"]
    assert ("Sales tax is added" in html) is added and ("*" in html.split("<body>")[1]) is added


@pytest.mark.parametrize(("net_g", "is_told"), [(1, True), (0, False), (None, False)])
def test_what_a_jar_holds_stands_beside_it_where_somebody_wrote_it(net_g: int | None, is_told: bool) -> None:
    html = prices_html({"house": HOUSE, "goods": [{**JAR, "net_g": net_g}], "day": "2026-07-22"})["html"]
    assert (" oz" in html.split("<body>")[1].replace(JAR["name"], "")) is is_told


@pytest.mark.parametrize(("cents", "words"), [(0, "$0.00 to pay"), (1, "$0.01 to pay"), (-1, "$0.01 to pay back")])
def test_nothing_left_is_nothing_to_pay_back(cents: int, words: str) -> None:
    assert _left_words(cents) == words


@pytest.mark.parametrize(("order", "tax", "rate"), [
    ({"tax_cents": 55, "tax_rate": 5500}, "$0.55", "5.5 %"), ({"tax_cents": 0, "tax_rate": 5500}, "", ""),
    ({"tax_cents": 55, "tax_rate": None}, "$0.55", ""), ({}, "", ""),
])  # fmt: skip
def test_a_rate_is_told_beside_the_tax_that_it_made(order: Json, tax: str, rate: str) -> None:
    """Neither a rate of which nothing came nor a tax whose rate nobody kept brings the other along."""
    facts = cost_facts(Reader({"order": {"number": "A-1", **order}, "lines": [line(BAR, 1)]}, ""))
    assert (facts.tax, facts.rate) == (tax, rate)


def test_a_sum_past_all_bounds_is_no_sum() -> None:
    """Ten thousand million dollars paid back in a month is the most that is believed."""
    months = year_of()["months"]
    assert "10,000,000,000.00" in year_html(year_of(months=[{**months[0], "income_cents": -(10**12)}, *months[1:]]))["html"]
    with pytest.raises(BadRequest, match="income_cents"):
        year_html(year_of(months=[{**months[0], "income_cents": -(10**12) - 1}, *months[1:]]))


@pytest.mark.parametrize(("size", "count"), [("letter", 4), ("a4", 4), ("a5", 1)])
def test_care_cards_fill_one_sheet(size: str, count: int) -> None:
    card = care_html({"house": HOUSE, "honey": True, "wax": True, "size": size})["html"]
    assert re.findall(r"font: ([\d.]+)pt/1.32", card) == ["14" if count == 1 else "10.5"], "one that has the sheet for itself is set larger"
    (page,) = pages_of(card)
    for words in ("not for babies under 12 months", "stand the jar in warm water", "Keep wax cool", "Never put water on burning wax"):
        assert page.count(words) == count, words


def test_a_care_card_speaks_of_what_is_sold_alone() -> None:
    (page,) = pages_of(care_html({"house": HOUSE, "honey": False, "wax": True})["html"])
    assert "Your honey" not in page and "babies" not in page and "Your beeswax" in page
    with pytest.raises(BadRequest, match="neither honey nor wax"):
        care_html({"house": HOUSE})


def test_the_year_by_month_and_good_with_what_was_put_right() -> None:
    (page,) = pages_of(year_html(year_of())["html"])
    for words in (
        "The year 2026", "as of Sunday, November 22, 2026", "one-ounce wax bars 300 1,200 1,500", "February 1 2 $10.00",
        "in all 66 24 $660.00", "sent again at no charge: for heat 2",
    ):  # fmt: skip
        assert words in page, words


def test_a_device_alone_says_what_it_cannot_know() -> None:
    months = [{"mailed": None, "picked_up": None, "income_cents": 100} for _ in range(12)]
    (page,) = pages_of(year_html(year_of(months=months, goods=[{"good": BAR, "units": 7}], replaced=[], partial=True))["html"])
    assert "From one device, without signal" in page and "mailed" not in page and "one-ounce wax bars 7" in page and "put right" not in page


MADE = {
    "statement": lambda size: statement_html({**statement_of(owed_order("A-1", 3710)), "size": size}),
    "counting": lambda size: counting_html({"house": HOUSE, "day": "2026-07-22", "shelf": SHELF, "size": size}),
    "prices": lambda size: prices_html({"house": HOUSE, "goods": GOODS, "day": "2026-07-22", "size": size}),
    "care": lambda size: care_html({"house": HOUSE, "honey": True, "wax": True, "size": size}),
    "year": lambda size: year_html({**year_of(), "size": size}),
    "address label": lambda size: label_html({**orla(), "label_size": size}),
}


@pytest.mark.parametrize("size", ["letter", "a4", "a5"])
@pytest.mark.parametrize("paper", MADE)
def test_every_size_and_every_paper_is_tagged_and_black_on_white(paper: str, size: str, caplog: pytest.LogCaptureFixture) -> None:
    """PDF/UA-1 (ISO 14289-1) as far as the file itself and WeasyPrint say it; no color anywhere, so that any printer prints the same."""
    made = MADE[paper](size)
    pdf = reader_of(made["html"])
    catalog = pdf.trailer["/Root"]
    assert catalog["/MarkInfo"]["/Marked"] and catalog["/Lang"] == "en-US" and b"pdfuaid" in catalog["/Metadata"].get_data()
    sides = {"letter": (215.9, 279.4), "a4": (210.0, 297.0), "a5": (148.0, 210.0)}[size]
    box = pdf.pages[0].mediabox
    assert (round(float(box.width) * 25.4 / 72, 1), round(float(box.height) * 25.4 / 72, 1)) == sides
    for page in pdf.pages:
        page.extract_text(visitor_operand_before=_is_gray)
    assert [said.getMessage() for said in caplog.records if said.name == "weasyprint"] == []


def _is_gray(operator: bytes, operands: list[Any], _matrix: object, _text: object) -> None:
    if operator in (b"rg", b"RG"):
        assert len({round(float(one), 3) for one in operands}) == 1, operands


@pytest.mark.parametrize(
    ("make", "asked", "named"),
    [
        (statement_html, statement_of(today=None), "today"),
        (statement_html, statement_of({**owed_order("A-1", 1), "owed_cents": None}), "owed_cents"),
        (counting_html, {"house": HOUSE, "shelf": []}, "day"),
        (counting_html, {"house": HOUSE, "day": "2026-07-22", "shelf": [{"good": BAR, "lots": [{"units": "3"}]}]}, "units"),
        (prices_html, {"house": HOUSE, "goods": [], "day": "2026-07-22"}, "goods"),
        (prices_html, {"house": HOUSE, "goods": [{**BAR, "prices": "x"}], "day": "2026-07-22"}, "prices"),
        (year_html, year_of(months=[]), "months"),
        (year_html, year_of(goods=[{"good": BAR, "units": 1, "months": [1]}]), "months"),
        (year_html, year_of(replaced=[{"why": "whim", "count": 1}]), "why"),
    ],
)
def test_nonsense_names_the_field(make: Any, asked: Json, named: str) -> None:
    with pytest.raises(BadRequest) as trouble:
        make(asked)
    assert named in str(trouble.value)
