"""Whom to call, the text that lies ready, and the link that opens it in the phone's own messages."""

from __future__ import annotations

from typing import Any
from urllib.parse import unquote

import pytest

from goods.in_node import in_node

Json = dict[str, Any]
VIEW = """{
  openOrders: () => asked.orders, waiting: (id) => asked.waiting[id] ?? 0,
  linesOf: (id) => [{ id: id + '-l', order: id, good: 'bar', units: 10 }] }"""


def called(orders: list[Json], waiting: dict[str, int] | None = None) -> list[list[str]]:
    asked = {"orders": orders, "waiting": waiting or {}}
    expression = f"here.toCall({VIEW}, '2026-07-20').map(({{ order, why }}) => [order.id, why])"
    found: list[list[str]] = in_node("store/calling.js", expression, asked)
    return found


def order(id: str, **more: Any) -> Json:
    return {"id": id, "way": "post", "leave_on": None, "call_for": "", "called_on": None, **more}


def test_who_is_called_and_why() -> None:
    orders = [
        order("here", call_for="here"), order("going", call_for="going"), order("waits", call_for="here"), order("nobody"),
        order("fetch", way="pick_up", leave_on="2026-07-20"), order("late", way="pick_up", leave_on="2026-07-18", called_on="2026-07-17"),
        order("knows", way="pick_up", leave_on="2026-07-18", called_on="2026-07-18"), order("later", way="pick_up", leave_on="2026-07-21"),
        order("mailed today", leave_on="2026-07-20"),
    ]  # fmt: skip
    assert called(orders, {"waits-l": 3}) == [["here", "here"], ["going", "going"], ["fetch", "fetch"], ["late", "fetch"]]


@pytest.mark.parametrize(("why", "words", "said"), [
    ("here", {"name": "Ann Lind", "goods": "10 bars", "day": "Monday", "mailed": True, "house": "Nine Lindens"},
     "Hello Ann, your 10 bars are here. We mail them Monday. Nine Lindens"),
    ("here", {"name": "Ann Lind", "goods": "10 bars", "day": "", "mailed": False, "house": ""},
     "Hello Ann, your 10 bars are here. Come and fetch them when it suits you."),
    ("going", {"name": "", "goods": "10 bars", "day": "Monday", "mailed": True, "house": ""},
     "Hello, it is cool enough now: your 10 bars go in the mail Monday."),
    ("fetch", {"name": "Ann", "goods": "10 bars", "day": "today", "mailed": False, "house": ""},
     "Hello Ann, your 10 bars are ready for you to pick up."),
])  # fmt: skip
def test_the_text_lies_ready(why: str, words: Json, said: str) -> None:
    assert in_node("store/calling.js", f"here.textFor('{why}', asked)", words) == said


def test_the_link_carries_every_sign_of_the_text() -> None:
    text = "Zoë & Ann: 10 bars? 100 % here\nCome + fetch #1"
    link = in_node("store/calling.js", "here.smsLink('+12185550142', asked)", text)
    head, _, body = link.partition("?body=")
    assert head == "sms:+12185550142" and unquote(body) == text and not set(body) & set(" &#\n+")
