"""A carrier's price table as a carrier prints it: a line for each weight, a column for each zone, pasted or saved as a file.

The first line names the zones ("Zone 1", "Zones 1-2", "3") and, over the weights, their unit ("Weight not over (lb)"); a weight may also
carry its own ("8 oz"). Cells are dollars ("$6.10"); an empty one means that the carrier has no such price. Every line comes back with what
was understood of it, or why it was not.
"""

from __future__ import annotations

import csv
import re
from typing import Any

from honeyhold.errors import BadRequest

Json = dict[str, Any]

SERVICE = "ground"
OZ_PER_LB = 16
MAX_LINES = 2000
ZONE = re.compile(r"(?:zones?)?\s*([1-9])(?:\s*(?:-|–|to|&|and)\s*([1-9]))?", re.IGNORECASE)
WEIGHT = re.compile(r"(?:up\s*to|not\s*over|over)?\s*(\d+(?:\.\d+)?|\d+\s*/\s*\d+)\s*(oz|ounces?|lbs?|pounds?)?\.?", re.IGNORECASE)
DOLLARS = re.compile(r"\$?\s*(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d{1,2}))?")
OWN_COLUMN = "up_to_oz"  # stands in the first line of the table as this house keeps it
SEPARATORS = ("\t", ";", ",")


class Once:
    """Each price of a table once: where one with another sum stands already, nobody can tell which of them holds."""

    def __init__(self) -> None:
        self._lines: dict[tuple[str, str, float], int] = {}

    def stands_already(self, price: Json, line: int) -> str:
        """Why a price cannot stand in this line, or nothing."""
        before = self._lines.setdefault((price["service"], price["zone"], price["up_to_oz"]), line)
        return "" if before == line else f"zone {price['zone']}, up to {weight_said(price['up_to_oz'])} stands in line {before} already"


def cells_of(text: str) -> list[tuple[int, list[str]]]:
    """(number, cells) of each line that is not empty, split at the separator that the first lines use most."""
    text = text.lstrip("\ufeff")
    head = "\n".join(text.splitlines()[:5])
    separator = max(SEPARATORS, key=head.count)
    reader = csv.reader(text.splitlines(keepends=True), delimiter=separator)
    found = []
    for cells in reader:
        if reader.line_num > MAX_LINES:
            raise BadRequest(f"The table has more than {MAX_LINES} lines.", "Keep only the weights and zones you mail to.")
        if any(cell.strip() for cell in cells):
            found.append((reader.line_num, [cell.strip() for cell in cells]))
    return found


def is_grid(text: str) -> bool:
    """Whether one of the first lines names zones, as no table with named columns does."""
    rows = cells_of(text)
    return not (rows and OWN_COLUMN in rows[0][1]) and _head(rows) is not None


def read_grid(text: str) -> Json:
    """`{"prices", "fees": [], "errors": [{"line", "why"}], "lines": [{"line", "text", "understood", "why"}]}`.

    Raises BadRequest when no line names the zones.
    """
    rows = cells_of(text)
    head = _head(rows)
    if head is None:
        remedy = "Let the first line say the zones (Zone 1, Zone 2 ...), and begin each other line with a weight."
        raise BadRequest("No line of it names the zones.", remedy)
    place, zones, unit = head
    once = Once()
    read = [_line(number, cells, zones, unit, once) for number, cells in rows[place + 1 :]]
    before = [{"line": number, "text": _shown(cells), "understood": "a heading, left out", "why": ""} for number, cells in rows[:place]]
    said = {"line": rows[place][0], "text": _shown(rows[place][1]), "understood": _zones_said(zones, unit), "why": ""}
    lines = [*before, said, *(line for line, _ in read)]
    return {
        "prices": [price for _, prices in read for price in prices],
        "fees": [],
        "errors": [{"line": line["line"], "why": line["why"]} for line in lines if line["why"]],
        "lines": lines,
    }


def _head(rows: list[tuple[int, list[str]]]) -> tuple[int, dict[int, list[int]], str] | None:
    """Which row names the zones, the zones of each column, and the unit over the weights ("oz", "lb" or "")."""
    for place, (_, cells) in enumerate(rows[:10]):
        zones = {at: found for at, cell in enumerate(cells[1:], 1) if (found := _zones(cell))}
        named = any("zone" in cell.lower() for cell in cells)
        if (len(zones) >= 2 and not WEIGHT.fullmatch(cells[0])) or (zones and named):
            return place, zones, _unit(" ".join([cells[0], *(row[0] for _, row in rows[:place])]).lower())
    return None


def _unit(above: str) -> str:
    """The unit that stands over the weights, or nothing."""
    if re.search(r"\b(?:lbs?|pounds?)\b", above):
        return "lb"
    return "oz" if re.search(r"\b(?:oz|ounces?)\b", above) else ""


def _zones(cell: str) -> list[int]:
    found = ZONE.fullmatch(cell.strip())
    if not found:
        return []
    first, last = int(found[1]), int(found[2] or found[1])
    return list(range(first, last + 1))


def _line(number: int, cells: list[str], zones: dict[int, list[int]], unit: str, once: Once) -> tuple[Json, list[Json]]:
    line = {"line": number, "text": _shown(cells), "understood": "", "why": ""}
    ounces, why = _ounces(cells[0], unit)
    if why:
        return {**line, "why": why}, []
    prices, bad = [], []
    for at, numbers in zones.items():
        cell = cells[at] if at < len(cells) else ""
        cents = _cents(cell)
        if cents is None and cell not in ("", "-", "–", "—", "n/a"):
            bad.append(f"“{cell[:20]}” for zone {numbers[0]} is no price")
        if cents is not None:
            price = {"service": SERVICE, "up_to_oz": ounces, "cents": cents, "example": False}
            for zone in map(str, numbers):
                if twice := once.stands_already({**price, "zone": zone}, number):
                    bad.append(twice)
                else:
                    prices.append({**price, "zone": zone})
    if not prices and not bad:
        bad.append("no price stands in this line")
    return {**line, "understood": _prices_said(prices, ounces), "why": "; ".join(bad)}, prices


def _ounces(cell: str, unit: str) -> tuple[float | int, str]:
    """The weight a line begins with, in ounces, or why it is none."""
    found = WEIGHT.fullmatch(cell)
    if not found:
        return 0, f"“{cell[:30]}” is no weight: begin the line with one, such as 8 oz or 2 lb"
    named = (found[2] or unit).lower()
    if not named:
        return 0, f"“{cell[:30]}” has no unit: write oz or lb beside it, or over the weights"
    over, _, under = found[1].partition("/")
    if under and not float(under):
        return 0, f"“{cell[:30]}” is no weight: nothing can be divided by 0"
    number = float(over) / float(under or 1)
    ounces = number * (1 if named.startswith("o") else OZ_PER_LB)
    if not 0 < ounces <= 2400:
        return 0, f"“{cell[:30]}” is no weight of a parcel"
    return (int(ounces) if ounces == int(ounces) else round(ounces, 3)), ""


def _cents(cell: str) -> int | None:
    found = DOLLARS.fullmatch(cell)
    return int(found[1].replace(",", "")) * 100 + int((found[2] or "").ljust(2, "0")) if found else None


def weight_said(ounces: float) -> str:
    """ "8 oz", "2 lb"."""
    return f"{ounces / OZ_PER_LB:g} lb" if ounces >= OZ_PER_LB and ounces % OZ_PER_LB == 0 else f"{ounces:g} oz"


def _prices_said(prices: list[Json], ounces: float) -> str:
    if not prices:
        return ""
    cents = [price["cents"] for price in prices]
    low, high = (f"${value / 100:.2f}" for value in (min(cents), max(cents)))
    zones = [price["zone"] for price in prices]
    which = f"zone {zones[0]}" if len(zones) == 1 else f"{len(zones)} zones, {zones[0]} to {zones[-1]}"
    return f"up to {weight_said(ounces)}, {which}: {low if low == high else f'{low} to {high}'}"


def _zones_said(zones: dict[int, list[int]], unit: str) -> str:
    every = sorted({number for numbers in zones.values() for number in numbers})
    return f"zones {', '.join(map(str, every))}; weights in {unit or 'the unit beside each'}"


def _shown(cells: list[str]) -> str:
    return "  ".join(cells)[:120]
