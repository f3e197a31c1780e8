"""What a parcel weighs, holds and costs, before anyone asks whether its pieces fit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, sqrt

from honeyhold.packing.model.measures import say_in, say_mm, say_weight
from honeyhold.packing.model.problem import ItemType, LinedCarton, PackingProblem
from honeyhold.packing.postage.quote import Posting, Quote, judge

FILLER_SD_PERCENT = 10  # of the filler's mass; common practice, no source
MM3_PER_L = 1_000_000


@dataclass(frozen=True)
class Figures:
    """One carton with given contents. `refused` is empty when no limit stands against it."""

    carton: LinedCarton
    void_mm3: Fraction
    filler_mg: int
    gross_mg: int
    sd_mg: float
    cents: int
    quote: Quote | None
    refused: str


def _void_mm3(carton: LinedCarton, problem: PackingProblem, items: tuple[ItemType, ...], counts: list[int]) -> Fraction:
    """Room inside the liner (the reserve on top included) less the bounding boxes of all pieces."""
    pieces = sum(item.volume * count for item, count in zip(items, counts, strict=True))
    return max(Fraction(0), problem.lined_mm3[carton.id] - Fraction(pieces, problem.scale**3))


def figures(
    carton: LinedCarton, problem: PackingProblem, items: tuple[ItemType, ...], counts: list[int], posting: Posting | None
) -> Figures:
    """Weigh and price `counts` of `items` in `carton`: pieces + carton + liner + cold packs + filler, in whole milligrams."""
    void = _void_mm3(carton, problem, items, counts)
    filler = round(void * problem.filler_mg_per_l / MM3_PER_L) if problem.filler_mg_per_l else 0
    pieces = sum(item.mass_mg * count for item, count in zip(items, counts, strict=True))
    gross = carton.tare_mg + problem.liners_mg[carton.id] + filler + pieces
    spread = sum(item.sd_mg**2 * count for item, count in zip(items, counts, strict=True))
    spread += carton.tare_sd_mg**2 + (filler * FILLER_SD_PERCENT // 100) ** 2
    quote = judge(carton.outer, Fraction(gross, 1000), posting, carton.flat_cents) if posting else None
    filling = ceil(void * problem.filler_cents_per_l / MM3_PER_L) if problem.filler_cents_per_l else 0
    cents = carton.cost_cents + problem.liner_cents + filling + ((quote.cents or 0) if quote else 0)
    return Figures(carton, void, filler, gross, sqrt(spread), cents, quote, _refused(carton, gross, quote, problem.unit))


def _refused(carton: LinedCarton, gross_mg: int, quote: Quote | None, unit: str) -> str:
    if carton.in_stock == 0:
        return "none left on the shelf"
    if carton.max_gross_mg is not None and gross_mg > carton.max_gross_mg:
        heavy, most = (
            say_weight(Fraction(gross_mg, 1000), unit),
            say_weight(Fraction(carton.max_gross_mg, 1000), unit),
        )
        return f"too heavy: {heavy} ({gross_mg / 1000:.0f} g) is over the {most} ({carton.max_gross_mg / 1000:.0f} g) it bears"
    united, most_united = sum(carton.outer, Fraction(0)), carton.max_united_mm
    if most_united is not None and united > most_united:
        say = say_in if unit == "in" else say_mm
        return f"its sides together, {say(united)}, are over the {say(most_united)} its board is certified for"
    return "" if quote is None or quote.allowed else quote.why
