"""One way to say money, a weight, a number to ring and a near day: the papers' Python and the screens' JavaScript, by one table."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from goods.in_node import in_node
from honeyhold.documents import letterhead
from honeyhold.stock.days import day_words
from honeyhold.stock.people import phone_words
from honeyhold.stock.units import mailing_weight_words, money_words, weight_words

CASES: dict[str, list[list[Any]]] = json.loads((Path(__file__).parent / "words.json").read_text("utf-8"))
"""Each case: what is given, and last what is said."""
SAID: dict[str, tuple[str, tuple[Callable[..., str], ...]]] = {
    "money": ("money", (money_words,)),
    "weight": ("weightSaid", (weight_words,)),
    "mailing_weight": ("mailingWeightSaid", (mailing_weight_words,)),
    "phone": ("phoneSaid", (phone_words, letterhead.phone_words)),
    "day": ("daySaid", (day_words,)),
}


def test_every_sort_of_words_has_cases_and_is_asked() -> None:
    assert CASES.keys() == SAID.keys() and len(CASES["mailing_weight"]) > 20 and [228, "9 oz"] in CASES["mailing_weight"]


@pytest.mark.parametrize("sort", SAID)
def test_python_says_it_so(sort: str) -> None:
    for say in SAID[sort][1]:
        assert [[*given, say(*given)] for *given, _ in CASES[sort]] == CASES[sort]


def test_numbers_from_abroad_are_said_alike_on_screens_and_papers() -> None:
    telephone = json.loads((Path(__file__).parents[1] / "telephone_cases.json").read_text("utf-8"))["cases"]
    abroad = [case["kept"] for case in telephone if case["kept"] and not case["kept"].startswith("+1")]
    assert len(abroad) >= 3
    assert in_node("parts/words.js", "asked.map((phone) => here.phoneSaid(phone))", abroad) == list(map(letterhead.phone_words, abroad))


@pytest.mark.parametrize("sort", SAID)
def test_the_screens_say_it_so(sort: str) -> None:
    expression = f"asked.map((given) => [...given, here.{SAID[sort][0]}(...given)])"
    assert in_node("parts/words.js", expression, [given for *given, _ in CASES[sort]]) == CASES[sort]
