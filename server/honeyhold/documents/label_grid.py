"""A sheet of labels by its measures: how many across and down, where the first stands, how far apart, how large, what a printer is off.

Lengths are texts such as "2 5/8 in" or "66 mm", as a label maker's package says them, and stay exact fractions of a millimeter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from honeyhold.documents.page import Paper
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import MM_PER_IN, read_length

SHEETS = {"letter": (Fraction(17, 2) * MM_PER_IN, 11 * MM_PER_IN), "a4": (Fraction(210), Fraction(297))}
ACROSS_MOST, DOWN_MOST = 20, 40
NUDGE_MOST_MM = 20
LEAST_MM = 10
"""A label smaller than this bears no words that anyone reads."""


@dataclass(frozen=True)
class Spot:
    """Where a label stands on its sheet, from the top left corner of the paper, in millimeters."""

    sheet: int
    left: Fraction
    top: Fraction


@dataclass(frozen=True)
class LabelGrid:
    """A sheet's measures, in millimeters."""

    paper: Paper
    sheet_width: Fraction
    sheet_height: Fraction
    columns: int
    rows: int
    left: Fraction
    top: Fraction
    across: Fraction
    down: Fraction
    width: Fraction
    height: Fraction
    nudge_x: Fraction
    nudge_y: Fraction

    @property
    def on_a_sheet(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows

    def spots(self, count: int, first: int = 1) -> Iterator[Spot]:
        """Where so many labels stand, row by row, from label number `first` of the first sheet on."""
        for place in range(first - 1, first - 1 + count):
            sheet, at = divmod(place, self.on_a_sheet)
            row, column = divmod(at, self.columns)
            left = self.left + column * self.across + self.nudge_x
            yield Spot(sheet, left, self.top + row * self.down + self.nudge_y)


def read_grid(sheet: Reader) -> LabelGrid:
    """The setting `label_sheet`: `paper` (`letter` or `a4`), `columns`, `rows`, `left`, `top` (the first label's corner), `across`, `down`
    (from one label to the next), `width`, `height`, `nudge_x`, `nudge_y` (what the printer is off, plus to the right and down; may be
    missing). Raises BadRequest for what cannot be read, and for labels that overlap or hang over the paper.
    """
    size = sheet.choice("paper", {name: name for name in SHEETS}, "letter")
    width, height = SHEETS[size]
    grid = LabelGrid(
        paper=Paper(f"{float(width):.4f}mm {float(height):.4f}mm", "0", 9),
        sheet_width=width,
        sheet_height=height,
        columns=_count(sheet, "columns", ACROSS_MOST),
        rows=_count(sheet, "rows", DOWN_MOST),
        **{name: read_length(sheet.raw(name), sheet.where + name) for name in ("left", "top", "across", "down", "width", "height")},
        nudge_x=_nudge(sheet, "nudge_x"),
        nudge_y=_nudge(sheet, "nudge_y"),
    )
    _check(grid, sheet)
    return grid


def _count(sheet: Reader, key: str, most: int) -> int:
    count = sheet.units(key, least=1)
    if count > most:
        raise sheet.wrong(key, f"at most {most}")
    return count


def _nudge(sheet: Reader, key: str) -> Fraction:
    words = sheet.text(key)
    if not words:
        return Fraction(0)
    back = words.startswith(("-", "\N{MINUS SIGN}"))
    length = read_length(words[1:] if back else words, sheet.where + key)
    if length > NUDGE_MOST_MM:
        raise sheet.wrong(key, f"at most {NUDGE_MOST_MM} mm either way")
    return -length if back else length


def _check(grid: LabelGrid, sheet: Reader) -> None:
    """Labels that are too small, overlap, or hang over the edge."""
    if min(grid.width, grid.height) < LEAST_MM:
        raise BadRequest(f"The labels are less than {LEAST_MM} mm high or wide.", "Measure one label again.")
    if (grid.columns > 1 and grid.across < grid.width) or (grid.rows > 1 and grid.down < grid.height):
        raise BadRequest("The labels overlap.", "From one label to the next is measured from left edge to left edge, from top to top.")
    right = grid.left + (grid.columns - 1) * grid.across + grid.width
    bottom = grid.top + (grid.rows - 1) * grid.down + grid.height
    slack = Fraction(1, 2)  # a maker's rounded measures
    if right > grid.sheet_width + slack or bottom > grid.sheet_height + slack:
        over = f"{float(right):.1f} mm wide and {float(bottom):.1f} mm high"
        raise BadRequest(f"The labels need a sheet {over}: larger than the paper.", "Measure the sheet again, and choose its paper.")
