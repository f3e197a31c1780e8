"""`packing.draw`: a planned parcel as SVG, layer by layer and as one oblique view, numbered in packing order.

Textures carry the meaning before colour does: glass is light and hatched, wax dashed, cold packs dotted, the liner a zigzag edge.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.drawing.canvas import DEFINITIONS, PAPER_TEXT_PX, TEXT_PX, Canvas
from honeyhold.packing.drawing.canvas import Piece as DrawnPiece
from honeyhold.packing.drawing.views import LAYER_GAP, draw_layers, draw_oblique
from honeyhold.packing.model.measures import read_length, say_in, say_mm
from honeyhold.packing.model.plan import ParcelPlan
from honeyhold.packing.model.request import PackingRequest

WIDTH = 360
EDGE = 14
VIEWS = ("both", "oblique", "layers")


@dataclass(frozen=True)
class Drawing:
    """What is to be drawn, in millimetres."""

    room: tuple[float, float, float]
    pieces: list[DrawnPiece]
    liner: float
    unit: str
    label: str
    view: str


def _numbers(value: object, field: str) -> tuple[float, float, float]:
    if not isinstance(value, list | tuple) or len(value) != 3:
        raise BadRequest(f"{field} is {str(value)[:60]!r}, not three measures.", "Hand in a parcel as packing.plan gave it.")
    first, second, third = (float(read_length(side, field)) for side in value)
    return first, second, third


def _sides(value: object, field: str) -> tuple[float, float, float]:
    """The three sides of something that has a room in it."""
    sides = _numbers(value, field)
    if min(sides) <= 0:
        raise BadRequest(f"{field} is {str(value)[:60]!r}: a side of nothing holds nothing.", "Hand in a parcel as packing.plan gave it.")
    return sides


def _textures(request: dict[str, Any]) -> dict[str, tuple[str, str]]:
    """Label and texture by piece id, cold packs from the dressing included."""
    found: dict[str, tuple[str, str]] = {}
    dressing = request.get("dressing")
    packs = dressing.get("chill") if isinstance(dressing, dict) else None
    for rows, chill in ((request.get("pieces"), False), (packs, True)):
        for at, row in enumerate(rows if isinstance(rows, list) else []):
            if isinstance(row, dict):
                name = str(row.get("id") or f"cold pack {at + 1}")
                plain = "cold" if chill else "glass" if row.get("glass") else "plain"
                texture = row.get("texture")
                known = texture if texture in ("glass", "wax", "plain", "cold") else plain
                found[name] = str(row.get("label") or name), str(known)
    return found


def _inner(parcel: dict[str, Any], request: dict[str, Any]) -> tuple[float, float, float]:
    if parcel.get("inner_mm") is not None:
        return _sides(parcel["inner_mm"], "parcel.inner_mm")
    for row in request.get("cartons") or []:
        if isinstance(row, dict) and row.get("id") == parcel.get("carton"):
            return _sides(row.get("inner_mm"), "cartons.inner_mm")
    raise BadRequest(
        f"Carton {parcel.get('carton')!r} is not in the list of cartons.",
        "Hand in the carton the parcel was planned for.",
    )


def read_drawing(request: object) -> Drawing:
    """Read the request (README.md). Raises BadRequest naming the field and the value seen."""
    if not isinstance(request, dict) or not isinstance(request.get("parcel"), dict):
        raise BadRequest("There is no parcel to draw.", "Hand in one of the parcels of packing.plan as `parcel`.")
    parcel, textures = request["parcel"], _textures(request)
    placements = parcel.get("placements")
    if not isinstance(placements, list):
        raise BadRequest(
            f"parcel.placements is {str(placements)[:60]!r}, not a list.",
            "Hand in a parcel as packing.plan gave it.",
        )
    pieces = []
    for number, row in enumerate(placements, start=1):
        if not isinstance(row, dict):
            raise BadRequest(
                f"parcel.placements[{number - 1}] is {str(row)[:60]!r}.",
                "Hand in a parcel as packing.plan gave it.",
            )
        name = str(row.get("piece"))
        label, texture = textures.get(name, (name, "plain"))
        at, size = (
            _numbers(row.get("at_mm"), f"placements[{number - 1}].at_mm"),
            _numbers(row.get("size_mm"), f"placements[{number - 1}].size_mm"),
        )
        pieces.append(DrawnPiece(number, label, texture, *at, *size))
    dressing = request.get("dressing") if isinstance(request.get("dressing"), dict) else {}
    liner = float(read_length((dressing or {}).get("liner_mm") or 0, "dressing.liner_mm"))
    view = request.get("view") or "both"
    if view not in VIEWS:
        raise BadRequest(f"view is {view!r}.", 'Give "both", "oblique" or "layers".')
    unit = "mm" if request.get("unit") == "mm" else "in"
    return Drawing(
        _inner(parcel, request),
        pieces,
        liner,
        unit,
        str(parcel.get("label") or parcel.get("carton") or "carton"),
        view,
    )


def _words(drawing: Drawing) -> str:
    """The picture in words, for those who cannot see it."""
    counts: dict[str, int] = {}
    for piece in drawing.pieces:
        counts[piece.label] = counts.get(piece.label, 0) + 1
    contents = ", ".join(f"{count} x {label}" for label, count in counts.items())
    say = say_in if drawing.unit == "in" else say_mm
    sides = " by ".join(say(read_length(side, "inner")) for side in drawing.room)
    heights = sorted({round(piece.z) for piece in drawing.pieces})
    levels = ", ".join(say(read_length(height, "level")) for height in heights)
    return f"Inside {sides}. {contents}. Pieces begin at these heights from the bottom: {levels}. Numbers are the order of packing."


def drawing_of(plan: ParcelPlan, question: PackingRequest, view: str) -> Drawing:
    """A parcel as it was planned: the question gives its pieces' names and textures, its liner and its unit."""
    if view not in VIEWS:
        raise BadRequest(f"view is {view!r}.", 'Give "both", "oblique" or "layers".')
    known = {piece.id: (piece.label or piece.id, piece.texture) for piece in question.pieces}
    known |= {pack.id: (pack.label or pack.id, "cold") for pack in question.dressing.chill}
    pieces = [
        DrawnPiece(number, *known[placed.piece], *placed.at_mm, *placed.size_mm) for number, placed in enumerate(plan.placements, start=1)
    ]
    liner = float(read_length(question.dressing.liner_mm, "dressing.liner_mm"))
    return Drawing(plan.inner_mm, pieces, liner, question.unit, plan.label, view)


def draw(request: dict[str, Any]) -> dict[str, str]:
    """`packing.draw`: the parcel as `{"svg": text}`. Raises BadRequest."""
    return {"svg": svg_of(read_drawing(request))}


def svg_of(drawing: Drawing) -> str:
    """The parcel as SVG, 360 wide, growing downward."""
    canvas = Canvas(PAPER_TEXT_PX if drawing.view == "oblique" else TEXT_PX)
    below = 4.0
    if drawing.view in ("both", "oblique"):
        below = draw_oblique(canvas, drawing.pieces, drawing.room, drawing.liner, EDGE, below, WIDTH - 2 * EDGE)
    if drawing.view in ("both", "layers"):
        below = draw_layers(
            canvas,
            drawing.pieces,
            drawing.room,
            drawing.liner,
            EDGE,
            below + LAYER_GAP / 2,
            WIDTH - 2 * EDGE,
            drawing.unit,
        )
    below = canvas.legend(EDGE, below + 10, WIDTH - 2 * EDGE, drawing.pieces, drawing.liner > 0)
    title, words = canvas.safe(f"How {drawing.label} is packed"), canvas.safe(_words(drawing))
    mark = re.sub(r"[^a-z0-9]", "-", drawing.label.lower())
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {round(below + 8)}" role="img" '
        f'aria-labelledby="parcel-title-{mark} parcel-words-{mark}" font-family="inherit" style="font-family:inherit">'
        f'<title id="parcel-title-{mark}">{title}</title><desc id="parcel-words-{mark}">{words}</desc>'
        f"{DEFINITIONS}{canvas.text()}</svg>"
    )
