"""What is to be packed, as it was listed: pieces, cartons, the dressing around them. Lengths as they were typed, so that 12 in stay 12 in.

`read_request` makes them of JSON; the solver's whole units come after, in `problem.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from honeyhold.errors import BadRequest
from honeyhold.packing.postage.quote import Posting, read_posting
from honeyhold.wire import OMIT_NONE, Fields, as_list

MAX_KINDS = 60
MAX_CARTONS = 300
MAX_COLD_PACKS = 12
TEXTURES = ("glass", "wax", "plain", "cold")
NAME_THEM = "Give each piece and carton its id."

Length = float | str
"""Millimetres, or text such as `8 5/8 in`."""
Lengths = tuple[Length, Length, Length]


@dataclass(frozen=True)
class Piece:
    """So many pieces of one sort. `bears_g` None: any load is borne."""

    id: str
    size_mm: Lengths
    count: float = 1
    mass_g: float = 0
    mass_sd_g: float = 0
    upright: bool = False
    glass: bool = False
    wall_mm: Length = 0
    gap_mm: Length = 0
    bears_g: float | None = None
    label: str = ""
    texture: str = "plain"


@dataclass(frozen=True)
class Carton:
    """A carton that may be taken. `in_stock` None: as many as wanted."""

    id: str
    label: str
    inner_mm: Lengths
    outer_mm: Lengths | None = None
    tare_g: float = 0
    max_gross_g: float | None = None
    max_united_mm: Length | None = None
    edge_crush_lb_per_in: float | None = None
    board_in: float | None = None
    cost_cents: float = 0
    in_stock: float | None = None
    tare_sd_g: float | None = field(default=None, metadata=OMIT_NONE)
    flat_cents: float | None = field(default=None, metadata=OMIT_NONE)


@dataclass(frozen=True)
class Dressing:
    """What goes around the pieces of every parcel."""

    liner_mm: Length = 0
    liner_g_per_m2: float = 0
    liner_cents: float = 0
    reserve_top_mm: Length = 0
    chill: tuple[Piece, ...] = ()
    filler_g_per_l: float = 0
    filler_cents_per_l: float = 0


@dataclass(frozen=True)
class PackingRequest:
    """An order to be packed. `seconds` None: what a caller on the line can wait for."""

    pieces: tuple[Piece, ...]
    cartons: tuple[Carton, ...]
    dressing: Dressing = Dressing()
    posting: Posting | None = None
    support: bool = True
    seconds: float | None = None
    unit: str = "in"


def read_request(request: object) -> PackingRequest:
    """Read `packing.plan`'s request (README.md). Raises BadRequest naming the field and the value seen."""
    whole = Fields.of(request)
    posting = whole.maybe("posting")
    return PackingRequest(
        pieces=tuple(_piece(row) for row in whole.rows("pieces", MAX_KINDS, needed=True)),
        cartons=tuple(_carton(row) for row in whole.rows("cartons", MAX_CARTONS, needed=True)),
        dressing=_dressing(whole.inner("dressing")),
        posting=None if posting is None else read_posting(posting.held),
        support=whole.flag("support", True),
        seconds=whole.get("seconds"),
        unit="mm" if whole.get("unit") == "mm" else "in",
    )


def _piece(row: Fields, name: str = "", cold: bool = False) -> Piece:
    """A piece; figures are left as they stand, `problem.py` reads them with the field's name."""
    name = name if name and row.get("id") is None else row.short_text("id", NAME_THEM)
    glass, texture, label = row.flag("glass"), row.get("texture"), row.get("label")
    return Piece(
        id=name,
        size_mm=_three(row, "size_mm"),
        count=row.held.get("count", 1),
        mass_g=row.get("mass_g") or 0,
        mass_sd_g=row.get("mass_sd_g") or 0,
        upright=row.flag("upright"),
        glass=glass,
        wall_mm=row.get("wall_mm") or 0,
        gap_mm=row.get("gap_mm") or 0,
        bears_g=row.get("bears_g"),
        label=label if isinstance(label, str) and label else name,
        texture=str(texture) if texture in TEXTURES else "cold" if cold else "glass" if glass else "plain",
    )


def _carton(row: Fields) -> Carton:
    name, label = row.short_text("id", NAME_THEM), row.get("label")
    return Carton(
        id=name,
        label=label if isinstance(label, str) and label else name,
        inner_mm=_three(row, "inner_mm"),
        outer_mm=None if row.get("outer_mm") is None else _three(row, "outer_mm"),
        tare_g=row.get("tare_g") or 0,
        max_gross_g=row.get("max_gross_g"),
        max_united_mm=row.get("max_united_mm"),
        edge_crush_lb_per_in=row.get("edge_crush_lb_per_in"),
        board_in=row.get("board_in"),
        cost_cents=row.get("cost_cents") or 0,
        in_stock=row.get("in_stock"),
        tare_sd_g=row.get("tare_sd_g"),
        flat_cents=row.get("flat_cents"),
    )


def _dressing(row: Fields) -> Dressing:
    packs = row.rows("chill", MAX_COLD_PACKS)
    return Dressing(
        liner_mm=row.get("liner_mm") or 0,
        liner_g_per_m2=row.get("liner_g_per_m2") or 0,
        liner_cents=row.get("liner_cents") or 0,
        reserve_top_mm=row.get("reserve_top_mm") or 0,
        chill=tuple(_piece(pack, f"cold pack {at}", cold=True) for at, pack in enumerate(packs, 1)),
        filler_g_per_l=row.get("filler_g_per_l") or 0,
        filler_cents_per_l=row.get("filler_cents_per_l") or 0,
    )


def _three(row: Fields, name: str) -> Lengths:
    sides = as_list(row.get(name), row.named(name), 3)
    if len(sides) != 3:
        raise BadRequest(f"{row.named(name)} has {len(sides)} measures, not 3.", "Give length, width and height.")
    return sides[0], sides[1], sides[2]
