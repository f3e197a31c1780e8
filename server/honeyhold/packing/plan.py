"""`packing.plan`: from an order and the cartons in the house to parcels that a helper can pack (README.md has the contract)."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import Any

from honeyhold.packing.fit import EXACT_PIECES
from honeyhold.packing.instructions import beds_of, numbered, packing_order, step_rows, turn_word
from honeyhold.packing.model.container import Effort, Put
from honeyhold.packing.model.measures import MM_PER_IN, mm
from honeyhold.packing.model.request import Kind, Wanted, read_request
from honeyhold.packing.model.strength import caution
from honeyhold.packing.partition.choice import Chooser, Parcel, choose
from honeyhold.packing.partition.large_order import cartons_smaller_or_cheaper, split_roughly
from honeyhold.packing.postage.quote import Posting, length_plus_girth, read_posting
from honeyhold.packing.reasons import why_not

STEPS_PER_SECOND = 250_000
DEFAULT_SECONDS = Fraction(3, 10)  # the caller is on the line; at the bench `seconds` may ask for more
MOST_SECONDS = Fraction(3)  # whoever asks: past it the answer is the best found
MOST_SECONDS_MANY = Fraction(3, 2)  # past EXACT_PIECES, where dividing takes as much again
MAX_WHY_NOT = 40


def plan(request: dict[str, Any]) -> dict[str, Any]:
    """Plan the parcels of an order. Raises BadRequest; an order that goes into nothing is an answer with no parcels."""
    wanted = read_request(request)
    posting = read_posting(wanted.posting) if wanted.posting is not None else None
    allowed = DEFAULT_SECONDS if wanted.seconds is None else min(wanted.seconds, _most_seconds(wanted))
    effort = Effort(int(allowed * STEPS_PER_SECOND))
    chooser = Chooser(wanted, posting, effort, most_steps=int(allowed * STEPS_PER_SECOND) * 3 // 2)
    parcels, proved = choose(chooser)
    ran_out = effort.left <= 0
    if not parcels and not proved:
        effort.left = max(effort.left, int(allowed * STEPS_PER_SECOND) // 2, 20_000)
        parcels = split_roughly(chooser, tuple(kind.count for kind in wanted.kinds))
    chosen = [parcel.figures.carton for parcel in parcels]
    whole = tuple(kind.count for kind in wanted.kinds)
    used = effort.used
    effort.left = max(effort.left, int(allowed * STEPS_PER_SECOND) // 4, 20_000)
    asked = sorted(
        cartons_smaller_or_cheaper(wanted.cartons, chosen),
        key=lambda carton: (carton.inner_volume, carton.id),
    )
    if len(parcels) > 1:
        asked = sorted({*asked, *wanted.cartons}, key=lambda carton: (carton.inner_volume, carton.id))
    reasons = [{"carton": carton.id, "why": why_not(chooser, whole, carton)} for carton in asked[:MAX_WHY_NOT]]
    return {
        "parcels": [_told(parcel, chooser, posting) for parcel in parcels],
        "proved": proved,
        "said": _said(parcels, proved, ran_out),
        "why_not": reasons,
        "cost_cents": sum(parcel.figures.cents for parcel in parcels),
        "seconds": round(used / STEPS_PER_SECOND, 3),
    }


def _most_seconds(wanted: Wanted) -> Fraction:
    return MOST_SECONDS if sum(kind.count for kind in wanted.kinds) <= EXACT_PIECES else MOST_SECONDS_MANY


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
    if found.gross_mg > 23_000_000:
        notes.append("Over 50 lb: lift it with two.")
    return notes


def _told(parcel: Parcel, chooser: Chooser, posting: Posting | None) -> dict[str, Any]:
    found, wanted = parcel.figures, chooser.wanted
    carton, quote = found.carton, found.quote
    puts = packing_order(parcel.verdict.puts)
    rows = step_rows(puts, chooser.kinds, wanted, found)
    return {
        "carton": carton.id,
        "label": carton.label,
        "inner_mm": [mm(side) for side in carton.inner],
        "outer_mm": [mm(side) for side in carton.outer],
        "placements": _placements(puts, chooser.kinds, wanted),
        "steps": numbered(rows),
        "step_rows": rows,
        "contents": {kind.id: count for kind, count in zip(wanted.kinds, parcel.counts, strict=True) if count},
        "gross_g": ceil(Fraction(found.gross_mg, 1000)),
        "gross_sd_g": round(found.sd_mg / 1000, 2),
        "void_l": round(float(found.void_mm3 / 1_000_000), 3),
        "filler_g": round(Fraction(found.filler_mg, 1000)),
        "length_plus_girth_mm": mm(length_plus_girth(carton.outer)),
        "united_mm": mm(sum(carton.outer, Fraction(0))),
        "length_plus_girth_in": round(float(length_plus_girth(carton.outer) / MM_PER_IN), 2),
        "volumetric_lb": quote.volumetric_lb if quote else None,
        "charged_g": quote.charged_g if quote else None,
        "charged_lb": quote.charged_lb if quote else None,
        "posting_cents": quote.cents if quote else None,
        "cost_cents": found.cents,
        "notes": _notes(parcel, posting),
    }


def _placements(puts: list[Put], kinds: tuple[Kind, ...], wanted: Wanted) -> list[dict[str, Any]]:
    told = []
    starts = {start for put in puts for start in (put.x, put.y, put.z)}
    at_mm = {start: mm(Fraction(start, wanted.scale) + wanted.liner_mm) for start in starts}
    side_mm = {side: mm(side, wanted.scale) for side in {side for put in puts for side in (put.dx, put.dy, put.dz)}}
    for step, (put, bed) in enumerate(zip(puts, beds_of(puts), strict=True), start=1):
        kind = kinds[put.kind]
        told.append(
            {
                "piece": kind.id,
                "step": step,
                "at_mm": [at_mm[put.x], at_mm[put.y], at_mm[put.z]],
                "size_mm": [side_mm[put.dx], side_mm[put.dy], side_mm[put.dz]],
                "turn": turn_word(kind, put),
                "bed_mm": mm(bed, wanted.scale),
            }
        )
    return told
