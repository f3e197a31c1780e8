"""A planned order: its parcels as a person packs, weighs and posts them. The fields are those of `packing.plan`'s answer (README.md)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

MeasuresMm = tuple[float, float, float]


@dataclass(frozen=True)
class PlacedPiece:
    """A piece where it stands, measured from the carton's inner left back bottom corner; `bed_mm` of filler under it."""

    piece: str
    step: int
    at_mm: MeasuresMm
    size_mm: MeasuresMm
    turn: str
    bed_mm: float


@dataclass(frozen=True)
class PackingStep:
    """A sentence to pack by: which piece goes in (None: dressing), its first number in the drawing, how many of it."""

    says: str
    piece: str | None
    first: int | None
    count: int


@dataclass(frozen=True)
class ParcelPlan:
    """One parcel: its carton, what stands where, what it weighs and costs."""

    carton: str
    label: str
    inner_mm: MeasuresMm
    outer_mm: MeasuresMm
    placements: tuple[PlacedPiece, ...]
    steps: tuple[str, ...]
    step_rows: tuple[PackingStep, ...]
    contents: Mapping[str, int]
    gross_g: int
    gross_sd_g: float
    void_l: float
    filler_g: int
    length_plus_girth_mm: float
    united_mm: float
    length_plus_girth_in: float
    volumetric_lb: int | None
    charged_g: int | None
    charged_lb: int | None
    posting_cents: int | None
    cost_cents: int
    notes: tuple[str, ...]


@dataclass(frozen=True)
class CartonRefused:
    """A carton that was not taken, and why."""

    carton: str
    why: str


@dataclass(frozen=True)
class PackingPlan:
    """The parcels of an order; none when nothing holds it. `proved`: every better choice was ruled out."""

    parcels: tuple[ParcelPlan, ...]
    proved: bool
    said: str
    why_not: tuple[CartonRefused, ...]
    cost_cents: int
    seconds: float
