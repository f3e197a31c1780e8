"""The papers beside the parcel word by word, from their HTML: nothing more, nothing less, and each where it belongs."""

from __future__ import annotations

import re
from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR, line
from documents.test_house_papers import GOODS, SHELF, owed_order, statement_of, year_of
from honeyhold.documents.costs import cost_facts
from honeyhold.documents.doors import counting_html, prices_html, receipt_html, statement_html, year_html
from honeyhold.documents.reading import Reader
from honeyhold.documents.year import _amount
from honeyhold.errors import BadRequest

Json = dict[str, Any]
DAY = "2026-07-22"
MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"]


def told(html: str) -> str:
    """Every word of the page, cells apart."""
    return " ".join(re.sub(r"<[^>]+>", " ", html[html.index("<body>") :]).replace("&#39;", "'").split())


def middle(paper: str, begins: str, ends: str) -> str:
    """What stands between two of its words."""
    return paper.partition(begins)[2].partition(ends)[0].strip()


# What is owed


@pytest.mark.parametrize(("owed_cents", "said"), [
    ([3710], "Owed: $37.10"), ([0], "Nothing is owed."), ([-500], "To pay back: $5.00"),
    ([3710, -500], "Owed: $37.10 To pay back: $5.00 That leaves $32.10 to pay"),
    ([500, -3710], "Owed: $5.00 To pay back: $37.10 That leaves $32.10 to pay back"),
    ([500, -500], "Owed: $5.00 To pay back: $5.00 That leaves $0.00 to pay"),
    ([100, 200, -50, -25], "Owed: $3.00 To pay back: $0.75 That leaves $2.25 to pay"), ([1], "Owed: $0.01"), ([-1], "To pay back: $0.01"),
])  # fmt: skip
def test_what_is_owed_and_what_is_to_be_paid_back_are_summed_apart(owed_cents: list[int], said: str) -> None:
    paper = told(statement_html(statement_of(*(owed_order(f"A-{n}", cents) for n, cents in enumerate(owed_cents))))["html"])
    assert f" {said} A check is made out to Nine Lindens Honey House. A question? Call 715-555-0109." in paper
    assert [paper.count(words) - said.count(words) for words in ("Owed:", "To pay back:", "That leaves", "Nothing is owed.")] == [0] * 4


@pytest.mark.parametrize(("order", "changes", "said"), [
    ({}, {}, "A-1 Thu Jul 2, 2026 12 one-ounce wax bars By mail $37.10 $0.00 $37.10"),
    ({"taken_on": None}, {}, "A-1 12 one-ounce wax bars By mail $37.10 $0.00 $37.10"),
    ({"way": "pick_up"}, {"adjusted_cents": -210}, "A-1 Thu Jul 2, 2026 12 one-ounce wax bars To be picked up $35.00 $0.00 $37.10"),
    ({"state": "let_go"}, {"paid_cents": 500}, "A-1 Thu Jul 2, 2026 12 one-ounce wax bars Canceled $0.00 $5.00 $37.10"),
    ({}, {"paid_cents": None, "adjusted_cents": None}, "A-1 Thu Jul 2, 2026 12 one-ounce wax bars By mail $37.10 $0.00 $37.10"),
    ({}, {"owed_cents": -1}, "A-1 Thu Jul 2, 2026 12 one-ounce wax bars By mail $37.10 $0.00 $0.01 to pay back"),
])  # fmt: skip
def test_an_order_on_a_statement(order: Json, changes: Json, said: str) -> None:
    paper = told(statement_html(statement_of({**owed_order("A-1", 3710, **order), **changes}))["html"])
    assert re.split(r" Owed:| To pay back:", middle(paper, "comes to paid owed", "A check is made out"))[0] == said


def test_lines_of_nothing_are_left_out_of_a_statement() -> None:
    order = owed_order("A-1", 3710)
    order["lines"] += [line(JAR, 0), line(JAR, 2), line({**BAR, "name": "loose wax", "unit": "g"}, 454)]
    assert "12 one-ounce wax bars, 2 12 oz jars of honey, 1 lb loose wax By mail" in told(statement_html(statement_of(order))["html"])


# The counting sheet


def test_the_counting_sheet_word_by_word() -> None:
    paper = told(counting_html({"house": HOUSE, "day": DAY, "shelf": SHELF})["html"])
    head = "lot made the book says lies there if not, why"
    assert middle(paper, "write what lies there", "Counted by") == (
        f"one-ounce wax bars {head} W26-170-1 Fri Jun 19, 2026 40 no lot written 3 in all 43"
        f" 12 oz jars of honey {head} no lot written 0 clean wax {head} X26-1 10 lb"
    )


@pytest.mark.parametrize(("unit", "units", "said"), [
    ("each", [5, -7], "A 5 B \N{MINUS SIGN}7 in all \N{MINUS SIGN}2"), ("each", [5, -5], "A 5 B \N{MINUS SIGN}5 in all 0"),
    ("g", [454, -907], "A 1 lb B \N{MINUS SIGN}2 lb in all \N{MINUS SIGN}1 lb"), ("each", [-1], "A \N{MINUS SIGN}1"), ("each", [0], "A 0"),
])  # fmt: skip
def test_where_more_left_than_was_written_the_book_is_below_nothing(unit: str, units: list[int], said: str) -> None:
    lots = [{"lot": "AB"[n], "units": count} for n, count in enumerate(units)]
    paper = told(counting_html({"house": HOUSE, "day": DAY, "shelf": [{"good": {**BAR, "unit": unit}, "lots": lots}]})["html"])
    assert middle(paper, "if not, why", "Counted by") == said


# The price list


@pytest.mark.parametrize(("goods", "said"), [
    (GOODS[:1], "what price One-ounce wax bar 1 oz $3.00 each 10 for $25.00"),
    (GOODS[1:], "what here by mail 12 oz jar of honey 12 oz $7.50 $8.00"
                " Honey is not for babies under 12 months, not even a taste. By mail, the mailing is added."),
    ([{**BAR, "unit": "g", "net_g": 28, "price_cents": 2}], "what price One-ounce wax bar $0.02"),
    ([{**BAR, "net_g": "28", "price_cents": 2}], "what price One-ounce wax bar $0.02"),
])  # fmt: skip
def test_the_price_list_word_by_word(goods: list[Json], said: str) -> None:
    paper = told(prices_html({"house": HOUSE, "goods": goods, "day": DAY})["html"])
    assert middle(paper, "July 22, 2026", "Call 715-555-0109.") == said


# The year


def test_the_year_word_by_word() -> None:
    months = " ".join(f"{name} {at} 2 ${10 * at}.00" for at, name in enumerate(MONTHS))
    taken_off = [{"why": "discount", "cents": 250}, {"why": "correction", "cents": -100}]
    goods = [*year_of()["goods"], {"good": {**JAR}, "units": -1200}, {"good": {**BAR, "name": "loose wax", "unit": "g"}, "units": 454}]
    paper = told(year_html(year_of(taken_off=taken_off, goods=goods))["html"])
    assert middle(paper, "November 22, 2026", "\N{COPYRIGHT SIGN}").startswith(
        f"Nine Lindens Honey House What left what {' '.join(name[:3] for name in MONTHS)} in all one-ounce wax bars 300 1,200 1,500"
        " 12 oz jars of honey \N{MINUS SIGN}1,200 loose wax 1 lb"
        f" Month by month month mailed picked up came in {months} in all 66 24 $660.00"
        " Put right sent again at no charge: for heat 2 taken off: a lower price $2.50 taken off: put right \N{MINUS SIGN}$1.00"
    )


@pytest.mark.parametrize(("why", "said"), [
    ("heat", "for heat 1"), ("breakage", "for breakage 1"), ("loss", "for what never came 1"), ("gift", "as a present 1"),
])  # fmt: skip
def test_why_something_was_sent_again(why: str, said: str) -> None:
    assert f"sent again at no charge: {said}" in told(year_html(year_of(replaced=[{"why": why, "count": 1}]))["html"])


@pytest.mark.parametrize(("why", "said"), [
    ("discount", "a lower price"), ("gift", "a present"), ("heat", "heat"), ("breakage", "broken"), ("loss", "lost"),
    ("correction", "put right"),
])  # fmt: skip
def test_why_something_was_taken_off(why: str, said: str) -> None:
    assert f"taken off: {said} $0.01" in told(year_html(year_of(taken_off=[{"why": why, "cents": 1}]))["html"])


def test_a_month_of_which_a_device_cannot_know_leaves_the_orders_out() -> None:
    months = [{**month, **({"mailed": None} if at == 3 else {})} for at, month in enumerate(year_of()["months"])]
    paper = told(year_html(year_of(months=months, replaced=[]))["html"])
    assert "month came in January $0.00 February $10.00" in paper and "in all $660.00 Put right Nothing had to be put right." in paper
    assert "month mailed picked up came in" in told(year_html(year_of())["html"])


def test_a_year_without_goods_and_a_device_that_knows_none() -> None:
    assert "What left Nothing left. Month by month" in told(year_html(year_of(goods=[]))["html"])
    partial = told(year_html(year_of(partial=True, replaced=[], day=None))["html"])
    assert "From one device, without signal" in partial and "Put right" not in partial and "as of" not in partial
    assert "From one device" not in told(year_html(year_of(partial="yes"))["html"])


def test_books_are_kept_since_1900() -> None:
    assert "The year 1900" in told(year_html(year_of(year=1900))["html"])
    with pytest.raises(BadRequest, match="year must be a whole number of 1900 or more"):
        year_html(year_of(year=1899))


@pytest.mark.parametrize("months", [[0] * 11, [0] * 13, [0] * 11 + [True], [0] * 11 + ["1"], "000000000000", 0])
def test_a_goods_months_are_twelve_whole_numbers(months: Any) -> None:
    with pytest.raises(BadRequest, match="months must be twelve whole numbers"):
        year_html(year_of(goods=[{"good": BAR, "units": 1, "months": months}]))


@pytest.mark.parametrize(("units", "unit", "said"), [(1234, "", "1,234"), (-1234, "", "\N{MINUS SIGN}1,234"), (454, "g", "1 lb")])
def test_how_much_left_in_a_year(units: int, unit: str, said: str) -> None:
    assert _amount(units, unit) == said


# The receipt


def test_the_receipt_word_by_word() -> None:
    order = {"number": "A-1", "way": "post", "taken_on": "2026-07-20", "posting_cents": 610, "tax_cents": 171, "tax_rate": 5500}
    payments = [{"on": "2026-07-21", "cents": 500, "how": "cash"}, {"on": "2026-07-22", "cents": -200}]
    asked = {
        "house": {**HOUSE, "closing_words": "Come again."}, "person": {"name": "Orla"}, "order": order,
        "lines": [line(BAR, 2), line(JAR, 0)],
        "adjusted_cents": -100, "paid_cents": 300, "tracking": [{"number": "AB1"}], "payments": payments, "today": DAY,
    }  # fmt: skip
    assert middle(told(receipt_html(asked)["html"]), "Receipt", "Come again.") == (
        "Order A-1 Wednesday, July 22, 2026 For Orla , taken Monday, July 20, 2026 What it comes to how many what price costs"
        " 2 one-ounce wax bars $3.17 $6.34 mailing $6.10 sales tax, 5.5 % $1.71 taken off \N{MINUS SIGN}$1.00 in all $13.15"
        " paid $3.00 still owed $10.15 Tuesday, July 21, 2026: $5.00 in cash Wednesday, July 22, 2026: $2.00 paid back another way"
        " Tracking number: AB1"
    )


@pytest.mark.parametrize(("changes", "words"), [
    ({}, ("$6.34", "", "", "$6.34", "", ())), ({"paid_cents": None, "adjusted_cents": None}, ("$6.34", "", "", "$6.34", "", ())),
    ({"paid_cents": 634}, ("$6.34", "", "$6.34", "", "", ())), ({"paid_cents": 633}, ("$6.34", "", "$6.33", "$0.01", "", ())),
    ({"paid_cents": 635}, ("$6.34", "", "$6.35", "", "$0.01", ())),
    ({"adjusted_cents": -34}, ("$6.00", "\N{MINUS SIGN}$0.34", "", "$6.00", "", ())),
    ({"adjusted_cents": -34, "paid_cents": 700}, ("$6.00", "\N{MINUS SIGN}$0.34", "$7.00", "", "$1.00", ())),
])  # fmt: skip
def test_what_was_taken_off_paid_and_is_owed_or_to_be_paid_back(changes: Json, words: tuple[Any, ...]) -> None:
    facts = cost_facts(Reader({"order": {"number": "A-1"}, "lines": [line(BAR, 2), line(JAR, 0)], **changes}))
    assert (facts.total, facts.off, facts.paid, facts.owed, facts.back, facts.payments) == words and len(facts.lines) == 1


@pytest.mark.parametrize(("given", "words"), [
    ({"price_cents": 317}, ("2", "one-ounce wax bars", "$3.17", "$6.34")),
    ({"price_cents": 0}, ("2", "one-ounce wax bars", "$0.00", "$0.00")),
    ({}, ("2", "one-ounce wax bars", "$0.00", "$0.00")),
    ({"price_cents": 317, "total_cents": 600}, ("2", "one-ounce wax bars", "$3.17", "$6.00")),
])  # fmt: skip
def test_what_a_line_cost(given: Json, words: tuple[str, ...]) -> None:
    """Without a price of its own it cost nothing: nothing is worked out from today's."""
    (cost,) = cost_facts(Reader({"order": {"number": "A-1"}, "lines": [{"good": BAR, "units": 2, **given}]})).lines
    assert (cost.amount, cost.good, cost.price, cost.total) == words
