"""A planned parcel as it is kept when it is packed, and drawn again from what was kept: never planned a second time.

What stood in the carton is a fact from the moment it was packed. Planned anew it would follow today's stock, today's measures and today's
prices: an order packed into the last small cartons would lose its parcel, or be shown in a large one bought since.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.drawing.canvas import Piece as DrawnPiece
from honeyhold.packing.drawing.parcel import Drawing, svg_of
from honeyhold.packing.model.plan import ParcelPlan
from honeyhold.packing.model.request import TEXTURES, PackingRequest, Piece
from honeyhold.quoting.quote import KeptPiece, KeptPlan
from honeyhold.wire import Fields

UM_PER_MM = 1000
MG_PER_G = 1000
PLACEMENTS_MOST = 500
"""So many pieces are kept where they stood; a row of the one message has room for 5,000 values, and a placement takes eight."""


def kept_plan(parcel: ParcelPlan, name: str, question: PackingRequest) -> KeptPlan:
    """What is kept of a parcel in `parcel.plan`; `question` is the request its plan answers."""
    pieces = [*question.pieces, *(replace(pack, texture="cold") for pack in question.dressing.chill)]
    index = {piece.id: at for at, piece in enumerate(pieces)}
    placements = parcel.placements if len(parcel.placements) <= PLACEMENTS_MOST else ()
    return KeptPlan(
        name=name,
        steps=parcel.steps,
        contents=parcel.contents,
        notes=parcel.notes,
        inner_um=_um(parcel.inner_mm),
        outer_um=_um(parcel.outer_mm),
        liner_um=round(float(question.dressing.liner_mm) * UM_PER_MM),
        gross_sd_mg=round(parcel.gross_sd_g * MG_PER_G),
        pieces=tuple(_kept_piece(piece) for piece in pieces),
        placements=tuple((index[placed.piece], *_um(placed.at_mm), *_um(placed.size_mm)) for placed in placements),
        posting_cents=parcel.posting_cents,
    )


def read_kept(plan: Fields) -> KeptPlan:
    """A kept plan as its row holds it; what an older row lacks is empty."""
    pieces = tuple(_read_piece(row) for row in plan.rows("pieces", PLACEMENTS_MOST))
    return KeptPlan(
        name=plan.text("name"),
        steps=tuple(str(step) for step in plan.get("steps") or ()),
        contents=plan.inner("contents").held,
        notes=tuple(str(note) for note in plan.get("notes") or ()),
        inner_um=tuple(plan.get("inner_um") or ()),
        outer_um=tuple(plan.get("outer_um") or ()),
        liner_um=plan.whole("liner_um"),
        gross_sd_mg=plan.whole("gross_sd_mg"),
        pieces=pieces,
        placements=_read_placements(plan.get("placements"), len(pieces)),
        posting_cents=plan.maybe_whole("posting_cents"),
    )


def _read_placements(value: object, pieces: int) -> tuple[tuple[int, ...], ...]:
    """Which piece, where and how large, seven whole numbers each. Raises BadRequest."""
    places: list[Any] = list(value) if isinstance(value, list | tuple) else [value] if value else []
    for place in places:
        whole = isinstance(place, list | tuple) and len(place) == 7 and all(type(side) is int for side in place)
        if not whole or not 0 <= place[0] < pieces:
            raise BadRequest(f"A placement of the kept plan is {str(place)[:60]!r}.", "Hand in the plan as it was kept when it was packed.")
    return tuple(tuple(place) for place in places)


def drawing_of(plan: KeptPlan, unit: str, view: str) -> str:
    """The SVG of a kept plan that has placements. Raises BadRequest where it does not say how large the carton is."""
    if len(plan.inner_um) != 3 or not all(type(side) is int and side > 0 for side in plan.inner_um):
        raise BadRequest(f"The kept plan's inner_um is {str(plan.inner_um)[:60]}.", "Hand in the plan as it was kept when it was packed.")
    long, wide, high = (side / UM_PER_MM for side in plan.inner_um)
    pieces = []
    for number, (piece, *place) in enumerate(plan.placements, start=1):
        x, y, z, dx, dy, dz = (side / UM_PER_MM for side in place)
        kept = plan.pieces[piece]
        texture = kept.texture if kept.texture in TEXTURES else "plain"  # a newer Honeyhold may have kept one that is not known here
        pieces.append(DrawnPiece(number, kept.label, texture, x, y, z, dx, dy, dz))
    return svg_of(Drawing((long, wide, high), pieces, plan.liner_um / UM_PER_MM, unit, plan.name or "carton", view))


def _kept_piece(piece: Piece) -> KeptPiece:
    return KeptPiece(piece.id, piece.label, piece.texture, round(piece.mass_g * MG_PER_G), round(piece.mass_sd_g * MG_PER_G))


def _read_piece(row: Fields) -> KeptPiece:
    return KeptPiece(row.text("id"), row.text("label"), row.text("texture", "plain"), row.whole("mass_mg"), row.whole("mass_sd_mg"))


def _um(sides_mm: Iterable[float]) -> tuple[int, ...]:
    return tuple(round(side * UM_PER_MM) for side in sides_mm)
