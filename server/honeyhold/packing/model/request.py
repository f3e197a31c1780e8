"""Reading a request: JSON in, whole numbers out, every fault told with the field and the value seen.

Lengths become whole units of one scale for the whole request (rooms rounded down, pieces up), weights whole milligrams.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import down, mm, read_length, read_number, units_per_mm, up

CHILL_GAP_MM = 6
TARE_SD_PERCENT = 3  # of an unweighed carton; common practice, no source
MAX_KINDS = 60
MAX_PIECES = 2000
MAX_CARTONS = 300

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
class Carton:
    """A carton as listed. `room` is what is left inside the liner and under the reserve, in units; `outer` stays exact mm."""

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
    cartons: tuple[Carton, ...]
    scale: int
    liner: int
    liner_mm: Fraction
    liner_mg_per_m2: int
    liner_cents: int
    filler_mg_per_l: int
    filler_cents_per_l: Fraction
    posting: dict[str, Any] | None
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


def _dict(value: object, field: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise BadRequest(f"{field} is {str(value)[:60]!r}, not a set of named values.", "Hand in a JSON object.")
    return value


def _list(value: object, field: str, most: int) -> list[Any]:
    if not isinstance(value, list | tuple):
        raise BadRequest(f"{field} is {str(value)[:60]!r}, not a list.", "Hand in a JSON list.")
    if len(value) > most:
        raise BadRequest(f"{field} has {len(value)} entries; at most {most} can be planned.", "Split the order.")
    return list(value)


def _text(row: dict[str, Any], name: str, field: str) -> str:
    value = row.get(name)
    if not isinstance(value, str) or not value or len(value) > 200:
        raise BadRequest(f"{field}.{name} is {str(value)[:60]!r}, not a short text.", "Give each piece and carton its id.")
    return value


def _whole(value: object, field: str, least: int = 0) -> int:
    number = read_number(value, field, least)
    if number.denominator != 1:
        raise BadRequest(f"{field} is {value!r}, not a whole number.", "Give a whole number.")
    return int(number)


def _flag(row: dict[str, Any], name: str, field: str, default: bool = False) -> bool:
    value = row.get(name, default)
    if value is None:
        return default
    if not isinstance(value, bool):
        raise BadRequest(f"{field}.{name} is {value!r}, neither true nor false.", "Give true or false.")
    return value


def _or_zero(row: dict[str, Any], name: str, field: str) -> Fraction:
    value = row.get(name)
    return Fraction(0) if value is None else read_number(value, f"{field}.{name}")


def _three(value: object, field: str) -> tuple[Fraction, Fraction, Fraction]:
    sides = _list(value, field, 3)
    if len(sides) != 3:
        raise BadRequest(f"{field} has {len(sides)} measures, not 3.", "Give length, width and height.")
    first, second, third = (read_length(side, f"{field}[{at}]") for at, side in enumerate(sides))
    if not (first and second and third):
        raise BadRequest(f"{field} is {value!r}: a side of 0.", "Measure again; every side is more than 0.")
    return first, second, third


def _length(row: dict[str, Any], name: str, field: str) -> Fraction:
    value = row.get(name)
    return Fraction(0) if value is None else read_length(value, f"{field}.{name}")


def _mg(row: dict[str, Any], name: str, field: str) -> int:
    return round(_or_zero(row, name, field) * 1000)


def _maybe_mg(row: dict[str, Any], name: str, field: str) -> int | None:
    return None if row.get(name) is None else _mg(row, name, field)


def _maybe_float(row: dict[str, Any], name: str, field: str) -> float | None:
    return None if row.get(name) is None else float(read_number(row[name], f"{field}.{name}"))


def orientations_of(sides: Sides, upright: bool) -> tuple[Sides, ...]:
    """The ways a piece may lie: 2 about the vertical when upright, else 6; equal ones once."""
    a, b, c = sides
    ways = [(a, b, c), (b, a, c)] if upright else [(a, b, c), (b, a, c), (a, c, b), (c, a, b), (b, c, a), (c, b, a)]
    return tuple(dict.fromkeys(ways))


@dataclass(frozen=True)
class _Raw:
    """A piece read but not yet in units."""

    row: dict[str, Any]
    field: str
    id: str
    sides: tuple[Fraction, Fraction, Fraction]
    wall: Fraction
    gap: Fraction
    chill: bool


def _raw_piece(row: object, field: str, chill: bool, at: int) -> _Raw:
    fields = _dict(row, field)
    if chill and fields.get("id") is None:
        fields = {**fields, "id": f"cold pack {at + 1}"}
    gap = _length(fields, "gap_mm", field)
    if chill:
        gap = max(gap, Fraction(CHILL_GAP_MM))
    return _Raw(
        fields,
        field,
        _text(fields, "id", field),
        _three(fields.get("size_mm"), f"{field}.size_mm"),
        _length(fields, "wall_mm", field),
        gap,
        chill,
    )


def _kind(raw: _Raw, scale: int) -> ItemType:
    row, field = raw.row, raw.field
    sides = (up(raw.sides[0], scale), up(raw.sides[1], scale), up(raw.sides[2], scale))
    upright, glass = _flag(row, "upright", field), _flag(row, "glass", field)
    texture = row.get("texture")
    if texture not in ("glass", "wax", "plain", "cold"):
        texture = "cold" if raw.chill else "glass" if glass else "plain"
    label = row.get("label")
    return ItemType(
        id=raw.id,
        label=label if isinstance(label, str) and label else raw.id,
        count=_whole(row.get("count", 1), f"{field}.count"),
        sides=sides,
        orientations=orientations_of(sides, upright),
        mass_mg=_mg(row, "mass_g", field),
        sd_mg=_mg(row, "mass_sd_g", field),
        wall=up(raw.wall, scale),
        gap=up(raw.gap, scale),
        bears_mg=_maybe_mg(row, "bears_g", field),
        upright=upright,
        glass=glass,
        chill=raw.chill,
        texture=str(texture),
    )


def default_outer(inner: tuple[Fraction, Fraction, Fraction]) -> tuple[Fraction, Fraction, Fraction]:
    """Outer measures when none were given: a single C-flute wall adds 8 mm to length and width, 16 mm to the height.

    Common practice (4 mm board; the flaps lie double on top and bottom), no source.
    """
    return inner[0] + 8, inner[1] + 8, inner[2] + 16


def _carton(row: object, field: str, liner: Fraction, reserve: Fraction, scale: int) -> Carton:
    fields = _dict(row, field)
    inner = _three(fields.get("inner_mm"), f"{field}.inner_mm")
    outer = default_outer(inner) if fields.get("outer_mm") is None else _three(fields["outer_mm"], f"{field}.outer_mm")
    if any(out < within for out, within in zip(outer, inner, strict=True)):
        raise BadRequest(
            f"{field}.outer_mm {[mm(side) for side in outer]} is smaller than the inside {[mm(side) for side in inner]}.",
            "Measure the carton again: length, width, height in the same order.",
        )
    label, name = fields.get("label"), _text(fields, "id", field)
    stock, flat, tare_sd = fields.get("in_stock"), fields.get("flat_cents"), fields.get("tare_sd_g")
    tare_mg = _mg(fields, "tare_g", field)
    return Carton(
        id=name,
        label=label if isinstance(label, str) and label else name,
        inner=inner,
        outer=outer,
        room=(
            max(0, down(inner[0] - 2 * liner, scale)),
            max(0, down(inner[1] - 2 * liner, scale)),
            max(0, down(inner[2] - 2 * liner - reserve, scale)),
        ),
        tare_mg=tare_mg,
        tare_sd_mg=tare_mg * TARE_SD_PERCENT // 100 if tare_sd is None else _mg(fields, "tare_sd_g", field),
        max_gross_mg=_maybe_mg(fields, "max_gross_g", field),
        cost_cents=_whole(fields.get("cost_cents") or 0, f"{field}.cost_cents"),
        in_stock=None if stock is None else _whole(stock, f"{field}.in_stock"),
        flat_cents=None if flat is None else _whole(flat, f"{field}.flat_cents"),
        max_united_mm=_length(fields, "max_united_mm", field) or None,
        edge_crush_lb_per_in=_maybe_float(fields, "edge_crush_lb_per_in", field),
        board_in=_maybe_float(fields, "board_in", field),
    )


def _different(names: list[str], what: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise BadRequest(f"Two {what} are called {name!r}.", "Give each its own id.")


def _lengths(raws: list[_Raw], cartons: list[Any], extra: list[Fraction]) -> list[Fraction]:
    found = list(extra)
    for raw in raws:
        found += [*raw.sides, raw.wall, raw.gap]
    for at, row in enumerate(cartons):
        found += _three(_dict(row, f"cartons[{at}]").get("inner_mm"), f"cartons[{at}].inner_mm")
    return found


def read_request(request: object) -> PackingProblem:
    """Read `packing.plan`'s request (README.md). Raises BadRequest naming the field and the value seen."""
    whole = _dict(request, "the request")
    pieces = _list(whole.get("pieces"), "pieces", MAX_KINDS)
    cartons = _list(whole.get("cartons"), "cartons", MAX_CARTONS)
    dressing = {} if whole.get("dressing") is None else _dict(whole["dressing"], "dressing")
    packs = _list(dressing.get("chill") or [], "dressing.chill", 12)
    raws = [_raw_piece(row, f"pieces[{at}]", False, at) for at, row in enumerate(pieces)]
    raws += [_raw_piece(row, f"dressing.chill[{at}]", True, at) for at, row in enumerate(packs)]
    liner, reserve = (
        _length(dressing, "liner_mm", "dressing"),
        _length(dressing, "reserve_top_mm", "dressing"),
    )
    scale = units_per_mm(_lengths(raws, cartons, [liner, reserve]))
    items = tuple(_kind(raw, scale) for raw in raws)
    _check_counts(items)
    listed = tuple(_carton(row, f"cartons[{at}]", liner, reserve, scale) for at, row in enumerate(cartons))
    _different([carton.id for carton in listed], "cartons")
    posting, seconds = whole.get("posting"), whole.get("seconds")
    return PackingProblem(
        items=tuple(sorted((item for item in items if not item.chill and item.count), key=_standing_order)),
        chill=tuple(sorted((item for item in items if item.chill and item.count), key=_standing_order)),
        cartons=tuple(sorted(listed, key=lambda carton: (carton.inner_volume, carton.id))),
        scale=scale,
        liner=up(liner, scale),
        liner_mm=liner,
        liner_mg_per_m2=_mg(dressing, "liner_g_per_m2", "dressing"),
        liner_cents=_whole(dressing.get("liner_cents") or 0, "dressing.liner_cents"),
        filler_mg_per_l=_mg(dressing, "filler_g_per_l", "dressing"),
        filler_cents_per_l=_or_zero(dressing, "filler_cents_per_l", "dressing"),
        posting=None if posting is None else _dict(posting, "posting"),
        support=_flag(whole, "support", "the request", True),
        seconds=None if seconds is None else read_number(seconds, "seconds"),
        unit="mm" if whole.get("unit") == "mm" else "in",
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
