"""The tax of an order: what it was told as long as it goes the same way to the same state, else what is due today where it goes."""

from __future__ import annotations

from typing import Any

import pytest

from screens.kinds_of_rows import order, person
from store.in_page import in_page

Json = dict[str, Any]
HOME = ("1 Elm St", "Hayward", "WI", "54843")
ROWS: list[Json] = [
    {"table": "setting", "id": "state", "value": "WI"},
    {"table": "setting", "id": "sales_tax", "value": {"on": True, "rate": 5500, "mailing": True, "elsewhere": False}},
    person("ann", "Ann", "+12185550142", ("41 Heron Sill Rd", "Duluth", "MN", "55811")), person("ben", "Ben", "+17155550177", HOME),
    *order("o1", "ben", "post", "promised", None, {}, tax_rate=5000, tax_mailing=False),
    *order("o2", "ann", "pick_up", "promised", None, {}, tax_rate=5000, tax_mailing=True),
]  # fmt: skip
TODAY, NONE = {"tax_rate": 5500, "tax_mailing": True}, {"tax_rate": 0, "tax_mailing": False}


@pytest.mark.parametrize(("asked", "terms"), [
    ({"way": "post", "person": {"id": "ben"}}, TODAY), ({"way": "post", "person": {"id": "ann"}}, NONE),
    ({"way": "post", "person": {"id": "ann"}, "state": "WI"}, TODAY), ({"way": "post", "person": {"id": "ben"}, "state": "MN"}, NONE),
    ({"way": "post", "person": {"id": "ann", "state": "WI"}}, TODAY), ({"way": "pick_up", "person": {"id": "ann"}}, TODAY), ({}, TODAY),
    ({"way": "post", "person": {"id": "ben"}, "goes_to": "other", "to_state": "MN"}, NONE),
    ({"way": "post", "person": {"id": "ben"}, "amends": "o1"}, {"tax_rate": 5000, "tax_mailing": False}),
    ({"way": "pick_up", "person": {"id": "ben"}, "amends": "o1"}, TODAY),
    ({"way": "post", "person": {"id": "ben"}, "amends": "o1", "state": "MN"}, NONE),
    ({"way": "pick_up", "person": {"id": "ann"}, "amends": "o2"}, {"tax_rate": 5000, "tax_mailing": True}),
    ({"way": "post", "person": {"id": "ann"}, "tax_rate": 0, "tax_mailing": True}, {"tax_rate": 0, "tax_mailing": True}),
    ({"tax_rate": 1200}, {"tax_rate": 1200, "tax_mailing": False}),
])  # fmt: skip
def test_the_terms_of_an_order(asked: Json, terms: Json) -> None:
    assert in_page("store/reckon.js", "here.termsOf(asked)", asked, ROWS) == terms


def test_switched_on_before_anybody_gave_a_rate_it_taxes_nothing() -> None:
    assert in_page("store/pricing.js", "here.taxTerms(asked, 'pick_up', '', '')", {"on": True}) == {"tax_rate": 0, "tax_mailing": False}
