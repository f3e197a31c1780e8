"""The two doors of the records: the exchange, and the mirror a device starts from."""

from __future__ import annotations

from flask import Blueprint, Response

from honeyhold.api.access import body, the_house, token
from honeyhold.api.json_response import told

door = Blueprint("exchange", __name__)


@door.post("/api/exchange")
def exchange() -> Response:
    """Entries up; answers, changes and grants down."""
    return told(the_house().exchange(token(), body()))


@door.get("/api/mirror")
def mirror() -> Response:
    """Everything a new or emptied device needs to start."""
    return told(the_house().mirror(token()))
