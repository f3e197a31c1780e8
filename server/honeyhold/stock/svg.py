"""Small pieces of SVG, written by hand so that screen and paper show the same picture.

Meaning is carried by texture first (solid, hatched, outlined) and colour second, so a picture also reads in
black and white. Colours are plain attributes, which any style sheet overrides by class: `ground`, `ink`,
`wax`, `hatch`, `thick`, `warn`, `band`, `quiet`. No identifiers are used, so many pictures may stand in one
page.
"""

from __future__ import annotations

from html import escape

PAPER = "#f4efe2"
INK = "#241c14"
WAX = "#e2ae3f"
PROPOLIS = "#8c2f1b"
QUIET = "#5d5244"  # grey-brown for lesser words, still 6.6 : 1 on paper

WIDTH = 360.0


def fmt(value: float) -> str:
    """A coordinate to a hundredth, without needless zeros, the same on every machine."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def box(x: float, y: float, width: float, height: float) -> str:
    """The outline of a box as path data."""
    return f"M{fmt(x)} {fmt(y)}h{fmt(width)}v{fmt(height)}h{fmt(-width)}z"


def hatching(x: float, y: float, width: float, height: float, step: float = 5.0) -> str:
    """Slanted lines inside a box as path data, rising to the right and cut exactly at its edges.

    The lines are placed on x + y = a multiple of `step`, so neighbouring boxes of one row carry on each
    other's lines.
    """
    lines = []
    corner = x + y
    place = (corner // step + 1) * step
    while place < corner + width + height:
        along = place - corner
        x1, y1 = (x, y + along) if along <= height else (x + along - height, y + height)
        x2, y2 = (x + along, y) if along <= width else (x + width, y + along - width)
        lines.append(f"M{fmt(x1)} {fmt(y1)}L{fmt(x2)} {fmt(y2)}")
        place += step
    return "".join(lines)


def path(
    data: str, kind: str, *, fill: str = "none", stroke: str = "none", width: float = 1.0, more: str = ""
) -> str:
    """One path element of class `kind`; nothing at all when there is nothing to draw."""
    if not data:
        return ""
    drawn = f' stroke="{stroke}" stroke-width="{fmt(width)}"' if stroke != "none" else ""
    return f'<path class="{kind}" d="{data}" fill="{fill}"{drawn}{more}/>'


def label(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 14,
    kind: str = "ink",
    bold: bool = False,
    anchor: str = "start",
) -> str:
    """A line of text; its base line is at y."""
    fill = {"ink": INK, "quiet": QUIET, "warn": PROPOLIS}[kind]
    weight = ' font-weight="700"' if bold else ""
    place = f' text-anchor="{anchor}"' if anchor != "start" else ""
    spot = f'x="{fmt(x)}" y="{fmt(y)}" font-size="{fmt(size)}"'
    return f'<text class="{kind}" {spot} fill="{fill}"{weight}{place}>{escape(words, quote=False)}</text>'


def picture(height: float, title: str, desc: str, parts: list[str]) -> str:
    """A whole picture, 360 units wide, on the paper ground, with its title and description for those who
    listen.
    """
    title, desc = escape(title, quote=False), escape(desc, quote=False)
    ground = path(box(0, 0, WIDTH, height), "ground", fill=PAPER)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {fmt(WIDTH)} {fmt(height)}" role="img" '
        f'font-family="inherit"><title>{title}</title><desc>{desc}</desc>'
        f"{ground}{''.join(parts)}</svg>"
    )
