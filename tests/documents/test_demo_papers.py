"""A paper of the demo says that it is one; a paper of a real house does not."""

from __future__ import annotations

import re

import pytest

from documents.example_orders import HOUSE, orla
from honeyhold.documents.doors import gathering_html, label_html, slip_html

MAKERS = {
    "slip": lambda house: slip_html(orla(house=house)),
    "label": lambda house: label_html(orla(house=house)),
    "gathering": lambda house: gathering_html({"house": house, "day": "2026-07-22", "orders": [orla(house=house)]}),
}


@pytest.mark.parametrize("paper", MAKERS)
def test_a_paper_of_the_demo_says_so(paper: str) -> None:
    make = MAKERS[paper]
    assert re.search("DEMO:? Nine Lindens", make({**HOUSE, "demo": True})["html"], re.IGNORECASE)
    assert "DEMO" not in make({**HOUSE, "demo": False})["html"] + make(HOUSE)["html"]
