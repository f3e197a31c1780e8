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

ROW_PX, HEAD_PX = 58, 32
MOST_LINES = 3
LONGEST = 11  # letters to a line of a cell


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
    left = 62
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
        body.append(text(8, top + 24, row["weekday"][:3], font_size=16, font_weight="bold"))
        body.append(text(8, top + 42, f"{words.MONTHS[on.month - 1][:3]} {on.day}"))
        if row["closed"]:
            body.append(text(left + 4, top + 36, row["closed"], font_style="italic"))
        for column, name in enumerate(names):
            cells = {cell["hold"]: cell for cell in row["cells"] if cell["dressing"] == name}
            if False in cells:
                pair = (cells[False], cells.get(True))
                body += _cell((left + width * column, top), width, pair, _is_advised(answer, row, name))
    bottom = HEAD_PX + len(rows) * ROW_PX
    last = answer["advice"]["words"] if answer["advice"] else answer["none_words"]
    body += wrapped(f"Thick frame: {last}." if answer["advice"] else f"{words.capital(last)}.", bottom + 12, 2)
    body += wrapped("Hatched: may. Filled: will likely.", bottom + 48, 1)
    told = "; ".join(f"{row['weekday']} " + (row["closed"] or ", ".join(map(_cell_said, row["cells"]))) for row in rows)
    return sheet(bottom + 58, "Which day, which packing", told, body)


HATCH = (
    '<defs><pattern id="heat-hatch" width="6" height="6" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)">'
    f'<path d="M0 0V6" stroke="{PROPOLIS}" stroke-width="1.6"/></pattern></defs>'
)


def _cell_said(cell: Mapping[str, Any]) -> str:
    held = " held" if cell["hold"] else ""
    return f"{words.packing(cell['dressing'])}{held} {cell['verdict_words']} {cell['chance_words']}"


def _lines(cell: Mapping[str, Any]) -> list[str]:
    """Say what it comes to in a cell's width: "get dents", "lose their / shape"; hatching and filling say how likely."""
    said = cell["verdict_words"].removeprefix("will likely ").removeprefix("may ")
    lines = [""]
    for word in said.split():
        if lines[-1] and len(lines[-1]) + len(word) + 1 > LONGEST:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _odds(cell: Mapping[str, Any]) -> str:
    """Say a chance in a cell's width: "1 in 8", "< 1 in 100"."""
    words_of: str = cell["chance_words"]
    return words_of.replace("under ", "< ").replace("over ", "> ").replace("chances ", "").replace("chance ", "")


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
    said = [(line, "bold" if grade else "normal") for line in [*_lines(cell), _odds(cell)]]
    if held is not None and held["harmless"] and not cell["harmless"] and len(said) < MOST_LINES:
        said.append((f"held: {held['verdict_words']}", "normal"))
    first = top + ROW_PX / 2 + 5 - 8 * (len(said) - 1)
    for at, (line, weight) in enumerate(said):
        parts.append(text(middle, first + 16 * at, line, font_weight=weight, fill=ink, text_anchor="middle"))
    return parts
