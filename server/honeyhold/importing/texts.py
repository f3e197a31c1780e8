"""From the bytes of a file to its text: the four ways in which spreadsheets and telephones save one."""

from __future__ import annotations

import codecs

from honeyhold.errors import BadRequest

MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


def text_of(data: bytes) -> tuple[str, str]:
    """The text and the name of its encoding. Raises BadRequest for what is no text at all."""
    if not data.strip():
        raise BadRequest("The file is empty.", "Save the list again as CSV, or as a vCard file (.vcf), and open that.")
    if data[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0") or data[:5] == b"%PDF-":
        remedy = "In that program choose Save as, then CSV, and open that file."
        raise BadRequest("This is a spreadsheet or document, not a list as text.", remedy)
    for mark, encoding in MARKS:
        if data.startswith(mark):
            return _decoded(data, encoding), encoding.removesuffix("-sig")
    wide = _without_mark(data)
    if wide:
        return _decoded(data, wide), "utf-16"
    try:
        return data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return "".join(_letter(byte) for byte in data), "windows-1252"


def _without_mark(data: bytes) -> str:
    """UTF-16 that does not say so: every second byte of plain text is 0; two letters of five are plain in a list of any script."""
    head = data[:400]
    even, odd = head[::2].count(0), head[1::2].count(0)
    most = max(1, len(head) // 2)
    ways = (("utf-16-le", odd, even), ("utf-16-be", even, odd))
    return next((encoding for encoding, plain, other in ways if plain >= 0.4 * most and other <= 0.1 * most), "")


def _decoded(data: bytes, encoding: str) -> str:
    return data.decode(encoding, errors="replace")


def _letter(byte: int) -> str:
    try:
        return bytes([byte]).decode("windows-1252")
    except UnicodeDecodeError:
        return chr(byte)
