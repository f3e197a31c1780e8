"""Everything out: the whole of the records or one person's, and a person forgotten; owners only."""

from __future__ import annotations

from flask import Blueprint, Response

from honeyhold.api.access import a_keeper, the_house
from honeyhold.api.json_response import told
from honeyhold.api.own import by_hand
from honeyhold.house import export

door = Blueprint("out", __name__)


@door.get("/api/export.zip")
def everything() -> Response:
    """A zip of CSV files and one JSON."""
    a_keeper()
    return _file(export.whole(the_house()), "honeyhold")


@door.post("/api/own/export")
def by_the_command_line() -> Response:
    """The same for the main computer's own command line."""
    by_hand()
    return _file(export.whole(the_house()), "honeyhold")


@door.get("/api/people/<person>/export.zip")
def one_person(person: str) -> Response:
    """What the records hold of one person."""
    a_keeper()
    return _file(export.of_person(the_house(), person), "person")


@door.post("/api/people/<person>/forget")
def forget(person: str) -> Response:
    """A person who asked for it: name, number, address and notes are emptied."""
    a_keeper()
    return told({"person": person, "position": the_house().forget_person(person)})


def _file(content: bytes, name: str) -> Response:
    answer = Response(content, content_type="application/zip")
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}-{the_house().clock.today()}.zip"'
    return answer
