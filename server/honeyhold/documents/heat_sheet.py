"""The heat sheet of one parcel: its trip by the hour and the days by dressing, to lie on the packing table or go to a caller who asks."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from honeyhold.documents import reading
from honeyhold.documents.drawing import DRAWING_LENGTH_MAX, safe_drawing
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.page import SIZES, render
from honeyhold.documents.wording import day_words
from honeyhold.errors import BadRequest
from honeyhold.heat.atlas import Atlas
from honeyhold.quoting.call import call
from honeyhold.quoting.pictures import days_picture, trip_picture
from honeyhold.quoting.request import read_call

Json = dict[str, Any]


def heat_sheet(request: Json, atlas: Atlas) -> Json:
    """The sheet as `{"html", "title"}`. Request: that of `quoting.call`, with `who` and `number` where there are any, and `size`.

    Raises BadRequest where nothing is known of the heat on that way, and as `quoting.call` does.
    """
    asked = read_call({**request, "only": None})
    answer = call(asked, atlas)
    heat = answer.heat
    if heat is None:
        raise BadRequest(" ".join(answer.unknown) or "Nothing is known of the heat on this way.", "Give a ZIP code that is known.")
    who = reading.text(request, "who")
    title = f"Heat on the way{f', {who}' if who else ''}"
    on = reading.day({**heat}, "leave_on")
    house = {**(request.get("house") or {}), "name": (request.get("house") or {}).get("name") or "Our honey house"}
    facts = {
        "title": title,
        "paper": reading.choice(request, "size", SIZES, "letter"),
        "house": house_facts({"house": house}),
        "who": who,
        "number": reading.text(request, "number"),
        "day": day_words(on) if on else "",
        "heat": heat,
        "basis": answer.basis,
        "advice": answer.advice["words"] if answer.advice else answer.none_words,
        "trip": _drawing(trip_picture(asked, atlas), "trip"),
        "days": _drawing(days_picture(asked, atlas), "days"),
        "sentences": [*answer.notes, *answer.unknown],
        "running_head": title,
    }
    return {"html": render("heat.html", facts), "title": title}


def _drawing(svg: str, where: str) -> Markup:
    if len(svg) > DRAWING_LENGTH_MAX:
        raise reading.wrong(where, f"text of at most {DRAWING_LENGTH_MAX} characters", f"{len(svg)} long")
    return safe_drawing(svg, where)
