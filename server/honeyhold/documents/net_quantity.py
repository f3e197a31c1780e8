"""How much is in it, as the label of a package sold in the United States says it: ounces and pounds, and grams.

21 CFR 101.7 (honey) and 16 CFR 500 (wax): avoirdupois; from one pound to under four the ounces stand first and the pounds in parentheses
after them, from four pounds on the pounds alone (this order from memory); grams in three figures, in two below a hundred (16 CFR 500.19
b). No figure overstates another: what is converted is cut, not rounded up, as the rule's own examples are (4 oz 113 g, 1 lb 4 oz 566 g).
How high its letters stand follows the area of the panel (the Food and Drug Administration's labeling guide, chapter 5): the height is that
of a small o.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from honeyhold.documents.wording import OUNCE_G

POUND_OZ = 16
OUNCES_FIRST_BELOW_OZ = 4 * POUND_OZ
MM2_PER_IN2 = Fraction("645.16")
TYPE_HEIGHTS: tuple[tuple[int, Fraction], ...] = ((5, Fraction(1, 16)), (25, Fraction(1, 8)), (100, Fraction(3, 16)), (400, Fraction(1, 4)))
"""Panels up to so many square inches want letters of so many inches; larger ones half an inch."""


def net_words(net_g: int) -> tuple[str, str]:
    """("Net Wt 12 oz", "340 g"): the two systems of a net mass in whole grams."""
    ounces = ounces_of(net_g)
    if ounces < POUND_OZ:
        return f"Net Wt {_number(ounces)} oz", grams_words(net_g)
    pounds, rest = divmod(ounces, POUND_OZ)
    in_pounds = f"{pounds} lb" + (f" {_number(rest)} oz" if rest else "")
    if ounces >= OUNCES_FIRST_BELOW_OZ:
        return f"Net Wt {in_pounds}", grams_words(net_g)
    return f"Net Wt {_number(ounces)} oz ({in_pounds})", grams_words(net_g)


def ounces_of(net_g: int) -> Fraction:
    """The ounces that these whole grams stand for: the tenths that they were cut from, else tenths, cut. Whole ounces are ten of them."""
    tenths = floor(net_g * 10 / OUNCE_G)
    more = floor(Fraction(tenths + 1, 10) * OUNCE_G) == net_g  # 340 g were cut from 12 oz, 578 g from 20.4 oz
    return Fraction(tenths + more, 10)


def grams_words(net_g: int) -> str:
    """Three figures: "340 g", "1.36 kg"."""
    if net_g < 1000:
        return f"{net_g} g"
    places = 2 if net_g < 10_000 else 1
    step = 10 ** (3 - places)
    return f"{_number(Fraction(net_g // step * step, 1000), places)} kg"


def type_height_mm(panel_mm2: Fraction) -> Fraction:
    """How high a small o must stand on a principal display panel of this area."""
    panel_in2 = panel_mm2 / MM2_PER_IN2
    found = [height for most, height in TYPE_HEIGHTS if panel_in2 <= most]
    return (found[0] if found else Fraction(1, 2)) * Fraction("25.4")


def _number(value: Fraction, places: int = 1) -> str:
    return f"{float(value):.{places}f}".rstrip("0").rstrip(".")
