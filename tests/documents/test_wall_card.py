"""The card for the wall: one page, and the words on it are the words on the screens."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from honeyhold.documents.pdf import pdf_bytes

ROOT = Path(__file__).resolve().parents[2]
CARD = ROOT / "demo_seed/wall-card.html"
KEYS = [
    "someone new", "do that", "Read back, then promise", "Promise", "undo", "needs you", "knock out", "Packed", "on the scale",
    "print the slip", "Mailed",
]  # fmt: skip


def test_it_is_one_page() -> None:
    pages = PdfReader(io.BytesIO(pdf_bytes(CARD.read_text("utf-8")))).pages
    assert len(pages) == 1
    assert "When the phone rings" in pages[0].extract_text()


@pytest.mark.parametrize("words", KEYS)
def test_what_it_tells_to_touch_is_on_a_screen(words: str) -> None:
    said = " ".join(path.read_text("utf-8") for folder in ("rooms", "parts") for path in (ROOT / "web" / folder).rglob("*.js"))
    assert words in CARD.read_text("utf-8")
    assert re.search(rf"[>\"'` ]{re.escape(words)}[<\"'`, ]", said)
