"""Late entries: handed in by devices of another name, read and settled by a keeper."""

from __future__ import annotations

from flask import Blueprint, Response

from honeyhold.api.access import a_keeper, body, the_device, the_house
from honeyhold.api.json_response import told
from honeyhold.house.quarantine import hand_in, late_entries, put_aside_late, take_in_late
from honeyhold.operations.schemas import LateAsk, SettleAsk, read

door = Blueprint("late", __name__)


@door.get("/api/late")
def late() -> Response:
    """What is to be settled, oldest first; keepers only."""
    a_keeper()
    return told(late_entries(the_house()))


@door.post("/api/late")
def handed_in() -> Response:
    """What a device wrote under a name that is no longer taken; kept apart for the keeper."""
    device = the_device()
    ask = read(LateAsk(), body(), "entries of an earlier name")
    return told({"kept": hand_in(the_house(), device["id"], ask["operations"])}, 201)


@door.post("/api/late/settle")
def settled() -> Response:
    """One entry taken in (it lands under the house's name) or put aside with a note; keepers only."""
    a_keeper()
    ask = read(SettleAsk(), body(), "settling")
    place = (the_house(), ask["device"], ask["seq"], ask["hash"])
    position = None
    if ask["how"] == "take_in":
        position = take_in_late(*place)
    else:
        put_aside_late(*place, ask.get("note", ""))
    return told({"settled": True, "position": position})
