"""The run-down as a picture: units left day by day, the spread of what callers may take, and the day to melt
by.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from honeyhold.stock.days import WEEKDAYS, day_words, parse_day
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, rows, whole
from honeyhold.stock.svg import INK, PROPOLIS, WAX, fmt, label, path, picture
from honeyhold.stock.words import count_words, good_of, sentence

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 40.0, 342.0, 30.0, 158.0, 182.0
DAYS_MAX = 120
DAY_SIZE = 16.0
"""Of the days' letters, in the picture's own units: a phone shows the picture at 0.85 or so, and 12 pixels can be read."""


def _line(points: Sequence[tuple[float, float]], start: str = "M") -> str:
    return start + "L".join(f"{fmt(x)} {fmt(y)}" for x, y in points) if points else ""


class _Scale:
    """Where a day and a count stand in the picture."""

    def __init__(self, days: Sequence[date], units_max: int) -> None:
        self.first = days[0]
        self.span = max(1, (days[-1] - days[0]).days)
        self.units_max = max(1, units_max)

    def x(self, day: date) -> float:
        return LEFT + (RIGHT - LEFT) * (day - self.first).days / self.span

    def y(self, units: int) -> float:
        return BOTTOM - (BOTTOM - TOP) * max(0, units) / self.units_max


def _day_labels(scale: _Scale, days: Sequence[date]) -> list[str]:
    """Two letters for each day up to twelve days, else the date of every seventh."""
    parts = []
    for place, day in enumerate(days):
        if len(days) <= 12:
            parts.append(label(scale.x(day), BOTTOM + 18, WEEKDAYS[day.weekday()][:2], size=DAY_SIZE, anchor="middle"))
        elif place % (2 if len(days) <= 29 else 7) == 0:
            words = WEEKDAYS[day.weekday()][:2] if len(days) <= 29 else f"{day.month}/{day.day}"
            parts.append(label(scale.x(day), BOTTOM + 18, words, size=DAY_SIZE, anchor="middle"))
    return parts


def _melt_line(scale: _Scale, melt_by: date, today: date) -> list[str]:
    """The broken line of the day to melt by, its words on the side with more room."""
    x = scale.x(melt_by)
    near = day_words(melt_by, today)
    words = f"melt by {near[:3] if near.endswith('day') and near[0].isupper() else near}"
    right_side = x < (LEFT + RIGHT) / 2 + 40
    dashes = ' stroke-dasharray="6 4"'
    return [
        path(f"M{fmt(x)} {fmt(TOP - 14)}V{fmt(BOTTOM)}", "warn", stroke=PROPOLIS, width=2.2, more=dashes),
        label(
            x + (6 if right_side else -6),
            TOP - 6,
            words,
            size=14,
            bold=True,
            kind="warn",
            anchor="start" if right_side else "end",
        ),
    ]


def _read(request: Request) -> tuple[list[date], list[tuple[int, int, int]]]:
    days: list[date] = []
    spread: list[tuple[int, int, int]] = []
    for row in rows(request, "run_down"):
        low, middle, high = (whole(row, name, least=-10_000_000) for name in ("low", "middle", "high"))
        if not low <= middle <= high:
            raise UnreadableField("run_down", dict(row), "low, middle and high in that order")
        wanted = row.get("wanted")
        if request.get("shown") == "wanted" and isinstance(wanted, list) and len(wanted) == 3:
            low, middle, high = (whole({"wanted": units}, "wanted") for units in wanted)
        days.append(parse_day(row.get("on"), "run_down.on"))
        spread.append((low, middle, high))
    if not 2 <= len(days) <= DAYS_MAX or any(a >= b for a, b in zip(days, days[1:], strict=False)):
        raise UnreadableField(
            "run_down", [day.isoformat() for day in days[:4]], f"2 to {DAYS_MAX} days, one after the other"
        )
    return days, spread


def _words(
    names: tuple[str, str], days: list[date], spread: list[tuple[int, int, int]], request: Mapping[str, Any]
) -> str:
    today = parse_day(request.get("today"), "today")
    low, middle, high = (max(0, units) for units in spread[-1])
    if request.get("shown") == "wanted":
        said = f"none are free today; by {day_words(days[-1], today)} most likely {count_words(middle, *names)} will be asked for"
        return sentence(f"{said}, {low:,} or more, {high:,} at most")
    if low == middle == high == max(0, spread[0][1]) and request.get("record") is False:
        return sentence(f"{count_words(high, *names)} may still be sold; there is no record yet of how fast they go")
    words = [
        sentence(
            f"{count_words(max(0, spread[0][1]), *names)} may still be sold {day_words(days[0], today)}; by "
            f"{day_words(days[-1], today)} most likely {count_words(middle, *names)}, "
            f"at worst {low:,}, at best {high:,}"
        )
    ]
    if request.get("melt_by") is not None:
        words.append(f"Melt by {day_words(parse_day(request['melt_by'], 'melt_by'), today)}.")
    return " ".join(words)


def _asked_for(request: Request) -> bool:
    """Whether nothing is left to run down, so that what will be asked for is drawn instead: an empty picture tells nothing."""
    given = rows(request, "run_down")
    return bool(given) and all(not row.get("high") and row.get("wanted") for row in given)


def run_down_picture(request: Request) -> dict[str, str]:
    """The run-down of one good, and the same in words.

    The band is the spread (`low` to `high`), the heavy line the middle, the broken line the day to melt by.
    Shapes: README.md. Raises UnreadableField.
    """
    names = good_of(request)
    request = {**request, "shown": "wanted" if _asked_for(request) else "left"}
    days, spread = _read(request)
    today = parse_day(request.get("today"), "today")
    scale = _Scale(days, max(high for _, _, high in spread))
    upper = [(scale.x(day), scale.y(high)) for day, (_, _, high) in zip(days, spread, strict=True)]
    middle = [(scale.x(day), scale.y(units)) for day, (_, units, _) in zip(days, spread, strict=True)]
    lower = [(scale.x(day), scale.y(low)) for day, (low, _, _) in zip(days, spread, strict=True)]
    wanted, here = request["shown"] == "wanted", max(0, spread[0][1])
    at_left = max(high for _, _, high in spread) if wanted else here
    parts = [
        path(_line(upper) + _line(lower[::-1], "L") + "z", "band", fill=WAX, more=' fill-opacity="0.6"'),
        path(_line(upper) + _line(lower), "ink", stroke=INK, width=0.8),
        path(f"M{fmt(LEFT)} {fmt(BOTTOM)}H{fmt(RIGHT)}", "ink", stroke=INK, width=1.2),
        path(_line(middle), "ink", stroke=INK, width=3, more=' stroke-linejoin="round"'),
        label(
            LEFT - 7, scale.y(at_left) + 5, f"{at_left:,}", size=15, bold=True, anchor="end"
        ),
        *_day_labels(scale, days),
    ]
    said = "none free; so many may be asked for" if wanted else ""
    if request.get("record") is False:
        said = "no record yet of how fast they go"
    if said:
        parts.append(label(LEFT + 6, TOP - 10 if wanted else (TOP + BOTTOM) / 2, said, size=14, kind="quiet"))
    if at_left > 0:
        parts.append(label(LEFT - 7, BOTTOM + 5, "0", kind="quiet", anchor="end"))
    if request.get("melt_by") is not None and not wanted:
        melt_by = parse_day(request["melt_by"], "melt_by")
        if days[0] <= melt_by <= days[-1]:
            parts += _melt_line(scale, melt_by, today)
    words = _words(names, days, spread, request)
    return {
        "svg": picture(HEIGHT, sentence(f"{names[1]} {'asked for' if wanted else 'left'}, day by day").rstrip("."), words, parts),
        "words": words,
    }
