"""Reading rectangles and type sizes back from a PDF, in millimeters from the top left corner of its page."""

from __future__ import annotations

import base64
import io
import struct
import zlib
from typing import Any

from pypdf import PdfReader
from pypdf.generic import PdfObject

from honeyhold.documents.pdf import pdf_bytes

Json = dict[str, Any]
Box = tuple[float, float, float, float]
MM_PER_POINT = 25.4 / 72


def pages_of(html: str) -> list[str]:
    """The words of each page."""
    return [" ".join(page.extract_text().split()) for page in reader_of(html).pages]


def reader_of(html: str) -> PdfReader:
    """The paper as a PDF, opened by another library."""
    return PdfReader(io.BytesIO(pdf_bytes(html)))


def boxes_of(pdf: PdfReader, page: int) -> list[Box]:
    """The rectangles of a page: left, top, width, height."""
    sheet = pdf.pages[page]
    high, found = float(sheet.mediabox.height), []

    def look(operator: bytes, operands: list[PdfObject], matrix: list[float], _text: list[float]) -> None:
        if operator == b"re":
            left, bottom, width, height = (float(str(one)) for one in operands)
            x, y = matrix[0] * left + matrix[4], matrix[3] * bottom + matrix[5]
            found.append((x, high - y, matrix[0] * width, abs(matrix[3]) * height))

    sheet.extract_text(visitor_operand_before=look)
    return [(x * MM_PER_POINT, y * MM_PER_POINT, w * MM_PER_POINT, h * MM_PER_POINT) for x, y, w, h in found]


def like(box: Box, width: float, height: float) -> bool:
    """Whether a rectangle is of this size, to a tenth of a millimeter."""
    return abs(box[2] - width) < 0.1 and abs(box[3] - height) < 0.1


def a_picture(side: int = 16) -> str:
    """A small gray PNG as a data address."""
    lines = b"".join(b"\0" + bytes(200 if (x + y) % 2 else 60 for x in range(side)) for y in range(side))
    parts = ((b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)), (b"IDAT", zlib.compress(lines)), (b"IEND", b""))
    chunks = b"".join(struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body)) for name, body in parts)
    return "data:image/png;base64," + base64.b64encode(b"\x89PNG\r\n\x1a\n" + chunks).decode()
