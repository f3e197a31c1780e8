"""The solver's view of a request: lengths in whole units of one scale (containers rounded down, pieces up), weights in whole milligrams."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import down, mm, read_length, read_number, units_per_mm, up
from honeyhold.packing.model.request import Carton, Length, Lengths, PackingRequest, Piece
from honeyhold.packing.postage.quote import Posting

CHILL_GAP_MM = 6
TARE_SD_PERCENT = 3  # of an unweighed carton; common practice, no source
MAX_PIECES = 2000

Sides = tuple[int, int, int]


@dataclass(frozen=True)
class ItemType:
    """One group of identical pieces. Lengths in units, masses in mg, `bears_mg` None when any load is borne."""

    id: str
    label: str
    count: int
    sides: Sides
    orientations: tuple[Sides, ...]
    mass_mg: int
    sd_mg: int
    wall: int
    gap: int
    bears_mg: int | None
    upright: bool
    glass: bool
    chill: bool
    texture: str

    @property
    def volume(self) -> int:
        """Volume of one piece's bounding box, cubic units."""
        return self.sides[0] * self.sides[1] * self.sides[2]


@dataclass(frozen=True)
class LinedCarton:
    """A carton with its dressing in it. `room` is what is left inside the liner and under the reserve, in units; `outer` stays exact mm."""

    id: str
    label: str
    inner: tuple[Fraction, Fraction, Fraction]
    outer: tuple[Fraction, Fraction, Fraction]
    room: Sides
    tare_mg: int
    tare_sd_mg: int
    max_gross_mg: int | None
    cost_cents: int
    in_stock: int | None
    flat_cents: int | None
    max_united_mm: Fraction | None
    edge_crush_lb_per_in: float | None
    board_in: float | None

    @property
    def inner_volume(self) -> Fraction:
        """Inner volume before any liner, mm3."""
        return self.inner[0] * self.inner[1] * self.inner[2]

    @cached_property
    def inner_mm3(self) -> int:
        """The same in whole mm3, for comparing."""
        return round(self.inner_volume)


@dataclass(frozen=True)
class PackingProblem:
    """A whole request, read and checked."""

    items: tuple[ItemType, ...]
    chill: tuple[ItemType, ...]
    cartons: tuple[LinedCarton, ...]
    scale: int
    liner: int
    liner_mm: Fraction
    liner_mg_per_m2: int
    liner_cents: int
    filler_mg_per_l: int
    filler_cents_per_l: Fraction
    posting: Posting | None
    support: bool
    seconds: Fraction | None
    unit: str

    @cached_property
    def lined_mm3(self) -> dict[str, Fraction]:
        """By carton: the volume inside the liner, the reserve on top included."""
        found = {}
        for carton in self.cartons:
            long, wide, high = (max(Fraction(0), side - 2 * self.liner_mm) for side in carton.inner)
            found[carton.id] = long * wide * high
        return found

    @cached_property
    def liners_mg(self) -> dict[str, int]:
        """By carton: the mass of a liner on all six inner faces."""
        found = {}
        for carton in self.cartons:
            long, wide, high = carton.inner
            found[carton.id] = round(2 * (long * wide + long * high + wide * high) / 1_000_000 * self.liner_mg_per_m2)
        return found


Exact = tuple[Fraction, Fraction, Fraction]


def _whole(value: object, field: str) -> int:
    number = read_number(value, field)
    if number.denominator != 1:
        raise BadRequest(f"{field} is {value!r}, not a whole number.", "Give a whole number.")
    return int(number)


def _mg(value: object, field: str) -> int:
    return round(read_number(value, field) * 1000)


def _maybe_mg(value: object, field: str) -> int | None:
    return None if value is None else _mg(value, field)


def _maybe_float(value: object, field: str) -> float | None:
    return None if value is None else float(read_number(value, field))


def _three(sides: Lengths, field: str) -> Exact:
    first, second, third = (read_length(side, f"{field}[{at}]") for at, side in enumerate(sides))
    if not (first and second and third):
        raise BadRequest(f"{field} is {list(sides)!r}: a side of 0.", "Measure again; every side is more than 0.")
    return first, second, third


def orientations_of(sides: Sides, upright: bool) -> tuple[Sides, ...]:
    """The ways a piece may lie: 2 about the vertical when upright, else 6; equal ones once."""
    a, b, c = sides
    ways = [(a, b, c), (b, a, c)] if upright else [(a, b, c), (b, a, c), (a, c, b), (c, a, b), (b, c, a), (c, b, a)]
    return tuple(dict.fromkeys(ways))


@dataclass(frozen=True)
class _Measured:
    """A piece with its exact measures, not yet in units."""

    piece: Piece
    field: str
    sides: Exact
    wall: Fraction
    gap: Fraction
    chill: bool


def _measured(piece: Piece, field: str, chill: bool) -> _Measured:
    gap = read_length(piece.gap_mm, f"{field}.gap_mm")
    return _Measured(
        piece=piece,
        field=field,
        sides=_three(piece.size_mm, f"{field}.size_mm"),
        wall=read_length(piece.wall_mm, f"{field}.wall_mm"),
        gap=max(gap, Fraction(CHILL_GAP_MM)) if chill else gap,
        chill=chill,
    )


def _item(measured: _Measured, scale: int) -> ItemType:
    piece, field = measured.piece, measured.field
    sides = (up(measured.sides[0], scale), up(measured.sides[1], scale), up(measured.sides[2], scale))
    return ItemType(
        id=piece.id,
        label=piece.label or piece.id,
        count=_whole(piece.count, f"{field}.count"),
        sides=sides,
        orientations=orientations_of(sides, piece.upright),
        mass_mg=_mg(piece.mass_g, f"{field}.mass_g"),
        sd_mg=_mg(piece.mass_sd_g, f"{field}.mass_sd_g"),
        wall=up(measured.wall, scale),
        gap=up(measured.gap, scale),
        bears_mg=_maybe_mg(piece.bears_g, f"{field}.bears_g"),
        upright=piece.upright,
        glass=piece.glass,
        chill=measured.chill,
        texture=piece.texture,
    )


def default_outer(inner: Exact) -> Exact:
    """Outer measures when none were given: a single C-flute wall adds 8 mm to length and width, 16 mm to the height.

    Common practice (4 mm board; the flaps lie double on top and bottom), no source.
    """
    return inner[0] + 8, inner[1] + 8, inner[2] + 16


def _outer(carton: Carton, inner: Exact, field: str) -> Exact:
    outer = default_outer(inner) if carton.outer_mm is None else _three(carton.outer_mm, f"{field}.outer_mm")
    if any(out < within for out, within in zip(outer, inner, strict=True)):
        raise BadRequest(
            f"{field}.outer_mm {[mm(side) for side in outer]} is smaller than the inside {[mm(side) for side in inner]}.",
            "Measure the carton again: length, width, height in the same order.",
        )
    return outer


def _lined(carton: Carton, field: str, liner: Fraction, reserve: Fraction, scale: int) -> LinedCarton:
    inner = _three(carton.inner_mm, f"{field}.inner_mm")
    tare_mg = _mg(carton.tare_g, f"{field}.tare_g")
    own_sd = _maybe_mg(carton.tare_sd_g, f"{field}.tare_sd_g")
    united: Length | None = carton.max_united_mm
    return LinedCarton(
        id=carton.id,
        label=carton.label or carton.id,
        inner=inner,
        outer=_outer(carton, inner, field),
        room=(
            max(0, down(inner[0] - 2 * liner, scale)),
            max(0, down(inner[1] - 2 * liner, scale)),
            max(0, down(inner[2] - 2 * liner - reserve, scale)),
        ),
        tare_mg=tare_mg,
        tare_sd_mg=tare_mg * TARE_SD_PERCENT // 100 if own_sd is None else own_sd,
        max_gross_mg=_maybe_mg(carton.max_gross_g, f"{field}.max_gross_g"),
        cost_cents=_whole(carton.cost_cents, f"{field}.cost_cents"),
        in_stock=None if carton.in_stock is None else _whole(carton.in_stock, f"{field}.in_stock"),
        flat_cents=None if carton.flat_cents is None else _whole(carton.flat_cents, f"{field}.flat_cents"),
        max_united_mm=(None if united is None else read_length(united, f"{field}.max_united_mm")) or None,
        edge_crush_lb_per_in=_maybe_float(carton.edge_crush_lb_per_in, f"{field}.edge_crush_lb_per_in"),
        board_in=_maybe_float(carton.board_in, f"{field}.board_in"),
    )


def _different(names: list[str], what: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise BadRequest(f"Two {what} are called {name!r}.", "Give each its own id.")


def _scale(measured: list[_Measured], cartons: tuple[Carton, ...], extra: list[Fraction]) -> int:
    """The unit in which every length of the request is whole."""
    found = list(extra)
    for one in measured:
        found += [*one.sides, one.wall, one.gap]
    for at, carton in enumerate(cartons):
        found += _three(carton.inner_mm, f"cartons[{at}].inner_mm")
    return units_per_mm(found)


def problem_of(request: PackingRequest) -> PackingProblem:
    """The request in whole units. Raises BadRequest naming the field and the value seen."""
    dressing = request.dressing
    measured = [_measured(piece, f"pieces[{at}]", False) for at, piece in enumerate(request.pieces)]
    measured += [_measured(piece, f"dressing.chill[{at}]", True) for at, piece in enumerate(dressing.chill)]
    liner, reserve = read_length(dressing.liner_mm, "dressing.liner_mm"), read_length(dressing.reserve_top_mm, "dressing.reserve_top_mm")
    scale = _scale(measured, request.cartons, [liner, reserve])
    items = tuple(_item(one, scale) for one in measured)
    _check_counts(items)
    listed = tuple(_lined(carton, f"cartons[{at}]", liner, reserve, scale) for at, carton in enumerate(request.cartons))
    _different([carton.id for carton in listed], "cartons")
    return PackingProblem(
        items=tuple(sorted((item for item in items if not item.chill and item.count), key=_standing_order)),
        chill=tuple(sorted((item for item in items if item.chill and item.count), key=_standing_order)),
        cartons=tuple(sorted(listed, key=lambda carton: (carton.inner_volume, carton.id))),
        scale=scale,
        liner=up(liner, scale),
        liner_mm=liner,
        liner_mg_per_m2=_mg(dressing.liner_g_per_m2, "dressing.liner_g_per_m2"),
        liner_cents=_whole(dressing.liner_cents, "dressing.liner_cents"),
        filler_mg_per_l=_mg(dressing.filler_g_per_l, "dressing.filler_g_per_l"),
        filler_cents_per_l=read_number(dressing.filler_cents_per_l, "dressing.filler_cents_per_l"),
        posting=request.posting,
        support=request.support,
        seconds=None if request.seconds is None else read_number(request.seconds, "seconds"),
        unit=request.unit,
    )


def _standing_order(item: ItemType) -> tuple[int | str, ...]:
    """The same order of kinds however the lines of an order stand, so that a search goes the same way: the largest first."""
    bears = -1 if item.bears_mg is None else item.bears_mg
    return -item.volume, *item.sides, item.upright, item.wall, item.gap, item.mass_mg, bears, item.count, item.id


def _check_counts(items: tuple[ItemType, ...]) -> None:
    _different([item.id for item in items], "pieces")
    total = sum(item.count for item in items)
    if not any(item.count and not item.chill for item in items):
        raise BadRequest("There is nothing to pack: no piece has a count above 0.", "Add a piece to the order.")
    if total > MAX_PIECES:
        raise BadRequest(f"{total} pieces are too many for one plan (at most {MAX_PIECES}).", "Split the order.")
