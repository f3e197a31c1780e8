"""The heat sheet: both pictures, what was told and by which weather, on one page."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader
from tests.quoting.test_call import asked

from honeyhold import kernel
from honeyhold.documents.pdf import pdf_bytes
from honeyhold.errors import BadRequest


@pytest.mark.parametrize("size", ["letter", "a5"])
def test_both_pictures_and_the_words_stand_on_one_page(size: str) -> None:
    sheet = kernel.work("documents.heat", asked({"bar": 10, "jar_12": 1}, "85281", who="Dez Ito", number="A-2", size=size))
    assert sheet["title"] == "Heat on the way, Dez Ito" and sheet["html"].count("<svg") == 2
    pages = PdfReader(io.BytesIO(pdf_bytes(sheet["html"]))).pages
    told = " ".join(pages[0].extract_text().split())
    assert len(pages) == 1
    for words in (
        "order A-2", "The bars may get dents, 1 chance in", "By the monthly normals.", "held at the post office counter", "This is advice.",
        "mailbox",
    ):  # fmt: skip
        assert words in told


def test_where_nothing_is_known_there_is_no_sheet() -> None:
    with pytest.raises(BadRequest, match="No climate is known"):
        kernel.work("documents.heat", asked({"bar": 10}, "00000"))
