"""No paper shows anything of the machine, whatever is missing in what it is asked with."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape

import pytest

from documents import test_receipt
from documents.example_orders import HOUSE, forty_lines, orla
from documents.test_house_papers import MADE
from documents.test_jar_label import asked as jars_asked
from documents.test_recall import sheet as recall_sheet
from honeyhold.documents.doors import gathering_html, jar_labels_html, label_html, receipt_html, slip_html
from leaks import leaks_in

NOBODY = {"id": "nobody", "name": "Wren", "phone": None, "street": "", "unit": None, "city": "", "state": "", "zip": ""}
PICKED_UP = {"number": "A-1", "way": "pick_up", "leave_on": None}
PAPERS: dict[str, Callable[[], str]] = {
    **{name: lambda make=make: str(make("letter")["html"]) for name, make in MADE.items()},
    "slip": lambda: str(slip_html(orla())["html"]),
    "slip of many lines": lambda: str(slip_html(orla(lines=forty_lines()))["html"]),
    "slip for nobody known": lambda: str(slip_html(orla(person=NOBODY, order=PICKED_UP))["html"]),
    "label": lambda: str(label_html(orla())["html"]),
    "gathering": lambda: str(gathering_html({"house": HOUSE, "day": "2026-07-22", "orders": [orla()]})["html"]),
    "receipt": lambda: str(receipt_html(test_receipt.told())["html"]),
    "receipt for nobody known": lambda: str(receipt_html(test_receipt.told(person=None))["html"]),
    "recall": recall_sheet,
    "recall since a day": lambda: recall_sheet(since="2024-07-28"),
    "jar labels": lambda: str(jar_labels_html(jars_asked())["html"]),
}


def words_of(html: str) -> str:
    """What is printed: no tags, no styles, and the words that a screen reader has of a drawing."""
    spoken = " ".join(re.findall(r'(?:alt|aria-label|title)="([^"]*)"', html))
    bare = re.sub(r"<style.*?</style>|<!--.*?-->", " ", html, flags=re.DOTALL)
    return unescape(re.sub(r"<[^>]+>", " ", bare) + " " + spoken)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_paper_shows_nothing_of_the_machine(paper: str) -> None:
    words = words_of(PAPERS[paper]())
    assert len(words.split()) > 20, "the paper is empty"
    assert leaks_in(words) == []


@pytest.mark.parametrize("leak", ["for None, by mail", "lot undefined", "in NaN lb", "leaving 2027-07-26", "call +12185550114",
                                  "posting_cents", "f3b1c2d4-90ab-4", "[object Object]", "{{ name }}"])  # fmt: skip
def test_a_leak_would_be_found(leak: str) -> None:
    assert leaks_in(f"Ruth Amsel, {leak}, $25.00") != []


def test_plain_words_are_none() -> None:
    assert leaks_in("Nobody is called null and void on Mon Jul 26, 218-555-0114, lot W27-196-1: none left.".replace("null and ", "")) == []
