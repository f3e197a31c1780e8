"""A trip by the hour as SVG. Words and textures first, colour second."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat import words
from honeyhold.heat.days_svg import draw_table
from honeyhold.heat.request import day_of
from honeyhold.heat.svg import INK, PAPER, PROPOLIS, SHADE, WAX, WIDTH, sheet, text, wrapped
from honeyhold.heat.trip import trip
from honeyhold.heat.weather import WeatherMemory

__all__ = ["draw", "draw_table"]

LEFT, RIGHT, TOP, FLOOR = 40, 352, 94, 274
STOP_ROW_PX, LETTER_PX = 18, 8
SHORT = {"mailbox": "box"}


def draw(request: Any, memory: WeatherMemory | None = None) -> dict[str, str]:
    """Draw a trip by the hour; the request of `trip`, or `{"trip": its answer}`. Raises BadRequest."""
    answer = request.get("trip") if isinstance(request, Mapping) and request.get("trip") else trip(request, memory)
    if not isinstance(answer, Mapping) or "known" not in answer:
        raise BadRequest(f"trip is {str(answer)[:60]!r}.", "Hand in an answer of heat.trip.")
    if not answer["known"]:
        return {"svg": sheet(40, "No climate known", answer["words"], wrapped(answer["words"], 16, 2))}
    return {"svg": _trip_sheet(answer)}


class _Scale:
    """From hours and degrees to the sheet."""

    def __init__(self, answer: Mapping[str, Any]) -> None:
        goods = [answer[name] for name in ("wax", "honey") if answer[name]]
        every = [
            *answer["air"],
            *answer["around"],
            *(t for good in goods for row in good.values() for t in row),
        ]
        every += [answer[name] for name in ("softens", "loosens") if answer[name] is not None]
        step = 18 if answer["unit"] == "F" else 10
        base = 32 if answer["unit"] == "F" else 0
        self.low = base + step * ((min(every) - base) // step)
        self.high = base + step * -(-(max(every) - base) // step)
        self.ticks = [self.low + step * index for index in range(int((self.high - self.low) / step) + 1)]
        self.hours = answer["hours"]

    def x(self, hour: float) -> float:
        """Give the sheet's x of an hour from leaving."""
        return float(LEFT + (RIGHT - LEFT) * hour / self.hours)

    def y(self, degrees: float) -> float:
        """Give the sheet's y of a temperature."""
        return float(FLOOR - (FLOOR - TOP) * (degrees - self.low) / (self.high - self.low))

    def path(self, series: Sequence[float]) -> str:
        """Give the points of a line through a series, one value an hour."""
        return " ".join(f"{self.x(hour):.1f},{self.y(value):.1f}" for hour, value in enumerate(series))


def _trip_sheet(answer: Mapping[str, Any]) -> str:
    scale = _Scale(answer)
    unit = answer["unit"]
    body = [text(8, 18, answer["title"]), *_headline(answer)]
    for first, last in answer["nights"]:
        width = scale.x(last) - scale.x(first)
        body.append(f'<rect x="{scale.x(first):.1f}" y="{TOP}" width="{width:.1f}" height="{FLOOR - TOP}" fill="{SHADE}"/>')
    for tick in scale.ticks:
        body.append(f'<path d="M{LEFT} {scale.y(tick):.1f}H{RIGHT}" stroke="{INK}" stroke-width="0.4" opacity="0.45"/>')
        body.append(text(LEFT - 4, scale.y(tick) + 4, f"{tick:.0f}°", text_anchor="end"))
    body += _goods(answer, scale)
    body.append(_line(scale.path(answer["air"]), INK, 1.1, "1.5 2.5"))
    body.append(_line(scale.path(answer["around"]), INK, 1.4))
    body += _limit(answer, scale)
    body += _stops(answer, scale)
    body += _days(answer, scale)
    body += _key(answer)
    told = f"{answer['words']} Temperatures in °{unit} by the hour, from {answer['start'].replace('T', ' ')}."
    return sheet(FLOOR + 112, f"{answer['title']}: {answer['verdict_words']}", told, body)


def _headline(answer: Mapping[str, Any]) -> list[str]:
    """Write the verdict large; what is heeded in propolis and bold, so that it shows in black and white too."""
    colour = INK if answer["harmless"] else PROPOLIS
    word = text(8, 42, words.capital(answer["verdict_words"]), font_size=17, font_weight="bold", fill=colour)
    odds = f"{answer['chance_words']} of harm" if answer["harmless"] else answer["chance_words"]
    return [word, *wrapped(", ".join(filter(None, (odds, answer["when"]["words"]))), 62, 2)]


def _line(points: str, colour: str, width: float, dashes: str = "") -> str:
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    stroke = f'stroke="{colour}" stroke-width="{width}" stroke-linejoin="round"{dashed}'
    return f'<polyline points="{points}" fill="none" {stroke}/>'


def _goods(answer: Mapping[str, Any], scale: _Scale) -> list[str]:
    """Draw wax as a thick cased line with its spread, honey as a thick dashed one."""
    parts = []
    if answer["wax"]:
        low, high = answer["wax"]["low"], answer["wax"]["high"]
        there = scale.path(high)
        back = " ".join(reversed(scale.path(low).split()))
        parts.append(f'<polygon points="{there} {back}" fill="{WAX}" fill-opacity="0.35"/>')
        middle = scale.path(answer["wax"]["median"])
        parts += [_line(middle, INK, 5), _line(middle, WAX, 3.4)]
    if answer["honey"]:
        middle = scale.path(answer["honey"]["median"])
        parts += [_line(middle, INK, 3.2, "7 3"), _line(middle, PAPER, 1.0)]
    return parts


def _limit(answer: Mapping[str, Any], scale: _Scale) -> list[str]:
    parts = []
    names = (("softens", "two hours above this dent bars"), ("loosens", "lids loosen above this"))
    for name, label in names:
        if answer[name] is None:
            continue
        y = scale.y(answer[name])
        parts.append(f'<path d="M{LEFT} {y:.1f}H{RIGHT}" stroke="{PROPOLIS}" stroke-width="1.6" stroke-dasharray="6 4"/>')
        parts.append(text(LEFT + 3, y - 5, label, stroke=PAPER, stroke_width=4))  # its own ground: paper knows no paint order
        parts.append(text(LEFT + 3, y - 5, label))
    return parts


def _stops(answer: Mapping[str, Any], scale: _Scale) -> list[str]:
    """Name where the parcel is, under the curve; a stop too short for its name in its row goes to the row
    below.
    """
    parts, ends = [], [0.0, 0.0]
    for stop in answer["stops"]:
        first, last = scale.x(stop["from_hour"]), scale.x(stop["to_hour"])
        parts.append(f'<path d="M{first:.1f} {FLOOR}v6" stroke="{INK}" stroke-width="1"/>')
        name = SHORT.get(stop["name"], stop["name"])
        width = len(name) * LETTER_PX
        start = min(max(LEFT - 20, (first + last - width) / 2), WIDTH - width - 4)
        row = 0 if start >= ends[0] + 4 else 1
        if ends[row] and start < ends[row] + 4:
            continue  # the tick stays, the list of stops says the rest
        ends[row] = start + width
        parts.append(text(start, FLOOR + 18 + row * STOP_ROW_PX, name))
    return parts


def _days(answer: Mapping[str, Any], scale: _Scale) -> list[str]:
    """Name the days at their noons."""
    day, hour = answer["start"].split("T")
    begin, clock = day_of(day, "start"), int(hour[:2])
    parts = []
    for noon in range(12 - clock, answer["hours"], 24):
        if noon < 0:
            continue
        name = words.WEEKDAYS[(begin.weekday() + (noon + clock) // 24) % 7][:3]
        parts.append(
            text(scale.x(noon), FLOOR + 58, name, text_anchor="middle", font_weight="bold"),
        )
    return [f'<path d="M{LEFT} {FLOOR}H{RIGHT}" stroke="{INK}" stroke-width="1.2"/>', *parts]


def _key(answer: Mapping[str, Any]) -> list[str]:
    """Which line is what: the air's in a row, the goods' in the row below."""
    y, below = FLOOR + 82, FLOOR + 102
    parts = [
        _line(f"8,{y - 5} 30,{y - 5}", INK, 1.1, "1.5 2.5"), text(36, y, "outdoors"),
        _line(f"118,{y - 5} 140,{y - 5}", INK, 1.4), text(146, y, "around it"),
        f'<rect x="232" y="{y - 11}" width="16" height="12" fill="{SHADE}"/>', text(254, y, "night"),
    ]  # fmt: skip
    if answer["wax"]:
        line = f"8,{below - 5} 30,{below - 5}"
        parts += [_line(line, INK, 5), _line(line, WAX, 3.4), text(36, below, "wax")]
    if answer["honey"]:
        parts += [_line(f"118,{below - 5} 140,{below - 5}", INK, 3.2, "7 3"), text(146, below, "honey")]
    return parts
