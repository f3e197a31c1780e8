"""Why not the other carton: one plain sentence with its numbers, in the lengths that the house uses."""

from __future__ import annotations

from fractions import Fraction

from honeyhold.packing.fit import FITS, NEVER, FitResult, fit
from honeyhold.packing.instructions import several
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.measures import MM_PER_IN, say_in, say_mm
from honeyhold.packing.model.problem import ItemType, LinedCarton, PackingProblem, Sides
from honeyhold.packing.partition.choice import CartonSelection, Counts

AXES = ("long", "wide", "high")
SAY_AGAIN_STEPS = 50_000


def _sum_text(problem: PackingProblem, count: int, side: int, item: ItemType, room: int) -> str:
    """`3 x 72 mm + 2 x 25 mm + 2 x 50 mm = 366 mm > 203 mm`; in inches the sum alone, for rounded parts would not add up to it."""
    needs, inside = Fraction(count * side + (count - 1) * item.gap + 2 * item.wall, problem.scale), Fraction(room, problem.scale)
    if problem.unit == "in":
        return _in_inches(count, needs, inside, bool(item.wall))
    parts = [(count, side), (count - 1, item.gap), (2 if item.wall else 0, item.wall)]
    told = [f"{times} x {say_mm(Fraction(one, problem.scale))}".removeprefix("1 x ") for times, one in parts if times and one]
    total = f" = {say_mm(needs)}" if len(told) > 1 else ""
    return f"{' + '.join(told)}{total} > {say_mm(inside)}"


def _in_inches(count: int, needs: Fraction, inside: Fraction, walled: bool) -> str:
    """`a row of 6 takes 14 3/8 in with what goes around them, and there are 8 in`; where both round to the same fraction, to a thousandth,
    or it would read like a fault."""
    one, other = say_in(needs), say_in(inside)
    if one == other:
        one, other = f"{float(needs / MM_PER_IN):.3f} in", f"{float(inside / MM_PER_IN):.3f} in"
    row, whom = (f"a row of {count} takes", "them") if count > 1 else ("it takes", "it")
    around = f" with what goes around {whom}" if walled else ""
    return f"{row} {one}{around}, and there are {other}"


def _alone(problem: PackingProblem, item: ItemType, room: Sides) -> str:
    """Why one piece cannot be in the empty room: its height if it must stand, else the turn that comes closest."""
    if item.upright and item.sides[2] + 2 * item.wall > room[2]:
        return f"{item.label} must stand: {_sum_text(problem, 1, item.sides[2], item, room[2])}"

    def over(turn: Sides) -> int:
        return max(side + 2 * item.wall - edge for side, edge in zip(turn, room, strict=True))

    turn = min(item.orientations, key=over)
    axis = max(range(3), key=lambda at: turn[at] + 2 * item.wall - room[at])
    return f"{item.label} is too {AXES[axis]}: {_sum_text(problem, 1, turn[axis], item, room[axis])}"


def _along(item: ItemType, side: int, edge: int) -> int:
    """How many pieces of one side stand in a row along an edge."""
    return max(0, (edge - 2 * item.wall + item.gap) // (side + item.gap))


def _rows(problem: PackingProblem, item: ItemType, count: int, room: Sides) -> str:
    """Say how many of one kind go in, and which row is one too many."""
    best, best_turn, best_along = 0, item.orientations[0], (0, 0, 0)
    for turn in item.orientations:
        along = (
            _along(item, turn[0], room[0]),
            _along(item, turn[1], room[1]),
            _along(item, turn[2], room[2]),
        )
        if along[0] * along[1] * along[2] > best:
            best, best_turn, best_along = along[0] * along[1] * along[2], turn, along
    if not best:
        return _alone(problem, item, room)
    axis = max(range(3), key=lambda at: best_along[at] if at < 2 or not item.upright else -1)
    one_more = _sum_text(problem, best_along[axis] + 1, best_turn[axis], item, room[axis])
    rows = " by ".join(str(number) for number in best_along)
    return f"{count} {several(count, item.label)} {'does' if count == 1 else 'do'} not go in (in straight rows {best}: {rows}): {one_more}"


def _never(selection: CartonSelection, counts: list[int], carton: LinedCarton, verdict: FitResult) -> str:
    problem, items = selection.problem, selection.items
    if not all(carton.room):
        return "the liner and the room kept free on top leave nothing inside"
    if verdict.by == "alone":
        return _alone(problem, items[verdict.part], carton.room)
    used = [at for at, count in enumerate(counts) if count]
    if verdict.by == "volume":
        need = sum(item.volume * count for item, count in zip(items, counts, strict=True))
        inside = carton.room[0] * carton.room[1] * carton.room[2]
        return f"the pieces alone take {_litres(need, problem)}; there are {_litres(inside, problem)} inside"
    one_kind = used[0] if len(used) == 1 and verdict.by != "floor" else -1
    part = verdict.part if verdict.by == "part" and verdict.part >= 0 else one_kind
    if part >= 0:
        return _rows(problem, items[part], counts[part], carton.room)
    if verdict.by == "floor":
        return "nothing may stand on them, and side by side on the floor, gaps and walls kept, they do not go in"
    if verdict.by == "part":
        return "what must stand does not go in side by side with its gaps"
    if verdict.by == "bound":
        return "the pieces with their gaps and the space to the walls take more than the room inside"
    return "every way of setting the pieces was ruled out, gaps and walls kept"


def _litres(volume: int, problem: PackingProblem) -> str:
    litres = volume / problem.scale**3 / 1_000_000
    return f"{litres:.2f} l ({litres * 61.0237441:.0f} cubic in)" if problem.unit == "in" else f"{litres:.2f} l"


def _say_again(selection: CartonSelection, whole: Counts, carton: LinedCarton, verdict: FitResult) -> FitResult:
    """What a smaller order or a larger room had ruled out, ruled out again for this carton, to have its numbers."""
    found = fit(carton.room, selection.items, selection.with_chill(whole), selection.problem.support, Effort(SAY_AGAIN_STEPS))
    return found if found.state == NEVER else verdict


def why_not(selection: CartonSelection, whole: Counts, carton: LinedCarton) -> str:
    """The sentence for one carton that was not chosen, asked about the whole order in one parcel."""
    refused = selection.figures_of(whole, carton).refused
    if refused and refused.startswith("none left"):
        return refused
    verdict = selection.verdicts.get((whole, carton.id)) or selection.verdict(whole, carton, 4)
    if verdict.by == "less":
        verdict = _say_again(selection, whole, carton, verdict)
    if verdict.state == NEVER:
        return _never(selection, selection.with_chill(whole), carton, verdict)
    if refused:
        return refused
    if verdict.state == FITS:
        return _dearer(selection, whole, carton)
    return "no way of packing it was found in the effort allowed"


def _dearer(selection: CartonSelection, whole: Counts, carton: LinedCarton) -> str:
    found = selection.figures_of(whole, carton)
    charged = f", charged as {found.quote.charged_lb} lb" if found.quote and selection.priced else ""
    return f"all of it goes in, but costs more in all: ${found.cents / 100:.2f}{charged}"
