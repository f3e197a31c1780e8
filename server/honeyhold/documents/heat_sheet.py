"""The heat sheet of one parcel: its trip by the hour and the days by dressing, to lie on the packing table or go to a caller who asks."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from honeyhold.documents.drawing import DRAWING_LENGTH_MAX, safe_drawing
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader, wrong
from honeyhold.documents.wording import day_words
from honeyhold.errors import BadRequest
from honeyhold.heat.atlas import Atlas
from honeyhold.quoting.call import call
from honeyhold.quoting.pictures import days_picture, trip_picture
from honeyhold.quoting.request import CallRequest

NO_NAME = "Our honey house"


def heat_sheet(request: Reader, order: CallRequest, atlas: Atlas) -> Printed:
    """The sheet of `order`; `request` has `who` and `number` where there are any, and `size`.

    Raises BadRequest where nothing is known of the heat on that way, and as `quoting.call` does.
    """
    order = replace(order, only_asked=False)
    answer = call(order, atlas)
    if answer.heat is None:
        raise BadRequest(" ".join(answer.unknown) or "Nothing is known of the heat on this way.", "Give a ZIP code that is known.")
    who, on = request.text("who"), Reader(answer.heat).day("leave_on")
    title = f"Heat on the way{f', {who}' if who else ''}"
    return printed(
        "heat.html",
        title,
        paper=request.choice("size", SIZES, "letter"),
        house=house_facts(request if request.raw("house") else Reader({"house": {}}), NO_NAME),
        who=who,
        number=request.text("number"),
        day=day_words(on) if on else "",
        heat=answer.heat,
        basis=answer.basis,
        advice=answer.advice["words"] if answer.advice else answer.none_words,
        trip=_drawing(trip_picture(order, atlas), "trip"),
        days=_drawing(days_picture(order, atlas), "days"),
        sentences=[*answer.notes, *answer.unknown],
        running_head=title,
    )


def _drawing(svg: str, where: str) -> Markup:
    if len(svg) > DRAWING_LENGTH_MAX:
        raise wrong(where, f"text of at most {DRAWING_LENGTH_MAX} characters", f"{len(svg)} long")
    return safe_drawing(svg, where)
