"""How much room words take, near enough to choose a size of type; no typeface is at hand here.

The widths are those of Atkinson Hyperlegible Next, read from its tables, a little too wide on purpose.
"""

from __future__ import annotations

POINTS_PER_MM = 72 / 25.4
X_HEIGHT = 0.496
"""Height of a small o for each unit of type size, from the typeface's own table."""
LINE_HEIGHT = 1.15
NARROW, WIDE = frozenset("iljtf.,:;'|!()[] -\u00b7"), frozenset("mwMWGOQ@%&\u2014")


def width_pt(words: str, size_pt: float, *, bold: bool = False) -> float:
    """How long a line of these words is."""
    ems = sum(0.32 if letter in NARROW else 0.86 if letter in WIDE else 0.68 if letter.isupper() else 0.56 for letter in words)
    return ems * size_pt * (1.05 if bold else 1)


def height_pt(words: str, size_pt: float, across_pt: float, *, bold: bool = False) -> float:
    """How high these words stand when they are broken into lines of this width; nothing for no words."""
    return sum(_lines(paragraph, size_pt, across_pt, bold) for paragraph in words.splitlines()) * size_pt * LINE_HEIGHT


def _lines(words: str, size_pt: float, across_pt: float, bold: bool) -> int:
    lines, at = 1, 0.0
    for word in words.split():
        long = width_pt(f"{word} ", size_pt, bold=bold)
        if at and at + long > across_pt:
            lines, at = lines + 1, 0.0
        lines += int((at + long) // across_pt) if long > across_pt else 0
        at = (at + long) % across_pt if long > across_pt else at + long
    return lines
