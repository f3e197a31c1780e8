"""The weeks of a season as a picture: a bar for what goods brought in each week, and a line for the same week a year before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Final

from honeyhold.stock.reading import Request, rows, text, whole
from honeyhold.stock.svg import INK, WAX, box, fmt, label, path, picture
from honeyhold.stock.units import money_words

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 52.0, 352.0, 40.0, 176.0, 202.0
SIZE: Final = 15.0
"""Of letters, in the picture's own units: on a phone 12 pixels or more."""
MONTHS: Final = ("Jan", "Mar", "May", "Jul", "Sep", "Nov")
STEPS: Final = (1, 2, 5)
CENTS_MAX: Final = 10**12


def weeks_picture(request: Request) -> dict[str, str]:
    """`{"season", "weeks": [{"monday", "cents", "before_cents"}]}`, one for each week of the year -> `{"svg", "words"}`.

    Raises UnreadableField.
    """
    season = whole(request, "season", least=1900, most=9999)
    weeks = [
        {"monday": text(week, "monday"), "cents": whole(week, "cents", least=-CENTS_MAX, most=CENTS_MAX),
         "before_cents": whole(week, "before_cents", least=-CENTS_MAX, most=CENTS_MAX)}
        for week in rows(request, "weeks")
    ]  # fmt: skip
    words = _said(season, weeks)
    return {"svg": _drawn(season, weeks, words), "words": words}


def _drawn(season: int, weeks: Sequence[Mapping[str, Any]], words: str) -> str:
    most = max((max(week["cents"], week["before_cents"]) for week in weeks), default=0)
    top = round_up(most)
    wide = (RIGHT - LEFT) / max(1, len(weeks))
    height = (BOTTOM - TOP) / max(1, top)
    bars = "".join(
        box(LEFT + wide * at + wide * 0.12, BOTTOM - height * week["cents"], wide * 0.76, height * week["cents"])
        for at, week in enumerate(weeks) if week["cents"] > 0
    )  # fmt: skip
    line = "".join(
        f"{'L' if at else 'M'}{fmt(LEFT + wide * at)} {fmt(BOTTOM - height * max(0, week['before_cents']))}h{fmt(wide)}"
        for at, week in enumerate(weeks)
    )
    parts = [
        path(f"M{fmt(LEFT)} {fmt(BOTTOM)}H{fmt(RIGHT)}M{fmt(LEFT)} {fmt(TOP)}H{fmt(RIGHT)}", "quiet", stroke=INK, width=0.6),
        path(bars, "wax", fill=WAX, stroke=INK, width=0.5),
        path(line, "ink", stroke=INK, width=1.4, more=' stroke-dasharray="4 2"') if any(week["before_cents"] for week in weeks) else "",
        label(LEFT - 6, TOP + 5, _dollars(top), size=SIZE, anchor="end"), label(LEFT - 6, BOTTOM, "$0", size=SIZE, anchor="end"),
        *_months(season, weeks, wide), *_legend(season, weeks),
    ]  # fmt: skip
    return picture(HEIGHT, f"Sold in {season}, week by week", words, parts)


def round_up(cents: int) -> int:
    """The next 1, 2 or 5 times a power of ten dollars, in cents: where the picture ends above. $10.00 at the least."""
    power = 1000
    while True:
        for step in STEPS:
            if step * power >= cents:
                return step * power
        power *= 10


def _dollars(cents: int) -> str:
    return f"${cents // 100:,}"


def _months(season: int, weeks: Sequence[Mapping[str, Any]], wide: float) -> list[str]:
    """The name of every other month under the week its first day is in."""
    placed = []
    for at, name in enumerate(MONTHS):
        day = str(date(season, 2 * at + 1, 1))
        week = max((place for place, week in enumerate(weeks) if week["monday"] <= day), default=0)
        placed.append(label(LEFT + wide * week, BOTTOM + 18, name, size=SIZE))
    return placed


def _legend(season: int, weeks: Sequence[Mapping[str, Any]]) -> list[str]:
    parts = [path(box(LEFT, 9, 14, 14), "wax", fill=WAX, stroke=INK, width=0.5), label(LEFT + 20, 21, str(season), size=SIZE)]
    if any(week["before_cents"] for week in weeks):
        parts.append(path(f"M{fmt(LEFT + 78)} 16h24", "ink", stroke=INK, width=1.4, more=' stroke-dasharray="4 2"'))
        parts.append(label(LEFT + 108, 21, str(season - 1), size=SIZE))
    return parts


def _said(season: int, weeks: Sequence[Mapping[str, Any]]) -> str:
    """The same in words: the best week, and how many had sales."""
    with_sales = [week for week in weeks if week["cents"] > 0]
    if not with_sales:
        return f"Nothing was sold in {season} yet."
    best = max(with_sales, key=lambda week: week["cents"])
    day = date.fromisoformat(best["monday"])
    return (
        f"Something was sold in {len(with_sales)} of {len(weeks)} weeks; the most, {money_words(best['cents'])}, "
        f"in the week of {day.month}/{day.day}."
    )
