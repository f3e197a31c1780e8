"""`packing.plan`: from an order and the cartons in the house to parcels that a helper can pack (README.md has the contract)."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from honeyhold.packing.fit import EXACT_PIECES
from honeyhold.packing.instructions import beds_of, numbered, packing_order, step_rows, turn_word
from honeyhold.packing.model.container import Effort, Placement
from honeyhold.packing.model.measures import MM_PER_IN, mm
from honeyhold.packing.model.plan import CartonRefused, MeasuresMm, PackingPlan, ParcelPlan, PlacedPiece
from honeyhold.packing.model.problem import ItemType, PackingProblem, problem_of
from honeyhold.packing.model.request import PackingRequest
from honeyhold.packing.model.strength import caution
from honeyhold.packing.partition.choice import CartonSelection, Parcel, choose
from honeyhold.packing.partition.large_order import cartons_smaller_or_cheaper, split_roughly
from honeyhold.packing.postage.quote import Posting, length_plus_girth
from honeyhold.packing.reasons import why_not

STEPS_PER_SECOND = 250_000
DEFAULT_SECONDS = Fraction(3, 10)  # the caller is on the line; at the bench `seconds` may ask for more
MOST_SECONDS = Fraction(3)  # whoever asks: past it the answer is the best found
MOST_SECONDS_MANY = Fraction(3, 2)  # past EXACT_PIECES, where dividing takes as much again
MAX_WHY_NOT = 40
LIFT_G = 23_133
"""51 lb: the load constant of the NIOSH lifting equation, the most for one person under the best conditions."""
TOO_HEAVY = "Heavier than 51 lb: two people lift it, or split it."


def plan_parcels(request: PackingRequest) -> PackingPlan:
    """Plan the parcels of an order. Raises BadRequest; an order that goes into nothing is a plan with no parcels."""
    problem = problem_of(request)
    posting = problem.posting
    allowed = DEFAULT_SECONDS if problem.seconds is None else min(problem.seconds, _most_seconds(problem))
    effort = Effort(int(allowed * STEPS_PER_SECOND))
    selection = CartonSelection(problem, posting, effort, most_steps=int(allowed * STEPS_PER_SECOND) * 3 // 2)
    parcels, proved = choose(selection)
    ran_out = effort.left <= 0
    if not parcels and not proved:
        effort.left = max(effort.left, int(allowed * STEPS_PER_SECOND) // 2, 20_000)
        parcels = split_roughly(selection, tuple(item.count for item in problem.items))
    chosen = [parcel.figures.carton for parcel in parcels]
    whole = tuple(item.count for item in problem.items)
    used = effort.used
    effort.left = max(effort.left, int(allowed * STEPS_PER_SECOND) // 4, 20_000)
    asked = sorted(
        cartons_smaller_or_cheaper(problem.cartons, chosen),
        key=lambda carton: (carton.inner_volume, carton.id),
    )
    if len(parcels) > 1:
        asked = sorted({*asked, *problem.cartons}, key=lambda carton: (carton.inner_volume, carton.id))
    return PackingPlan(
        parcels=tuple(_told(parcel, selection, posting) for parcel in parcels),
        proved=proved,
        said=_said(parcels, proved, ran_out),
        why_not=tuple(CartonRefused(carton.id, why_not(selection, whole, carton)) for carton in asked[:MAX_WHY_NOT]),
        cost_cents=sum(parcel.figures.cents for parcel in parcels),
        seconds=round(used / STEPS_PER_SECOND, 3),
    )


def _most_seconds(problem: PackingProblem) -> Fraction:
    return MOST_SECONDS if sum(item.count for item in problem.items) <= EXACT_PIECES else MOST_SECONDS_MANY


def _said(parcels: list[Parcel], proved: bool, used_up: bool) -> str:
    if not parcels:
        return "Nothing here holds this order." if proved else "No way to pack this order was found."
    names: dict[str, int] = {}
    for parcel in parcels:
        names[parcel.figures.carton.label] = names.get(parcel.figures.carton.label, 0) + 1
    list_of = " and ".join(f"{count} of {name}" if count > 1 else name for name, count in names.items())
    if proved:
        return f"{list_of}: proved, nothing smaller or cheaper does."
    return f"{list_of}: the best found, not proved" + (" (the effort allowed ran out)." if used_up else ".")


def _notes(parcel: Parcel, posting: Posting | None) -> list[str]:
    found, notes = parcel.figures, []
    if posting and posting.note:
        notes.append(posting.note)
    if found.quote:
        notes += [f"Fee: {what}." for what, _ in found.quote.fees]
        if found.quote.volumetric_lb and found.quote.volumetric_lb * 16 >= found.quote.charged_oz:
            notes.append(f"Charged by its size, {found.quote.volumetric_lb} lb, not by its weight.")
    board = found.carton
    if board.edge_crush_lb_per_in and board.board_in:
        weak = caution(board.outer, found.gross_mg / 1000, board.edge_crush_lb_per_in, board.board_in)
        notes += [weak] if weak else []
    if found.gross_mg > 1000 * LIFT_G:
        notes.append(TOO_HEAVY)
    return notes


def _told(parcel: Parcel, selection: CartonSelection, posting: Posting | None) -> ParcelPlan:
    found, problem = parcel.figures, selection.problem
    carton, quote = found.carton, found.quote
    placements = packing_order(parcel.verdict.placements)
    rows = step_rows(placements, selection.items, problem, found)
    girth = length_plus_girth(carton.outer)
    return ParcelPlan(
        carton=carton.id,
        label=carton.label,
        inner_mm=_in_mm(carton.inner),
        outer_mm=_in_mm(carton.outer),
        placements=_placed(placements, selection.items, problem),
        steps=numbered(rows),
        step_rows=rows,
        contents={item.id: count for item, count in zip(problem.items, parcel.counts, strict=True) if count},
        gross_g=ceil(Fraction(found.gross_mg, 1000)),
        gross_sd_g=round(found.sd_mg / 1000, 2),
        void_l=round(float(found.void_mm3 / 1_000_000), 3),
        filler_g=round(Fraction(found.filler_mg, 1000)),
        length_plus_girth_mm=mm(girth),
        united_mm=mm(sum(carton.outer, Fraction(0))),
        length_plus_girth_in=round(float(girth / MM_PER_IN), 2),
        volumetric_lb=quote.volumetric_lb if quote else None,
        charged_g=quote.charged_g if quote else None,
        charged_lb=quote.charged_lb if quote else None,
        posting_cents=quote.cents if quote else None,
        cost_cents=found.cents,
        notes=tuple(_notes(parcel, posting)),
    )


def _in_mm(sides: tuple[Fraction, Fraction, Fraction]) -> MeasuresMm:
    return mm(sides[0]), mm(sides[1]), mm(sides[2])


def _placed(placements: list[Placement], items: tuple[ItemType, ...], problem: PackingProblem) -> tuple[PlacedPiece, ...]:
    starts = {start for placement in placements for start in (placement.x, placement.y, placement.z)}
    at_mm = {start: mm(Fraction(start, problem.scale) + problem.liner_mm) for start in starts}
    sides = {side for placement in placements for side in (placement.dx, placement.dy, placement.dz)}
    side_mm = {side: mm(side, problem.scale) for side in sides}
    return tuple(
        PlacedPiece(
            piece=items[placement.item].id,
            step=step,
            at_mm=(at_mm[placement.x], at_mm[placement.y], at_mm[placement.z]),
            size_mm=(side_mm[placement.dx], side_mm[placement.dy], side_mm[placement.dz]),
            turn=turn_word(items[placement.item], placement),
            bed_mm=mm(bed, problem.scale),
        )
        for step, (placement, bed) in enumerate(zip(placements, beds_of(placements), strict=True), start=1)
    )
