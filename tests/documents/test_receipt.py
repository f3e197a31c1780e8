"""The receipt: the figures kept with the order and no others; and the slip, which names prices only where the house wants it."""

from __future__ import annotations

import re
from typing import Any

import pytest

from documents.example_orders import BAR, JAR, line, orla
from honeyhold.documents.doors import receipt_html, slip_html
from honeyhold.errors import BadRequest

Json = dict[str, Any]


def text(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html[html.index("<body>") :]).split())


def told(**changes: Any) -> Json:
    """Twelve bars told at ten for $25, a jar, mailing and tax; the goods cost something else by now."""
    bars = {**line({**BAR, "price_cents": 999}, 12), "price_cents": 300, "steps": [[10, 2500]], "total_cents": 3100}
    order = {"number": "A-1", "way": "post", "leave_on": "2026-07-22", "posting_cents": 610, "tax_cents": 171, "tax_rate": 5500}
    return {**orla(), "lines": [bars, line(JAR, 1)], "order": order, "paid_cents": 2000, "today": "2026-07-22", **changes}


def test_it_says_what_was_told_paid_and_owed() -> None:
    said = text(receipt_html(told())["html"])
    for words in (
        "Receipt", "A-1", "Orla Tennick", "12 one-ounce wax bars $3.00 each, 10 for $25.00 $31.00", "$7.63 $7.63", "mailing $6.10",
        "sales tax, 5.5 % $1.71", "in all $46.44", "paid $20.00", "still owed $26.44",
    ):  # fmt: skip
        assert words in said, words
    assert "9.99" not in said


def test_a_line_of_before_totals_and_an_order_paid_to_the_cent() -> None:
    order = {"number": "A-2", "way": "pick_up"}
    said = text(receipt_html(told(lines=[line(BAR, 2)], order=order, paid_cents=634))["html"])
    assert "$3.17 $6.34" in said and "in all $6.34" in said
    assert "owed" not in said and "tax" not in said and "mailing" not in said


def test_too_much_paid_is_said() -> None:
    assert "to be paid back $3.56" in text(receipt_html(told(paid_cents=5000))["html"])


def test_the_tracking_number_is_a_link_where_the_owner_gave_a_pattern_and_plain_where_not() -> None:
    followed = [{"number": "AB1", "link": "https://follow.example.org/?n=AB1"}, {"number": "AB2", "link": ""}]
    html = receipt_html(told(tracking=[*followed, {"number": "AB3", "link": "javascript:alert(1)"}]))["html"]
    assert '<a href="https://follow.example.org/?n=AB1">AB1</a>' in html and html.count("<a ") == 1
    assert "Tracking number: AB2" in text(html) and "javascript" not in html


def test_the_slip_names_prices_only_where_the_house_wants_it() -> None:
    assert "$" not in text(slip_html(told())["html"])
    said = text(slip_html({**told(), "house": {**told()["house"], "slip_prices": True}})["html"])
    assert "10 for $25.00 $31.00" in said and "in all $46.44" in said
    paid = [{"cents": 2000, "on": "2026-07-21", "how": "check", "check_number": "118"}]
    priced = {**told(payments=paid), "house": {**told()["house"], "slip_prices": True}}
    assert "$20.00 by check, number 118" in text(slip_html(priced)["html"])
    assert "check" not in text(slip_html(told(payments=paid))["html"])


@pytest.mark.parametrize("wrong", [{"steps": [[1, 1]]}, {"units": -1}, {"price_cents": "3"}, {"good": None}])
def test_nonsense_names_the_field(wrong: Json) -> None:
    with pytest.raises(BadRequest) as trouble:
        receipt_html(told(lines=[{**line(BAR, 2), **wrong}]))
    assert next(iter(wrong)) in str(trouble.value)
