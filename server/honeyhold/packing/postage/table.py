"""The price table as text that a spreadsheet opens: read with every fault told by its line, and written back.

Columns: row (price or fee), service, zone, up_to_oz, what (of a fee), over (of a fee), cents, example (yes for the shipped rows).
"""

from __future__ import annotations

import csv
from collections.abc import Collection
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import read_number
from honeyhold.packing.postage.grid import Once, weight_said
from honeyhold.packing.postage.quote import FEES

COLUMNS = ("row", "service", "zone", "up_to_oz", "what", "over", "cents", "example")
MAX_ROWS = 5000
Json = dict[str, Any]


class _Lines:
    """Where the writer puts its lines: in memory, since this package touches no files."""

    def __init__(self) -> None:
        self.lines: list[str] = []

    def write(self, line: str) -> None:
        """Keep one line."""
        self.lines.append(line)


def _number(text: str, name: str, whole: bool = False) -> float | int:
    """A number as typed; raises BadRequest naming the column."""
    try:
        value = float(text)
    except ValueError:
        raise BadRequest(f"{name} is {text[:40]!r}, which is no number", "Give a plain number.") from None
    number = read_number(value, name)
    if whole and number.denominator != 1:
        raise BadRequest(f"{name} is {text!r}, not a whole number of cents", "Give cents without a point.")
    return int(number) if number.denominator == 1 else value


def _price(row: dict[str, str], zones: Collection[str]) -> Json:
    if not row["zone"]:
        raise BadRequest("zone is empty", "Say which zone the price is for.")
    if zones and row["zone"] not in zones:
        raise BadRequest(f"zone is {row['zone'][:40]!r}", f"Give one of {', '.join(zones)}.")
    up_to = _number(row["up_to_oz"], "up_to_oz")
    if not up_to:
        raise BadRequest("up_to_oz is 0", "Say up to how many ounces the price holds.")
    return {"service": row["service"], "zone": row["zone"], "up_to_oz": up_to, "cents": _number(row["cents"], "cents", True),
            "example": row["example"].lower() == "yes"}  # fmt: skip


def _fee(row: dict[str, str]) -> Json:
    if row["what"] not in FEES:
        raise BadRequest(f"what is {row['what'][:40]!r}", f"Give one of {', '.join(FEES)}.")
    return {"what": row["what"], "over": _number(row["over"], "over"), "cents": _number(row["cents"], "cents", True),
            "example": row["example"].lower() == "yes"}  # fmt: skip


def read_prices(request: Json, zones: Collection[str] = ()) -> Json:
    """`{"csv": text}` -> `{"prices": rows, "fees": rows, "errors": [{"line", "why"}], "lines"}`; good rows are kept beside bad ones.

    `lines` says of every line what was understood: `{"line", "text", "understood", "why"}`. `zones`: what a zone may be called, anything
    where none are given. Of two prices for the same service, zone and weight the first is kept.

    Raises BadRequest when there is no text, its columns are not those of the table, or it is too long.
    """
    text = request.get("csv") if isinstance(request, dict) else None
    if not isinstance(text, str):
        raise BadRequest("There is no table to read.", "Hand in its text as `csv`.")
    reader = csv.DictReader(text.lstrip("\ufeff").splitlines(keepends=True), restval="")
    missing = [name for name in COLUMNS if name not in (reader.fieldnames or ())]
    if missing:
        raise BadRequest(f"The first line lacks the columns {', '.join(missing)}.", f"It has to be: {','.join(COLUMNS)}")
    prices: list[Json] = []
    fees: list[Json] = []
    errors: list[Json] = []
    lines: list[Json] = []
    once = Once()
    for raw in reader:
        if reader.line_num > MAX_ROWS:
            raise BadRequest(f"The table has more than {MAX_ROWS} lines.", "Keep only the zones you mail to.")
        row = {name: (raw[name] or "").strip() for name in COLUMNS}
        line = {"line": reader.line_num, "text": "  ".join(filter(None, row.values()))[:120], "understood": "", "why": ""}
        try:
            if row["row"] == "price":
                price = _price(row, zones)
                if twice := once.stands_already(price, reader.line_num):
                    raise BadRequest(twice, "Keep one of the two.")
                prices.append(price)
                line["understood"] = _price_said(price)
            elif row["row"] == "fee":
                fees.append(_fee(row))
                line["understood"] = f"a fee of ${fees[-1]['cents'] / 100:.2f}"
            else:
                raise BadRequest(f"row is {row['row'][:40]!r}", "Give price or fee.")
        except BadRequest as fault:
            line["why"] = f"{fault}. {fault.remedy}"
            errors.append({"line": reader.line_num, "why": line["why"]})
        lines.append(line)
    return {"prices": prices, "fees": fees, "errors": errors, "lines": lines}


def _price_said(row: Json) -> str:
    return f"{row['service']}, zone {row['zone']}, up to {weight_said(row['up_to_oz'])}: ${row['cents'] / 100:.2f}"


def write_prices(request: Json) -> Json:
    """`{"prices": rows, "fees": rows}` -> `{"csv": text}`, which reads back as the same rows."""
    out = _Lines()
    writer = csv.DictWriter(out, COLUMNS, restval="", extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    for kind, rows in (("price", request.get("prices") or []), ("fee", request.get("fees") or [])):
        for row in rows:
            writer.writerow({**row, "row": kind, "example": "yes" if row.get("example") else ""})
    return {"csv": "".join(out.lines)}
