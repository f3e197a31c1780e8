"""Weights, lengths, money and warmth in the words of the house, and back again without losing anything.

Inside, Honeyhold counts in grams, millimetres, cents and degrees Celsius. An ounce is 28.349523125 g and an
inch 25.4 mm exactly (international yard and pound agreement of 1959; NIST Handbook 44, appendix C), so
readings are kept as fractions until somebody rounds them for the screen. Telephone numbers and addresses are
in people.py, days in days.py.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import ceil, floor

from honeyhold.stock.errors import UnreadableField, UnreadableText

OUNCE_G = Fraction(28349523125, 1_000_000_000)
INCH_MM = Fraction(254, 10)

_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_NUMBER = r"(?:\d+[ -]\d+/0*[1-9]\d*|\d+/0*[1-9]\d*|\d+\.\d+|\.\d+|\d+)"


def _plain(text: object, what: str, remedy: str) -> str:
    """The text with one sort of space, quote and fraction; raises UnreadableText when it is no text."""
    if not isinstance(text, str) or len(text) > 200:
        raise UnreadableText(what, text if not isinstance(text, str) else text[:40] + "...", remedy)
    for mark, plain in _VULGAR.items():
        text = text.replace(mark, " " + plain)
    text = text.replace("″", '"').replace("”", '"').replace("⁄", "/").replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.lower().split())


def parse_number(text: str) -> Fraction:
    """The exact value of "8", "8.625", "5/8", "8 5/8" or "8-5/8". Raises UnreadableText."""
    remedy = 'Write it like "8 5/8" or "8.625".'
    plain = _plain(text, "a number", remedy)
    if not re.fullmatch(_NUMBER, plain, re.ASCII):
        raise UnreadableText("a number", text, remedy)
    whole, _, part = plain.replace("-", " ").rpartition(" ")
    return Fraction(whole or 0) + Fraction(part)


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
    sign = "-" if mass < 0 else ""
    if ounces < 4:
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


def _parse_measure(text: str, what: str, sizes: dict[str, Fraction], remedy: str) -> Fraction:
    """Sum of number-and-unit pairs; every unit at most once, nothing else in between."""
    plain = _plain(text, what, remedy).replace(" and ", " ")
    names = "|".join(sorted((re.escape(name) for name in sizes), key=len, reverse=True))
    pair = re.compile(rf"({_NUMBER})\s*({names})(?![a-z])\.?", re.ASCII)
    total, place, seen = Fraction(0), 0, set()
    for found in pair.finditer(plain):
        size = sizes[found[2]]
        if plain[place : found.start()].strip(" ,") or size in seen:
            raise UnreadableText(what, text, remedy)
        seen.add(size)
        total += parse_number(found[1]) * size
        place = found.end()
    if not seen or plain[place:].strip():
        raise UnreadableText(what, text, remedy)
    return total


# --- length

_LENGTH_MM = {
    "in": INCH_MM, "inch": INCH_MM, "inches": INCH_MM, '"': INCH_MM,
    "ft": 12 * INCH_MM, "foot": 12 * INCH_MM, "feet": 12 * INCH_MM,
    "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000),
}  # fmt: skip


def parse_length_mm(text: str) -> Fraction:
    """Millimetres, exactly, of "8 5/8 in", '8-5/8"', "220 mm", "22 cm". A bare number is refused: 8 of what?

    Raises UnreadableText.
    """
    return _parse_measure(
        text, "a length", _LENGTH_MM, 'Write it with its unit, like "8 5/8 in" or "220 mm".'
    )


# --- money


def money_words(cents: int) -> str:
    """Cents as "$37.50", "$1,204.00", "-$5.00". Raises UnreadableField."""
    if isinstance(cents, bool) or not isinstance(cents, int):
        raise UnreadableField("cents", cents, "whole cents")
    dollars, rest = divmod(abs(cents), 100)
    return f"{'-' if cents < 0 else ''}${dollars:,}.{rest:02d}"


# --- warmth


def _exact(field: str, value: object) -> Fraction:
    """The number as a fraction. Raises UnreadableField for anything that is no finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float | Fraction) or not -1e15 < value < 1e15:
        raise UnreadableField(field, value, "a number")
    return Fraction(value)
