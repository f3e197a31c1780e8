"""A list of people as a spreadsheet saves it: any order of columns, comma, semicolon or tab between them, quotes as they come."""

from __future__ import annotations

import csv
import re
from collections import Counter

from honeyhold.errors import BadRequest

LINES_MAX = 8000
COLUMNS_MAX = 60
SEPARATORS = (",", ";", "\t")
QUOTED_LINES_MAX = 4
"""A field in quotes may hold line ends (an address); one that goes on longer was opened by mistake."""

Record = tuple[int, list[str]]
FIELDS = ("name", "first", "last", "company", "phone", "street", "unit", "city", "state", "zip", "place", "email", "note")
"""What a column may be; "place" is a whole address in one cell."""

TITLES = {
    "first": r"first(?: ?name)?|given(?: ?name)?|vorname", "last": r"last(?: ?name)?|surname|family ?name|nachname",
    "name": r"(?:full |display |customer |contact |ship ?to )?names?|customer|contact|who",
    "company": r"company|organi[sz]ation(?: name)?|business(?: name)?|farm",
    "phone": r".*(?:phone|mobile|cell|telephone|tel\b|number to (?:call|ring)).*", "email": r".*e ?mail.*",
    "unit": r"unit|apt\.?|apartment|suite|address ?(?:line ?)?2|street ?2",
    "city": r".*\b(?:city|town)\b.*", "state": r".*\b(?:state|province|region)\b.*",
    "zip": r".*\b(?:zip|postal|post ?code|postcode|plz)\b.*", "street": r".*\bstreet\b.*|address ?(?:line ?)?1|.*address.*|po box",
    "note": r"notes?|comments?|remarks?|memo",
}  # fmt: skip
LIKE = {
    "email": re.compile(r"[^@\s]+@[^@\s]+\.\w+"), "phone": re.compile(r"\+?[\d\s().\-/]{7,20}"), "zip": re.compile(r"\d{5}(?:-\d{4})?"),
    "state": re.compile(r"[A-Z]{2}"), "street": re.compile(r"\d+\s+\S+.*|p\.?\s*o\.?\s*box\s+\d+", re.IGNORECASE),
}  # fmt: skip


def records_of(text: str) -> tuple[list[Record], list[tuple[int, str]], str]:
    """The records with the line each begins at, those whose quotes had to be taken as plain signs, and the separator."""
    lines = text.splitlines()
    if len(lines) > LINES_MAX:
        raise BadRequest(f"The list has {len(lines)} lines; {LINES_MAX} can be read at once.", "Divide it into several files.")
    separator = separator_of(lines)
    records: list[Record] = []
    mended: list[tuple[int, str]] = []
    at = 0
    while at < len(lines):
        many = _lines_of_record(lines, at, separator)
        joined = "\n".join(lines[at : at + max(1, many)])
        if many == 0:
            mended.append((at + 1, "a quotation mark in it is not closed"))
        if joined.strip():
            records.append((at + 1, _cells(joined, separator, plain=many == 0)))
        at += max(1, many)
    return records, mended, separator


def separator_of(lines: list[str]) -> str:
    """The sign that divides most lines into the same number of cells, more than one."""
    head = [line for line in lines[:60] if line.strip()]

    def agreeing(separator: str) -> tuple[int, int]:
        counts = Counter(len(_cells(line, separator, plain=False)) for line in head)
        counts.pop(1, None)
        many, times = max(counts.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
        return times, many

    return max(SEPARATORS, key=agreeing)


def _lines_of_record(lines: list[str], at: int, separator: str) -> int:
    """How many lines the record takes; 0 when a quotation mark in the first is never closed."""
    marks = 0
    for many, line in enumerate(lines[at : at + QUOTED_LINES_MAX], 1):
        marks += line.count('"')
        if marks % 2 == 0:
            return many if many == 1 or _whole(lines[at : at + many], separator) else 0
    return 0


def _whole(lines: list[str], separator: str) -> bool:
    """Whether several lines are one record by the letter: each mark that closes stands before a separator or a line's end."""
    try:
        return len(list(csv.reader([line + "\n" for line in lines], delimiter=separator, strict=True))) == 1
    except csv.Error:
        return False


def _cells(record: str, separator: str, plain: bool) -> list[str]:
    if plain:
        return [cell.strip().strip('"').strip() for cell in record.split(separator)]
    rows = list(csv.reader(record.splitlines(keepends=True), delimiter=separator, skipinitialspace=True))
    cells = [cell for row in rows for cell in row]
    return [" ".join(cell.split()) for cell in cells]


def fields_of(records: list[Record]) -> tuple[list[str], bool]:
    """What each column is, and whether the first record is a heading: by the titles, else by what stands in it."""
    width = min(COLUMNS_MAX, max((len(cells) for _, cells in records), default=0))
    titled = [_by_title(cell) for cell in (records[0][1] if records else [])][:width]
    heading = sum(1 for field in titled if field) >= 1 and not any(LIKE["phone"].fullmatch(cell) for cell in records[0][1])
    fields = titled if heading else []
    fields = [*fields, *[""] * (width - len(fields))]
    rest = records[1 if heading else 0 : 200]
    for at in range(width):
        if not fields[at]:
            fields[at] = _by_content([cells[at] for _, cells in rest if at < len(cells) and cells[at]], set(fields))
    if not {"name", "first", "last", "company"} & set(fields) and not heading:
        fields = _with_name(fields, rest)
    return fields, heading


def _by_title(cell: str) -> str:
    said = " ".join(re.sub(r"[_\-/:]+", " ", cell.lower()).split())
    return next((field for field, pattern in TITLES.items() if re.fullmatch(pattern, said)), "")


def _by_content(cells: list[str], taken: set[str]) -> str:
    if not cells:
        return ""
    for field, pattern in LIKE.items():
        if field not in taken and sum(1 for cell in cells if pattern.fullmatch(cell)) > 0.6 * len(cells):
            return field
    return ""


def _with_name(fields: list[str], rest: list[Record]) -> list[str]:
    """The first column of words that is nothing else is the name, where no title said so."""
    for at, field in enumerate(fields):
        cells = [cells[at] for _, cells in rest if at < len(cells) and cells[at]]
        if not field and cells and sum(1 for cell in cells if re.search(r"[^\W\d_]{2}", cell)) > 0.6 * len(cells):
            return [*fields[:at], "name", *fields[at + 1 :]]
    return fields
