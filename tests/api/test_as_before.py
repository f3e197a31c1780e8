"""Every door answers as it did, whatever is asked of it (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from flask import Flask

import postgresql_server
from api.as_before import FILE, Doors, lines
from entries.house import LivedIn, lived_in

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))
NOT_ASKED = {
    "/api/stream": "it goes on for a minute", "/api/own/backup": "it writes a file", "/api/own/forecast": "it reads one",
    "/": "a page of the app", "/shell-list.js": "a file", "/kernel/built/<path:path>": "a file", "/<path:path>": "a file",
}  # fmt: skip


@pytest.fixture(scope="module", name="lived_in")
def one_for_all() -> Iterator[LivedIn]:
    with lived_in() as house:
        yield house


@pytest.mark.skipif(postgresql_server.chosen(), reason="a text with NUL is told otherwise, and the kinds of entry are asked about in both")
@pytest.mark.parametrize("name", BEFORE)
def test_the_same_question_has_the_same_answer(name: str, lived_in: LivedIn) -> None:
    """Status, headers, body, and every row that changed."""
    assert lines(lived_in, name) == BEFORE[name]


def test_every_door_is_asked(lived_in: LivedIn) -> None:
    """One that is added is to be asked, too."""
    doors = Doors(lived_in)
    app: Flask = doors.app()
    rules = {rule.rule for rule in app.url_map.iter_rules()} - NOT_ASKED.keys()
    with app.test_request_context():
        urls = app.url_map.bind("")
        asked = {urls.match(doors.address(one), method=one.way, return_rule=True)[0].rule for one in doors.askings.values()}
    assert asked == rules
    assert BEFORE.keys() == doors.askings.keys()
