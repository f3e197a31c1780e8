"""Dividing an order that is too large to divide exactly: even shares first, then filling carton after carton. Best found, never proved."""

from __future__ import annotations

from honeyhold.packing.fit import EXACT_PIECES
from honeyhold.packing.model.problem import LinedCarton
from honeyhold.packing.partition.choice import CartonSelection, Counts, Parcel
from honeyhold.packing.partition.heuristic import Left, cheapest, evenly, split_many

MAX_PARCELS = 40
SHARE = 12
"""Of the effort left, a carton is asked with one part in so many."""


def _most_that_fits(selection: CartonSelection, left: Left) -> Parcel | None:
    """The fullest single parcel from what is left: the same fraction of every kind, as large as goes in."""
    whole = left.counts
    for parts in range(1, sum(whole) + 1):
        parcel = cheapest(selection, tuple(-(-count // parts) for count in whole), left, SHARE)
        if parcel:
            return parcel
    for item, count in enumerate(whole):
        if count:
            parcel = cheapest(selection, tuple(1 if at == item else 0 for at in range(len(whole))), left, SHARE)
            if parcel:
                return parcel
    return None


def _filled(selection: CartonSelection, whole: Counts) -> list[Parcel]:
    left = Left(whole)
    while any(left.counts):
        parcel = _most_that_fits(selection, left) if len(left.parcels) < MAX_PARCELS else None
        if parcel is None:
            return []
        left.take(parcel)
    return left.parcels


def split_roughly(selection: CartonSelection, whole: Counts) -> list[Parcel]:
    """Parcels for an order that was not divided exactly, or none when no way was found."""
    if sum(whole) > EXACT_PIECES:
        return split_many(selection, whole)
    for parcels in range(2, min(MAX_PARCELS, sum(whole)) + 1):
        found = evenly(selection, whole, parcels, SHARE)
        if found:
            return found
        if parcels > 8 and not selection.effort.left:
            break
    return _filled(selection, whole)


def cartons_smaller_or_cheaper(cartons: tuple[LinedCarton, ...], chosen: list[LinedCarton]) -> list[LinedCarton]:
    """Cartons that someone at the bench would ask about: smaller inside or cheaper than one that was chosen (all, when none was)."""
    if not chosen:
        return list(cartons)
    roomiest, dearest = (
        max(carton.inner_volume for carton in chosen),
        max(carton.cost_cents for carton in chosen),
    )
    return [carton for carton in cartons if carton not in chosen and (carton.inner_volume < roomiest or carton.cost_cents < dearest)]
