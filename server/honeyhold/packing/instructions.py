"""The packing told in order: which piece next, how it lies, and where filler goes under it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from honeyhold.packing.model.container import Placement
from honeyhold.packing.model.figures import Figures
from honeyhold.packing.model.measures import say_in, say_mm, say_weight
from honeyhold.packing.model.plan import PackingStep
from honeyhold.packing.model.problem import ItemType, PackingProblem

MANY_PIECES = 60
NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def packing_order(placements: Sequence[Placement]) -> list[Placement]:
    """One kind after the other as far as it goes, from the floor up, so that every piece goes straight down onto what is there.

    A piece waits for everything under any part of it. Beyond sixty pieces simply level by level.
    """
    left = sorted(placements, key=lambda placement: placement.key)
    if len(left) > MANY_PIECES:
        return left
    ordered: list[Placement] = []
    while left:
        ready = [placement for at, placement in enumerate(left) if not any(_under(other, placement) for other in left[:at])]
        last = ordered[-1].item if ordered else -1
        following = min(ready, key=lambda placement: (placement.item != last, placement.key))
        ordered.append(following)
        left.remove(following)
    return ordered


def _under(other: Placement, placement: Placement) -> bool:
    """Whether `other` lies lower and under some part of `put`."""
    return (
        other.z < placement.z
        and placement.x < other.x + other.dx
        and other.x < placement.x + placement.dx
        and placement.y < other.y + other.dy
        and other.y < placement.y + placement.dy
    )


def turn_word(item: ItemType, placement: Placement) -> str:
    """How a piece lies: standing, flat (least side up), on edge or on end (longest side up)."""
    if item.upright:
        return "standing"
    low, middle, high = sorted(item.sides)
    if placement.dz == low:
        return "flat"
    return "on edge" if placement.dz == middle and middle != high else "on end"


def beds_of(ordered: Sequence[Placement]) -> list[int]:
    """Thickness of the filler bed right under each piece, in packing order: down to the highest earlier thing below, or to the floor.

    The floor plan is divided into squares no smaller than any piece, so that only what lies near is looked at.
    """
    wide = max((max(placement.dx, placement.dy) for placement in ordered), default=1)
    squares: dict[tuple[int, int], list[Placement]] = {}
    beds = []
    for placement in ordered:
        across = range(placement.x // wide, (placement.x + placement.dx - 1) // wide + 1)
        deep = range(placement.y // wide, (placement.y + placement.dy - 1) // wide + 1)
        near = [squares.setdefault((at_x, at_y), []) for at_x in across for at_y in deep]
        beds.append(placement.z - max((other.z + other.dz for square in near for other in square if _under(other, placement)), default=0))
        for square in near:
            square.append(placement)
    return beds


def _length(units: int, problem: PackingProblem) -> str:
    length = Fraction(units, problem.scale)
    return say_in(length) if problem.unit == "in" else say_mm(length)


def _word(number: int) -> str:
    return NUMBERS[number] if number < len(NUMBERS) else str(number)


def several(number: int, label: str) -> str:
    """What so many pieces of one label are called: `bars`, not `bar`."""
    return label if number == 1 or label.endswith("s") else f"{label}s"


def _count(number: int, label: str) -> str:
    return f"{_word(number)} {several(number, label)}"


def _where(placement: Placement, bed: int, problem: PackingProblem) -> str:
    if bed:
        return f"on {_length(bed, problem)} of filler"
    return "on the bottom" if placement.z == 0 else "on what is there"


def step_rows(ordered: list[Placement], items: tuple[ItemType, ...], problem: PackingProblem, figures: Figures) -> tuple[PackingStep, ...]:
    """The steps as rows, for whoever ticks them off, in packing order: `piece` is null where nothing but dressing goes in."""
    told: list[PackingStep] = []
    if problem.liner:
        told.append(_dressing(f"Line all six sides, {_length(problem.liner, problem)} thick."))
    beds = beds_of(ordered)
    begin = 0
    while begin < len(ordered):
        end = begin + 1
        while end < len(ordered) and _goes_on(ordered, beds, begin, end, items):
            end += 1
        item = items[ordered[begin].item]
        said = _sentence(begin, ordered[begin:end], beds[begin], item, problem)
        told.append(PackingStep(said, item.id, begin + 1, end - begin))
        begin = end
    if figures.void_mm3 > 0:
        grams = Fraction(figures.filler_mg, 1000)
        said = say_weight(grams, problem.unit)
        weight = "" if said.startswith("0 ") else f" (about {said})"
        told.append(_dressing(f"Fill every gap{weight}, shake gently, top up until the flaps press on it."))
    return tuple(told)


def numbered(rows: Sequence[PackingStep]) -> tuple[str, ...]:
    """The same as plain numbered sentences; numbers in brackets are those in the drawing."""
    return tuple(f"{number}. {row.says}" for number, row in enumerate(rows, start=1))


def _dressing(says: str) -> PackingStep:
    return PackingStep(says, None, None, 1)


def _goes_on(ordered: list[Placement], beds: list[int], begin: int, end: int, items: tuple[ItemType, ...]) -> bool:
    """Whether the next piece belongs into the same sentence: same kind, same turn, level with the first or straight on the others."""
    first, other = ordered[begin], ordered[end]
    if other.item != first.item or turn_word(items[first.item], first) != turn_word(items[other.item], other):
        return False
    gap = items[first.item].gap
    return (other.z == first.z and beds[end] == beds[begin]) or (other.z > first.z and beds[end] == gap)


def _layers(run: list[Placement]) -> str:
    """`, five layers of two` for a pile, nothing for a single layer."""
    levels: dict[int, int] = {}
    for placement in run:
        levels[placement.z] = levels.get(placement.z, 0) + 1
    if len(levels) < 2:
        return ""
    each = set(levels.values())
    if each == {1}:
        return ", one on the other"
    return f", {_word(len(levels))} layers of {_word(each.pop())}" if len(each) == 1 else f", in {_word(len(levels))} layers"


def _sentence(at: int, run: list[Placement], bed: int, item: ItemType, problem: PackingProblem) -> str:
    marks = f"[{at + 1}]" if len(run) == 1 else f"[{at + 1} to {at + len(run)}]"
    apart = f", {_length(item.gap, problem)} apart" if len(run) > 1 and item.gap else ""
    walls = f", {_length(item.wall, problem)} from the walls" if item.wall else ""
    layers = _layers(run)
    start = f"{_count(len(run), item.label)} {turn_word(item, run[0])}{layers}{',' if layers else ''}"
    said = f"{start} {_where(run[0], bed, problem)}{apart}{walls} {marks}."
    return said[0].upper() + said[1:]
