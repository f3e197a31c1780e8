"""The packing told in order: which piece next, how it lies, and where filler goes under it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from honeyhold.bench.figures import Figures
from honeyhold.bench.measure import say_in, say_mm
from honeyhold.bench.room import Put
from honeyhold.bench.wanted import Kind, Wanted

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


def packing_order(puts: Sequence[Put]) -> list[Put]:
    """From the floor up, then back to front, left to right; so every piece goes straight down onto what is there."""
    return sorted(puts, key=lambda put: put.key)


def turn_word(kind: Kind, put: Put) -> str:
    """How a piece lies: standing, flat (least side up), on edge or on end (longest side up)."""
    if kind.upright:
        return "standing"
    low, middle, high = sorted(kind.sides)
    if put.dz == low:
        return "flat"
    return "on edge" if put.dz == middle and middle != high else "on end"


def bed_of(put: Put, earlier: Sequence[Put], kinds: tuple[Kind, ...]) -> int:
    """Thickness of the filler bed right under a piece: down to the highest thing below, or to the floor."""
    below = [
        other.z + other.dz
        for other in earlier
        if put.x < other.x + other.dx and other.x < put.x + put.dx and put.y < other.y + other.dy and other.y < put.y + put.dy
    ]
    return put.z - max(below, default=0)


def _length(units: int, wanted: Wanted) -> str:
    length = Fraction(units, wanted.scale)
    return say_in(length) if wanted.unit == "in" else say_mm(length)


def _count(number: int, label: str) -> str:
    word = NUMBERS[number] if number < len(NUMBERS) else str(number)
    return f"{word} x {label}" if number > 1 else f"{word} {label}"


def _where(put: Put, bed: int, wanted: Wanted) -> str:
    if bed:
        return f"on {_length(bed, wanted)} of filler"
    return "on the bottom" if put.z == 0 else "on the layer below"


def steps(puts: Sequence[Put], kinds: tuple[Kind, ...], wanted: Wanted, figures: Figures) -> list[str]:
    """Plain numbered sentences; numbers in brackets are those in the drawing."""
    told: list[str] = []
    if wanted.liner:
        told.append(f"Line all six sides, {_length(wanted.liner, wanted)} thick.")
    ordered = packing_order(puts)
    at = 0
    while at < len(ordered):
        put = ordered[at]
        bed = bed_of(put, ordered[:at], kinds)
        end = at + 1
        while end < len(ordered) and _alike(put, ordered[end], kinds) and bed_of(ordered[end], ordered[:end], kinds) == bed:
            end += 1
        told.append(_sentence(at, end, put, bed, kinds[put.kind], wanted))
        at = end
    if figures.void_mm3 > 0:
        grams = round(Fraction(figures.filler_mg, 1000))
        weight = f" (about {grams} g)" if grams else ""
        told.append(f"Fill every gap{weight}, shake gently, top up until the flaps press on it.")
    return [f"{number}. {sentence}" for number, sentence in enumerate(told, start=1)]


def _alike(put: Put, other: Put, kinds: tuple[Kind, ...]) -> bool:
    return put.kind == other.kind and put.z == other.z and turn_word(kinds[put.kind], put) == turn_word(kinds[other.kind], other)


def _sentence(at: int, end: int, put: Put, bed: int, kind: Kind, wanted: Wanted) -> str:
    marks = f"[{at + 1}]" if end == at + 1 else f"[{at + 1} to {end}]"
    apart = ""
    if end > at + 1 and kind.gap:
        apart = f", {_length(kind.gap, wanted)} apart"
    walls = f", {_length(kind.wall, wanted)} from the walls" if kind.wall else ""
    said = f"{_count(end - at, kind.label)} {turn_word(kind, put)} {_where(put, bed, wanted)}{apart}{walls} {marks}."
    return said[0].upper() + said[1:]
