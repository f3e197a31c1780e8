"""The tax of an order to the cent, where one cent more of what is taxed would make it another."""

from __future__ import annotations

from goods.in_node import in_node

LINES = [{"taxed": True, "units": 1, "price_cents": 9, "steps": []}, {"taxed": False, "units": 3, "price_cents": 500, "steps": []}]
TAXED = {"tax_rate": 5500, "posting_cents": 1}


def test_nine_cents_are_not_taxed_and_ten_are() -> None:
    """At 5.5 % nine cents come to half a cent less a hundredth, and ten to more than half a cent."""
    asked = [[TAXED, LINES], [{**TAXED, "tax_mailing": True}, LINES], [{**TAXED, "tax_rate": 0}, LINES], [TAXED, LINES[1:]]]
    assert in_node("store/pricing.js", "asked.map((one) => here.orderTax(...one))", asked) == [0, 1, 0, 0]
