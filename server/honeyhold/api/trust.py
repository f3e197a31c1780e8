"""What a device on the house's network trusts, and what it will have to trust next: told well ahead, while both are good."""

from __future__ import annotations

from flask import Blueprint, Response, current_app
from marshmallow import Schema, fields

from honeyhold.api.access import the_device
from honeyhold.api.codes import NEIGHBOURS
from honeyhold.api.introduction import Neighbourhood
from honeyhold.api.json_response import told

door = Blueprint("trust", __name__)


class NextTrust(Schema):
    """The certificate that follows: its letters, the day from which it is shown, where it is loaded."""

    letters = fields.String(required=True)
    day = fields.String(required=True)
    address = fields.String(required=True)


class TrustAnswer(Schema):
    """`letters`, `introduction`: null where no other device is let in; `next`: null until the present one's last year."""

    letters = fields.String(required=True, allow_none=True)
    introduction = fields.String(required=True, allow_none=True)
    next = fields.Nested(NextTrust, required=True, allow_none=True)


@door.get("/api/trust")
def trust() -> Response:
    """The letters of the certificate that devices trust, where it is loaded, and the one that follows it."""
    the_device()
    where: Neighbourhood | None = current_app.extensions.get(NEIGHBOURS)
    if where is None:
        return told({"letters": None, "introduction": None, "next": None})
    after = where.following
    following = after and {"letters": after.letters, "day": after.day.isoformat(), "address": where.introduction_address}
    return told({"letters": where.fingerprint, "introduction": where.introduction_address, "next": following})
