"""People a house has already, out of a file: what each line of it would become. Nothing is written here."""

from __future__ import annotations

import base64

from flask import Blueprint, Response
from marshmallow import Schema, fields, validate

from honeyhold.api.access import a_keeper, body, the_house
from honeyhold.api.json_response import told
from honeyhold.errors import BadRequest
from honeyhold.importing.people import read_people
from honeyhold.importing.sheet import COLUMNS_MAX, FIELDS
from honeyhold.operations.fields import one_of, text
from honeyhold.operations.schemas import read
from honeyhold.records.models import Person, Setting

door = Blueprint("people", __name__)


class PeopleAsk(Schema):
    """`POST /api/people/read`: the bytes of a file, and what each column is where a person has said so."""

    data = text(4_000_000, 1, required=True)
    fields_ = fields.List(one_of("", *FIELDS), data_key="fields", allow_none=True, validate=validate.Length(max=COLUMNS_MAX))


@door.post("/api/people/read")
def dry_run() -> Response:
    """Line by line what the list would become; owners only, since all people of the house stand beside it."""
    a_keeper()
    ask = read(PeopleAsk(), body(), "list of people")
    try:
        data = base64.b64decode(ask["data"], validate=True)
    except ValueError:  # of base64, or letters that cannot be of it
        raise BadRequest("The file came damaged.", "Open it again.") from None
    records = the_house().records
    with records.read():
        known = [person for person in records.shared_rows("person", Person) if not person["hidden"]]
        area = records.row(Setting, "area_code")
    return told(read_people(data, known, _area_code(area["value"] if area else ""), ask.get("fields_")))


def _area_code(value: object) -> str:
    return value if isinstance(value, str) and len(value) == 3 and value.isdigit() and value[0] not in "01" else ""
