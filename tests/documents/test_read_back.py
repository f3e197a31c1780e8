"""Every paper that the kernel prints: all its words come back from its PDF, which is tagged and the library complains of nothing."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path
from typing import Any

import pytest

from documents.sheets import reader_of
from honeyhold.kernel import TABLE, work

REQUESTS: dict[str, Any] = json.loads((Path(__file__).resolve().parents[1] / "api/work_requests.json").read_text("utf-8"))
PAPERS = sorted(name for name, one in TABLE.items() if one.module == "honeyhold.documents.doors")


def words_of(page: str) -> list[str]:
    """The texts of a paper's body, drawings left out, without white space."""
    body = re.sub(r"<svg.*?</svg>", "", page[page.index("<body>") :], flags=re.S)
    texts = [re.sub(r"\s", "", html.unescape(text)) for text in re.split(r"<[^>]+>", body)]
    return [text for text in texts if text]


def pages_in(answer: dict[str, Any]) -> list[str]:
    """The papers in an answer of the kernel."""
    return [answer[key] for key in ("html", "slip", "label") if answer.get(key)]


@pytest.mark.parametrize("name", PAPERS)
def test_all_that_is_written_comes_back_from_the_pdf(name: str, caplog: pytest.LogCaptureFixture) -> None:
    pages = pages_in(work(name, REQUESTS[name]))
    assert pages
    for page in pages:
        pdf = reader_of(page)
        read = re.sub(r"\s", "", "".join(one.extract_text() for one in pdf.pages))
        assert [text for text in words_of(page) if text not in read] == []
        assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"] and b"pdfuaid" in pdf.trailer["/Root"]["/Metadata"].get_data()
    assert [said.getMessage() for said in caplog.records if said.name == "weasyprint"] == []


def test_the_texts_of_a_paper_are_found() -> None:
    """A reading that found nothing would agree with every PDF."""
    (receipt,) = pages_in(work("documents.receipt", REQUESTS["documents.receipt"]))
    assert {"Receipt", "inall"} <= set(words_of(receipt)) and len(words_of(receipt)) > 12
