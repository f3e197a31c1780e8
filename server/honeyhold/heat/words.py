"""Verdicts, days, hours and temperatures as said aloud, in the house's unit."""

from __future__ import annotations

from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

LIKELY_PERMILLE = 500  # from an even chance on it is "will likely", below it "may"
# The stored name of a harm: what it does to wax or honey, as said after "may" or "will likely".
HARM_SAID = {
    "dented": "get dents",
    "slumped": "lose their shape",
    "run": "melt",
    "loose": "loosen",
    "weeping": "leak",
    "darkened": "get darker",
}
WHOSE = {"loose": "a lid", "weeping": "a jar", "darkened": "the honey"}
WAX_NOUN = "the bars"
# The stored name of a way of packing, as it is said; a name of the house's own is said as it is.
PACKINGS = {"plain": "plain", "lined": "padded", "chilled": "cold pack"}


def packing(name: str) -> str:
    """Say a way of packing: plain, padded, cold pack."""
    return PACKINGS.get(name, name)


def verdict_short(word: str, permille: int, harmless: bool) -> str:
    """Say a verdict for a column of its own: "fine", "may get dents", "will likely melt"; words follow the chance."""
    if harmless or word not in HARM_SAID:
        return "fine"
    return f"{'will likely' if permille >= LIKELY_PERMILLE else 'may'} {HARM_SAID[word]}"


def verdict_said(word: str, permille: int, harmless: bool, wax: str = WAX_NOUN) -> str:
    """Say a verdict as to a caller: "fine", "the bars may get dents", "a lid may loosen"."""
    short = verdict_short(word, permille, harmless)
    return short if short == "fine" else f"{WHOSE.get(word, wax)} {short}"


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
