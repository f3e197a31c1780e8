"""What a caller is told of the parcel: its plan in words, what mailing costs, what is kept of it when it is packed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from honeyhold.packing.model.plan import ParcelPlan
from honeyhold.packing.model.request import PackingRequest
from honeyhold.wire import OMIT_NONE


@dataclass(frozen=True)
class KeptPiece:
    """What a kept plan knows of a sort of piece."""

    id: str
    label: str
    texture: str
    mass_mg: int
    mass_sd_mg: int


@dataclass(frozen=True)
class KeptPlan:
    """A parcel as its row keeps it in `plan`: whole numbers and text only, lengths in micrometers, masses in milligrams.

    A placement is `(piece, x, y, z, length, width, height)`; `piece` counts from 0 in `pieces`, cold packs included.
    """

    name: str
    steps: tuple[str, ...]
    contents: Mapping[str, int]
    notes: tuple[str, ...]
    inner_um: tuple[int, ...]
    outer_um: tuple[int, ...]
    liner_um: int
    gross_sd_mg: int
    pieces: tuple[KeptPiece, ...]
    placements: tuple[tuple[int, ...], ...]
    posting_cents: int | None = field(default=None, metadata=OMIT_NONE)


@dataclass(frozen=True)
class QuotedParcel(ParcelPlan):
    """A planned parcel in words."""

    part: int
    of: int
    carton_name: str
    gross_words: str
    kept: KeptPlan


@dataclass(frozen=True)
class NamedRefusal:
    """A carton that was not taken, by its name, and why."""

    carton: str
    name: str
    why: str


@dataclass(frozen=True)
class Postage:
    """What mailing the whole order costs by the house's table; where it does not say, why not."""

    posting_cents: int | None
    posting_words: str
    posting_unknown: str


@dataclass(frozen=True)
class Quote:
    """The parcels of an order in one dressing, as they are told. `bench` is the question that packing was asked."""

    ok: bool
    words: str
    parcels: tuple[QuotedParcel, ...]
    proved: bool
    said: str
    why_not: tuple[NamedRefusal, ...]
    cautions: tuple[str, ...]
    dressing: str
    dressing_words: str
    cost_cents: int
    bench: PackingRequest
    posting_cents: int | None = None
    posting_words: str = ""
    posting_unknown: str = ""
