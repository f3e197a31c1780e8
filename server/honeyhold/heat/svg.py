"""What both pictures of heat share: colours, a sheet with title and description, text, broken sentences."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

PAPER, INK, WAX, PROPOLIS, SHADE = "#f4efe2", "#241c14", "#e2ae3f", "#8c2f1b", "#e3dac6"
WIDTH = 360
LABEL_PX = 14
"""The least size of letters: on the smallest phone the sheet is 324 px wide, and 14 of its 360 are 12.6 px there."""


def text(x: float, y: float, content: str, **more: object) -> str:
    """Give a text element; names of further attributes with _ for -."""
    told = {"font_size": LABEL_PX, "fill": INK, **more}
    attributes = "".join(f' {name.replace("_", "-")}="{value}"' for name, value in told.items())
    return f'<text x="{x:.1f}" y="{y:.1f}"{attributes}>{escape(content)}</text>'


def sheet(height: float, title: str, told: str, body: Sequence[str]) -> str:
    """Give a whole picture, WIDTH wide, with its title and its description for those who do not see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0f}" role="img" '
        'font-family="inherit">'
        f"<title>{escape(title)}</title><desc>{escape(told)}</desc>"
        f'<rect width="{WIDTH}" height="{height:.0f}" fill="{PAPER}"/>{"".join(body)}</svg>'
    )


def wrapped(sentence: str, y: float, most: int, size: int = LABEL_PX) -> list[str]:
    """Break a sentence into at most `most` lines of the sheet's width."""
    room = int((WIDTH - 16) / (size * 0.54))
    lines = [""]
    for word in sentence.split():
        if len(lines[-1]) + len(word) + 1 > room and lines[-1] and len(lines) < most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return [text(8, y + index * (size + 3), line, font_size=size) for index, line in enumerate(lines)]
