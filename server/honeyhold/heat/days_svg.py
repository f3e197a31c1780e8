"""The days by dressing as SVG: which way of sending is harmless, at a glance and in black and white."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat import words
from honeyhold.heat.advice import advise
from honeyhold.heat.request import day_of
from honeyhold.heat.svg import INK, PAPER, PROPOLIS, WIDTH, sheet, text, wrapped
from honeyhold.heat.weather import WeatherMemory
from honeyhold.heat.words import LIKELY_PERMILLE

ROW_PX, HEAD_PX = 52, 34


def draw_table(request: Any, memory: WeatherMemory | None = None) -> dict[str, str]:
    """Draw the days by dressing; the request of `advise`, or `{"advice": its answer}`. Raises BadRequest."""
    answer = request.get("advice") if isinstance(request, Mapping) and request.get("advice") else advise(request, memory)
    if not isinstance(answer, Mapping) or "table" not in answer:
        raise BadRequest(f"advice is {str(answer)[:60]!r}.", "Hand in an answer of heat.advise.")
    if not answer["known"]:
        return {"svg": sheet(56, "No climate known", answer["unknown"][0], wrapped(answer["unknown"][0], 16, 3))}
    return {"svg": _table_sheet(answer)}


def _table_sheet(answer: Mapping[str, Any]) -> str:
    rows = answer["table"]
    names = list(dict.fromkeys(cell["dressing"] for row in rows for cell in row["cells"]))
    left = 66
    width = (WIDTH - left - 8) / max(1, len(names))
    body = [
        HATCH,
        *(
            text(left + width * (at + 0.5), 20, words.packing(name), text_anchor="middle", font_weight="bold")
            for at, name in enumerate(names)
        ),
    ]
    for at, row in enumerate(rows):
        top = HEAD_PX - 6 + at * ROW_PX
        on = day_of(row["leave_on"], "leave_on")
        body.append(text(8, top + 19, row["weekday"][:3], font_size=15, font_weight="bold"))
        body.append(text(8, top + 34, f"{on.day} {words.MONTHS[on.month - 1][:3]}", font_size=11))
        if row["closed"]:
            body.append(text(left + 4, top + 24, row["closed"], font_size=12, font_style="italic"))
        for column, name in enumerate(names):
            cells = {cell["hold"]: cell for cell in row["cells"] if cell["dressing"] == name}
            if False in cells:
                pair = (cells[False], cells.get(True))
                body += _cell((left + width * column, top), width, pair, _is_advised(answer, row, name))
    bottom = HEAD_PX + len(rows) * ROW_PX
    last = answer["advice"]["words"] if answer["advice"] else answer["none_words"]
    body += wrapped(f"Thick frame: {last}." if answer["advice"] else f"{words.capital(last)}.", bottom + 12, 2)
    told = "; ".join(f"{row['weekday']} " + (row["closed"] or ", ".join(map(_cell_said, row["cells"]))) for row in rows)
    return sheet(bottom + 34, "Which day, which packing", told, body)


HATCH = (
    '<defs><pattern id="heat-hatch" width="6" height="6" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)">'
    f'<path d="M0 0V6" stroke="{PROPOLIS}" stroke-width="1.6"/></pattern></defs>'
)


def _cell_said(cell: Mapping[str, Any]) -> str:
    held = " held" if cell["hold"] else ""
    return f"{words.packing(cell['dressing'])}{held} {cell['verdict_words']} {cell['chance_words']}"


def _two_lines(verdict: str) -> list[str]:
    """Break "will likely lose their shape" after what says how likely it is; "fine" stays whole."""
    for head in ("will likely", "may"):
        if verdict.startswith(f"{head} "):
            return [head, verdict.removeprefix(f"{head} ")]
    return [verdict]


def _is_advised(answer: Mapping[str, Any], row: Mapping[str, Any], name: str) -> bool:
    found = answer["advice"]
    return bool(found) and found["leave_on"] == row["leave_on"] and found["dressing"] == name


def _cell(
    corner: tuple[float, float],
    width: float,
    pair: tuple[Mapping[str, Any], Mapping[str, Any] | None],
    advised: bool,
) -> list[str]:
    """Draw one cell: harmless is plain paper, what may come has a hatched edge, what is likely a filled one with paper-colored words."""
    x, top = corner
    cell, held = pair
    grade = 0 if cell["harmless"] else 2 if cell["chance_permille"] >= LIKELY_PERMILLE else 1
    heavy = grade > 1
    fill, ink = (PROPOLIS, PAPER) if heavy else (PAPER, INK)
    frame = f'stroke="{INK}" stroke-width="{3.4 if advised else 0.8}"'
    parts = [f'<rect x="{x + 3:.1f}" y="{top + 3}" width="{width - 6:.1f}" height="{ROW_PX - 6}" fill="{fill}" {frame}/>']
    if grade == 1:
        parts.append(f'<rect x="{x + 5:.1f}" y="{top + 5}" width="7" height="{ROW_PX - 10}" fill="url(#heat-hatch)"/>')
    middle = x + width / 2 + (4 if grade else 0)
    weight = "bold" if grade else "normal"
    lines = _two_lines(cell["verdict_words"])
    for at, line in enumerate(lines):
        low = top + (17 if len(lines) == 1 else 13 + 11 * at)
        size = 13 if len(lines) == 1 else 11 if len(line) < 14 else 10
        parts.append(text(middle, low, line, font_size=size, font_weight=weight, fill=ink, text_anchor="middle"))
    odds = cell["chance_words"].replace("under ", "< ").replace("over ", "> ").replace("chances ", "").replace("chance ", "")
    below = 0 if len(lines) == 1 else 6
    parts.append(text(middle, top + 29 + below, odds, font_size=10, fill=ink, text_anchor="middle"))
    if held is not None and held["harmless"] and not cell["harmless"]:
        told = f"held: {held['verdict_words']}"
        parts.append(text(middle, top + 40 + below, told, font_size=10, fill=ink, text_anchor="middle"))
    return parts
