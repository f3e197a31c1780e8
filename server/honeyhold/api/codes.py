"""How a device comes to belong to the house, and how it is declared lost."""

from __future__ import annotations

from urllib.parse import quote

from flask import Blueprint, Response, current_app, request

from honeyhold.api.access import a_keeper, body, of_the_house, the_house
from honeyhold.api.introduction import Neighbourhood, picture_of
from honeyhold.api.json_response import told
from honeyhold.api.rate_limit import EXTENSION as RATE_LIMIT
from honeyhold.api.rate_limit import RateLimit
from honeyhold.operations.schemas import CodeAsk, EnrolAsk, read

door = Blueprint("codes", __name__)
NEIGHBOURS = "neighbours"
"""Where the application keeps how other devices come in, when the house is open to them."""


@door.post("/api/enrol")
def enrol() -> Response:
    """A fresh code adds a device; whoever guesses is slowed down."""
    rate_limit: RateLimit = of_the_house(RATE_LIMIT)
    who = request.remote_addr or "unknown"
    ask = read(EnrolAsk(), body(), "enrolment")
    rate_limit.begin_try(who)
    enrolled = the_house().enrol(ask["code"], ask["name"])
    rate_limit.right(who)
    return told(enrolled, 201)


@door.post("/api/codes")
def new_code() -> Response:
    """A one-time code for another device, also as a picture; keepers only."""
    a_keeper()
    ask = read(CodeAsk(), body(), "wish for a code")
    made = the_house().new_code(ask["role"])
    way = way_in(made["code"])
    picture = picture_of(str(way["address"]), "Code for another device")
    return told({**made, **way, "qr_svg": picture, "earlier": _from_earlier(str(way["address"]))}, 201)


def _from_earlier(address: str) -> list[dict[str, str]]:
    """Pictures that open a device's app where it was before: from there it hands over what it has not sent, then it goes on here."""
    where: Neighbourhood | None = current_app.extensions.get(NEIGHBOURS)
    found = []
    for earlier in where.earlier if where else ():
        picture = picture_of(f"{earlier}#settings/moved/{quote(address, safe='')}", "For a device that was here at another address")
        found.append({"address": earlier, "qr_svg": picture})
    return found


def way_in(code: str) -> dict[str, str | None]:
    """Where a device types the code, where it first learns to trust the main computer, and the letters to compare there."""
    where: Neighbourhood | None = current_app.extensions.get(NEIGHBOURS)
    address = f"{where.secure_address if where else request.host_url}#enrol={code}"  # a host of ours: see own_names.py
    return {
        "address": address, "introduction": where.introduction_address if where else None, "letters": where.fingerprint if where else None,
    }  # fmt: skip


@door.post("/api/devices/<device>/lost")
def lost(device: str) -> Response:
    """A person, never a clock, says that a device is lost; keepers only."""
    a_keeper()
    the_house().declare_lost(device)
    return told({"device": device, "lost": True})
