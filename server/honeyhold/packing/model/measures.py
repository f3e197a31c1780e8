"""Lengths and weights as the keeper writes them, kept exact.

An inch is 25.4 mm and a pound 453.59237 g, exactly (international yard and pound agreement, 1959).
A length stays a fraction of a millimetre until a whole-number unit has been chosen for the whole request.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from math import ceil, floor, isfinite, lcm

from honeyhold.errors import BadRequest

MM_PER_IN = Fraction(254, 10)
FINEST_PART = 64  # of an inch, on a tape measure
G_PER_LB = Fraction(45359237, 100000)
G_PER_OZ = G_PER_LB / 16
MAX_LENGTH_MM = 10_000
MAX_UNITS_PER_MM = 100_000

_LENGTH = re.compile(
    r"""^\s*(?:(?P<whole>\d+(?:\.\d+)?)(?=\s*$|\s*[a-z"-]|\s+\d))?\s*-?\s*(?:(?P<top>\d+)\s*/\s*(?P<under>\d+))?
        \s*(?P<unit>in\.?|inch|inches|"|mm|cm)?\s*$""",
    re.VERBOSE | re.IGNORECASE,
)


def read_length(value: object, field: str) -> Fraction:
    """Exact millimetres from a number of mm or from text such as `8 5/8 in`, `220 mm`, `2.5"`.

    Raises BadRequest with the field and the value seen when it is no length or longer than ten meters.
    """
    length = _length_of_text(value, field) if isinstance(value, str) else read_number(value, field)
    if length > MAX_LENGTH_MM:
        raise BadRequest(f"{field} is {value!r}: longer than ten meters.", "Check the unit: plain numbers are millimeters.")
    return length


def _length_of_text(value: str, field: str) -> Fraction:
    found = _LENGTH.match(value) if len(value) <= 40 else None
    if not found or (found["whole"] is None and found["top"] is None):
        raise BadRequest(f"{field} is {value[:40]!r}, which is no length.", 'Write it like "8 5/8 in" or "220 mm".')
    number = Fraction(found["whole"] or 0)
    if found["top"]:
        if int(found["under"]) == 0:
            raise BadRequest(f"{field} is {value!r}: nothing can be divided by 0.", 'Write it like "8 5/8 in".')
        number += Fraction(int(found["top"]), int(found["under"]))
    unit = (found["unit"] or "mm").lower()
    if unit == "mm":
        return number
    return number * 10 if unit == "cm" else number * MM_PER_IN


def read_number(value: object, field: str, least: int = 0) -> Fraction:
    """A finite number >= `least`, exactly as its decimal writing says (0.1 is a tenth)."""
    if isinstance(value, bool) or not isinstance(value, int | float | Fraction) or not isfinite(value):
        raise BadRequest(f"{field} is {value!r}, which is no number.", "Give a plain number.")
    number = Fraction(repr(value)) if isinstance(value, float) else Fraction(value)
    if number < least:
        raise BadRequest(f"{field} is {value!r}, less than {least}.", f"Give {least} or more.")
    if number > 10**9:
        raise BadRequest(f"{field} is {value!r}, far too much for one parcel.", "Check the unit.")
    return number


def units_per_mm(lengths: Iterable[Fraction]) -> int:
    """The unit in which every given length is a whole number; if that would be too fine, a thousandth of a millimetre."""
    scale = 1
    for length in lengths:
        scale = lcm(scale, length.denominator)
        if scale > MAX_UNITS_PER_MM:
            return 1000
    return scale


def down(length: Fraction, scale: int) -> int:
    """Whole units, rounded down: for rooms."""
    return floor(length * scale)


def up(length: Fraction, scale: int) -> int:
    """Whole units, rounded up: for pieces, walls and gaps."""
    return ceil(length * scale)


def mm(length: Fraction | int, scale: int = 1) -> float:
    """Millimetres for JSON, to a ten-thousandth."""
    return round(float(Fraction(length) / scale), 4)


def say_mm(length: Fraction) -> str:
    """`203.2 mm` without needless zeros."""
    return f"{round(float(length), 1):g} mm"


def say_in(length: Fraction) -> str:
    """Inches as they were typed where that is a plain fraction (`8 1/3 in`), else to the nearest sixteenth: `8 5/8 in`."""
    exact = Fraction(length) / MM_PER_IN
    whole, part = divmod(exact if exact.denominator <= FINEST_PART else Fraction(round(exact * 16), 16), 1)
    if not part:
        return f"{whole} in"
    return f"{whole} {part} in" if whole else f"{part} in"


def say_weight(mass_g: Fraction | float, unit: str = "in") -> str:
    """`2 lb 6 oz` for a house that measures in inches, `1.08 kg` otherwise."""
    if unit == "mm":
        grams = round(float(mass_g))
        return f"{grams} g" if grams < 1000 else f"{float(mass_g) / 1000:.2f} kg"
    ounces = round(Fraction(mass_g) / G_PER_OZ * 10)
    if ounces < 160:
        return f"{ounces / 10:g} oz"
    pounds, rest = divmod(round(Fraction(mass_g) / G_PER_OZ), 16)
    return f"{pounds} lb {rest} oz" if rest else f"{pounds} lb"
