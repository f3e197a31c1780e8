"""Why not the other carton: one plain sentence with its numbers, millimetres first and the house's inches beside them."""

from __future__ import annotations

from fractions import Fraction

from honeyhold.packing.fit import FITS, NEVER, Verdict, fit
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.measures import MM_PER_IN, say_in, say_mm
from honeyhold.packing.model.request import Carton, Kind, Sides, Wanted
from honeyhold.packing.partition.choice import Chooser, Counts

AXES = ("long", "wide", "high")
SAY_AGAIN_STEPS = 50_000


def _sum_text(wanted: Wanted, count: int, side: int, kind: Kind, room: int) -> str:
    """`3 x 72 mm + 2 x 25 mm + 2 x 50 mm = 366 mm > 203 mm (14 3/8 in > 8 in)`."""
    scale = wanted.scale
    parts = [f"{count} x {say_mm(Fraction(side, scale))}" if count > 1 else say_mm(Fraction(side, scale))]
    if count > 1 and kind.gap:
        parts.append(f"{count - 1} x {say_mm(Fraction(kind.gap, scale))}" if count > 2 else say_mm(Fraction(kind.gap, scale)))
    if kind.wall:
        parts.append(f"2 x {say_mm(Fraction(kind.wall, scale))}")
    needs = Fraction(count * side + (count - 1) * kind.gap + 2 * kind.wall, scale)
    total = f" = {say_mm(needs)}" if len(parts) > 1 and wanted.unit == "mm" else ""
    inches = f" ({_inches_over(needs, Fraction(room, scale))})" if wanted.unit == "in" else ""
    return f"{' + '.join(parts)}{total} > {say_mm(Fraction(room, scale))}{inches}"


def _inches_over(needs: Fraction, room: Fraction) -> str:
    """`14 3/8 in > 8 in`; where both round to the same fraction, to a thousandth, or it would read like a fault."""
    one, other = say_in(needs), say_in(room)
    return f"{one} > {other}" if one != other else f"{float(needs / MM_PER_IN):.3f} in > {float(room / MM_PER_IN):.3f} in"


def _alone(wanted: Wanted, kind: Kind, room: Sides) -> str:
    """Why one piece cannot be in the empty room: its height if it must stand, else the turn that comes closest."""
    if kind.upright and kind.sides[2] + 2 * kind.wall > room[2]:
        return f"{kind.label} must stand: {_sum_text(wanted, 1, kind.sides[2], kind, room[2])}"

    def over(turn: Sides) -> int:
        return max(side + 2 * kind.wall - edge for side, edge in zip(turn, room, strict=True))

    turn = min(kind.turns, key=over)
    axis = max(range(3), key=lambda at: turn[at] + 2 * kind.wall - room[at])
    return f"{kind.label} is too {AXES[axis]}: {_sum_text(wanted, 1, turn[axis], kind, room[axis])}"


def _along(kind: Kind, side: int, edge: int) -> int:
    """How many pieces of one side stand in a row along an edge."""
    return max(0, (edge - 2 * kind.wall + kind.gap) // (side + kind.gap))


def _rows(wanted: Wanted, kind: Kind, count: int, room: Sides) -> str:
    """Say how many of one kind go in, and which row is one too many."""
    best, best_turn, best_along = 0, kind.turns[0], (0, 0, 0)
    for turn in kind.turns:
        along = (
            _along(kind, turn[0], room[0]),
            _along(kind, turn[1], room[1]),
            _along(kind, turn[2], room[2]),
        )
        if along[0] * along[1] * along[2] > best:
            best, best_turn, best_along = along[0] * along[1] * along[2], turn, along
    if not best:
        return _alone(wanted, kind, room)
    axis = max(range(3), key=lambda at: best_along[at] if at < 2 or not kind.upright else -1)
    one_more = _sum_text(wanted, best_along[axis] + 1, best_turn[axis], kind, room[axis])
    rows = " by ".join(str(number) for number in best_along)
    return f"{count} {kind.label} do not go in (in straight rows {best}: {rows}): {one_more}"


def _never(chooser: Chooser, counts: list[int], carton: Carton, verdict: Verdict) -> str:
    wanted, kinds = chooser.wanted, chooser.kinds
    if not all(carton.room):
        return "the liner and the room kept free on top leave nothing inside"
    if verdict.by == "alone":
        return _alone(wanted, kinds[verdict.part], carton.room)
    used = [at for at, count in enumerate(counts) if count]
    if verdict.by == "volume":
        need = sum(kind.volume * count for kind, count in zip(kinds, counts, strict=True))
        inside = carton.room[0] * carton.room[1] * carton.room[2]
        return f"the pieces alone take {_litres(need, wanted)}; there are {_litres(inside, wanted)} inside"
    one_kind = used[0] if len(used) == 1 and verdict.by != "floor" else -1
    part = verdict.part if verdict.by == "part" and verdict.part >= 0 else one_kind
    if part >= 0:
        return _rows(wanted, kinds[part], counts[part], carton.room)
    if verdict.by == "floor":
        return "nothing may stand on them, and side by side on the floor, gaps and walls kept, they do not go in"
    if verdict.by == "part":
        return "what must stand does not go in side by side with its gaps"
    if verdict.by == "bound":
        return "the pieces with their gaps and the space to the walls take more than the room inside"
    return "every way of setting the pieces was ruled out, gaps and walls kept"


def _litres(volume: int, wanted: Wanted) -> str:
    litres = volume / wanted.scale**3 / 1_000_000
    return f"{litres:.2f} l ({litres * 61.0237441:.0f} cubic in)" if wanted.unit == "in" else f"{litres:.2f} l"


def _say_again(chooser: Chooser, whole: Counts, carton: Carton, verdict: Verdict) -> Verdict:
    """What a smaller order or a larger room had ruled out, ruled out again for this carton, to have its numbers."""
    found = fit(carton.room, chooser.kinds, chooser.with_chill(whole), chooser.wanted.support, Effort(SAY_AGAIN_STEPS))
    return found if found.state == NEVER else verdict


def why_not(chooser: Chooser, whole: Counts, carton: Carton) -> str:
    """The sentence for one carton that was not chosen, asked about the whole order in one parcel."""
    refused = chooser.figures_of(whole, carton).refused
    if refused and refused.startswith("none left"):
        return refused
    verdict = chooser.verdicts.get((whole, carton.id)) or chooser.verdict(whole, carton, 4)
    if verdict.by == "less":
        verdict = _say_again(chooser, whole, carton, verdict)
    if verdict.state == NEVER:
        return _never(chooser, chooser.with_chill(whole), carton, verdict)
    if refused:
        return refused
    if verdict.state == FITS:
        return _dearer(chooser, whole, carton)
    return "no way of packing it was found in the effort allowed"


def _dearer(chooser: Chooser, whole: Counts, carton: Carton) -> str:
    found = chooser.figures_of(whole, carton)
    charged = f", charged as {found.quote.charged_lb} lb" if found.quote and chooser.priced else ""
    return f"all of it goes in, but costs more in all: ${found.cents / 100:.2f}{charged}"
