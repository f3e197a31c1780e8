"""Days and weights in words. English only and independent of the machine's own language settings."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
OUNCE_G = Fraction("28.349523125")
"""The avoirdupois ounce, exact by the international agreement of 1959."""


def day_words(day: date) -> str:
    """'Wednesday, July 22, 2026'."""
    return f"{WEEKDAYS[day.weekday()]}, {MONTHS[day.month - 1]} {day.day}, {day.year}"


def weight_to_tenths_words(mass_g: int) -> str:
    """Grams as '2 lb 6 oz', to the tenth of an ounce, halves up."""
    tenths = int(Fraction(mass_g) * 10 / OUNCE_G + Fraction(1, 2))
    pounds, tenths = divmod(tenths, 160)
    ounces = f"{tenths // 10}.{tenths % 10}".removesuffix(".0")
    if not pounds:
        return f"{ounces} oz"
    return f"{pounds} lb" if not tenths else f"{pounds} lb {ounces} oz"


def amount_words(units: int, unit: str) -> str:
    """How many, as it stands in front of a name: '10', or '2 lb 6 oz' for what is kept by weight."""
    return weight_to_tenths_words(units) if unit == "g" else str(units)


def short_day_words(day: date) -> str:
    """'Wed Jul 22, 2026'."""
    return f"{WEEKDAYS[day.weekday()][:3]} {MONTHS[day.month - 1][:3]} {day.day}, {day.year}"
