"""Weights and money in the words of the house.

Inside, Honeyhold counts in grams and cents. An ounce is 28.349523125 g exactly (international yard and pound agreement of 1959; NIST
Handbook 44, appendix C). Telephone numbers and addresses are in people.py, days in days.py.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from honeyhold.stock.errors import UnreadableField

OUNCE_G = Fraction(28349523125, 1_000_000_000)
MINUS = "\N{MINUS SIGN}"
"""As the screens write it (web/parts/words.js)."""


def _halves_up(value: Fraction) -> int:
    """The nearest whole number, a half going up: what a person does on paper, unlike Python's round."""
    return floor(value + Fraction(1, 2))


# --- weight


def weight_words(mass_g: int | float | Fraction) -> str:
    """A weight as the house's scale says it: "2 lb 6 oz", "12 oz", under four ounces "1.5 oz".

    `mass_g` is in grams; the answer is to the nearest ounce (tenth of an ounce under 4 oz). Raises
    UnreadableField.
    """
    mass = _exact("mass_g", mass_g)
    ounces = abs(mass) / OUNCE_G
    sign = MINUS if mass < 0 else ""
    tenths = _halves_up(ounces * 10)
    if tenths < 40:
        return f"{sign if tenths else ''}{tenths // 10}{f'.{tenths % 10}' if tenths % 10 else ''} oz"
    pounds, rest = divmod(_halves_up(ounces), 16)
    words = [f"{pounds} lb"] if pounds else []
    if rest or not pounds:
        words.append(f"{rest} oz")
    return sign + " ".join(words)


def mailing_weight_words(mass_g: int) -> str:
    """A parcel's weight as the post will charge it: whole ounces, any part of one rounded up. 228 g (8.04 oz) is "9 oz".

    Weights are kept in whole grams, so each stands for half a gram less or more: 227 g may be 8 oz to the hair and is
    called 8 oz. Raises UnreadableField.
    """
    pounds, rest = divmod(max(0, ceil((_exact("mass_g", mass_g) - Fraction(1, 2)) / OUNCE_G)), 16)
    if not pounds:
        return f"{rest} oz"
    return f"{pounds} lb {rest} oz" if rest else f"{pounds} lb"


# --- money


def money_words(cents: int) -> str:
    """Cents as "$37.50", "$1,204.00", "−$5.00". Raises UnreadableField."""
    if isinstance(cents, bool) or not isinstance(cents, int):
        raise UnreadableField("cents", cents, "whole cents")
    dollars, rest = divmod(abs(cents), 100)
    return f"{MINUS if cents < 0 else ''}${dollars:,}.{rest:02d}"


def _exact(field: str, value: object) -> Fraction:
    """The number as a fraction. Raises UnreadableField for anything that is no finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float | Fraction) or not -1e15 < value < 1e15:
        raise UnreadableField(field, value, "a number")
    return Fraction(value)
