"""Days, hours and temperatures as said aloud, in the house's unit."""

from __future__ import annotations

from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def weekday(on: date) -> str:
    """Give the name of a day of the week."""
    return WEEKDAYS[on.weekday()]


def degrees(temperature_c: float, unit: str) -> float:
    """Give a temperature in the house's unit, "F" or "C"."""
    return temperature_c * 9 / 5 + 32 if unit == "F" else temperature_c


def degrees_words(temperature_c: float, unit: str) -> str:
    """Say a temperature: "126 °F"."""
    return f"{round(degrees(temperature_c, unit))} °{unit}"


def _clock(hour: int) -> tuple[str, str]:
    hour %= 24
    if hour == 0:
        return "midnight", ""
    if hour == 12:
        return "noon", ""
    return str(hour % 12), "am" if hour < 12 else "pm"


def hours_words(from_hour: int, to_hour: int) -> str:
    """Say a span of clock hours: "2 to 5 pm", "11 am to 2 pm", "noon to 3 pm"."""
    first, first_half = _clock(from_hour)
    last, last_half = _clock(to_hour)
    if first_half == last_half or not first_half:
        return f"{first} to {last} {last_half}".strip()
    return f"{first} {first_half} to {last} {last_half}".strip()


def about(on: date) -> str:
    """Say a day loosely: "mid September"."""
    part = "early" if on.day <= 10 else "mid" if on.day <= 20 else "late"
    return f"{part} {MONTHS[on.month - 1]}"


def capital(text: str) -> str:
    """Begin a sentence: first letter large, the rest as it is."""
    return text[:1].upper() + text[1:]
