"""Dividing an order that is too large to divide exactly: even shares first, then filling carton after carton. Best found, never proved."""

from __future__ import annotations

from honeyhold.bench.choose import Chooser, Counts, Parcel
from honeyhold.bench.fit import EXACT_PIECES, FITS
from honeyhold.bench.split_many import even_shares, split_many
from honeyhold.bench.wanted import Carton

MAX_PARCELS = 40


def _packed(chooser: Chooser, counts: Counts, used: dict[str, int]) -> Parcel | None:
    for carton in chooser.cartons_for(counts):
        if carton.in_stock is not None and used.get(carton.id, 0) >= carton.in_stock:
            continue
        verdict = chooser.verdict(counts, carton, 12)
        if verdict.state == FITS:
            return Parcel(counts, chooser.figures_of(counts, carton), verdict)
    return None


def _all_packed(chooser: Chooser, shares: list[Counts]) -> list[Parcel]:
    used: dict[str, int] = {}
    parcels: list[Parcel] = []
    for counts in shares:
        parcel = _packed(chooser, counts, used)
        if parcel is None:
            return []
        used[parcel.figures.carton.id] = used.get(parcel.figures.carton.id, 0) + 1
        parcels.append(parcel)
    return parcels


def _most_that_fits(chooser: Chooser, left: Counts, used: dict[str, int]) -> Parcel | None:
    """The fullest single parcel from what is left: the same fraction of every kind, as large as goes in."""
    for parts in range(1, sum(left) + 1):
        counts = tuple(-(-count // parts) for count in left)
        parcel = _packed(chooser, counts, used)
        if parcel:
            return parcel
    for kind, count in enumerate(left):
        if count:
            single = tuple(1 if at == kind else 0 for at in range(len(left)))
            parcel = _packed(chooser, single, used)
            if parcel:
                return parcel
    return None


def _filled(chooser: Chooser, whole: Counts) -> list[Parcel]:
    left, used = whole, dict[str, int]()
    parcels: list[Parcel] = []
    while any(left):
        parcel = _most_that_fits(chooser, left, used) if len(parcels) < MAX_PARCELS else None
        if parcel is None:
            return []
        used[parcel.figures.carton.id] = used.get(parcel.figures.carton.id, 0) + 1
        parcels.append(parcel)
        left = tuple(have - gone for have, gone in zip(left, parcel.counts, strict=True))
    return parcels


def split_roughly(chooser: Chooser, whole: Counts) -> list[Parcel]:
    """Parcels for an order that was not divided exactly, or none when no way was found."""
    if sum(whole) > EXACT_PIECES:
        return split_many(chooser, whole)
    for parcels in range(2, min(MAX_PARCELS, sum(whole)) + 1):
        found = _all_packed(chooser, even_shares(whole, parcels))
        if found:
            return found
        if parcels > 8 and not chooser.effort.left:
            break
    return _filled(chooser, whole)


def cartons_smaller_or_cheaper(cartons: tuple[Carton, ...], chosen: list[Carton]) -> list[Carton]:
    """Cartons that someone at the bench would ask about: smaller inside or cheaper than one that was chosen (all, when none was)."""
    if not chosen:
        return list(cartons)
    roomiest, dearest = (
        max(carton.inner_volume for carton in chosen),
        max(carton.cost_cents for carton in chosen),
    )
    return [carton for carton in cartons if carton not in chosen and (carton.inner_volume < roomiest or carton.cost_cents < dearest)]
