"""The papers as PDF, read back by another library (pypdf)."""

from __future__ import annotations

import io
import json
import py_compile
import re
import subprocess
import sys
import threading
import zipfile
from base64 import b64decode
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from documents.example_orders import HOUSE, forty_lines, orla
from honeyhold.documents import pdf
from honeyhold.documents.doors import gathering_html, label_html, slip_html
from honeyhold.documents.pdf import pdf_bytes
from honeyhold.errors import BadRequest

NAMES = [
    "Élodie Özgür-Łukaszewicz",
    "Ștefan Țîrlea",
    "Jürgen Großmann",
    "Ñandú O\u2019Brien-Sørensen",
    "Őze Žižka",
]


def _pages(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def _slip(**changes: object) -> bytes:
    return pdf_bytes(slip_html(orla(**changes))["html"])


@pytest.mark.parametrize("name", NAMES)
def test_names_with_accents_come_back_as_they_went_in(name: str) -> None:
    pages = _pages(_slip(person={**orla()["person"], "name": name}))
    assert name in pages[0]


def test_an_everyday_order_fits_one_letter_page() -> None:
    reader = PdfReader(io.BytesIO(_slip()))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == (612, 792)  # 8.5 by 11 in at 72 points


def test_a5_is_148_by_210_mm() -> None:
    """ISO 216."""
    box = PdfReader(io.BytesIO(_slip(size="a5"))).pages[0].mediabox
    assert [round(float(side) * 25.4 / 72, 1) for side in (box.width, box.height)] == [148.0, 210.0]


@pytest.mark.parametrize("size", ["letter", "a5"])
def test_forty_lines_come_back_and_every_page_says_whose_it_is(size: str) -> None:
    pages = _pages(_slip(lines=forty_lines(), size=size))
    whole = " ".join(pages)
    assert all(f"jar number {n} of honey" in whole for n in range(1, 41))
    assert len(pages) >= 2
    for number, page in enumerate(pages[1:], 2):
        assert "Nine Lindens Honey House \u00b7 packing slip A-1 \u00b7 Orla Tennick" in page
        assert f"page {number} of {len(pages)}" in page
    assert "how many what lot" in pages[1]
    assert "page 1 of" not in pages[0]


def test_a_long_word_wraps_and_loses_no_letter() -> None:
    word = "Donaudampfschifffahrtsgesellschaftskapitänswitwenrentenantragsformularausgabestelle"
    page = _pages(_slip(person={**orla()["person"], "name": word}))[0]
    assert word in page.replace(" ", "")


def test_readable_at_an_arms_length() -> None:
    """Body type of 12 points or more on letter paper: common practice for a bench, no source."""
    heights: list[float] = []

    def look(text: str, _: object, matrix: list[float], __: object, size: float) -> None:
        if "one-ounce wax bars" in text:
            heights.append(abs(size * matrix[3]))

    PdfReader(io.BytesIO(_slip())).pages[0].extract_text(visitor_text=look)
    assert heights and min(heights) >= 12 - 0.01


def test_the_same_order_gives_the_same_bytes() -> None:
    assert _slip() == _slip()


def test_the_pdf_is_tagged_and_says_its_language_and_title() -> None:
    """PDF/UA-1 (ISO 14289-1): marked, a structure tree, a language, a title that the window shows."""
    reader = PdfReader(io.BytesIO(_slip()))
    catalog = reader.trailer["/Root"]
    assert catalog["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in catalog
    assert catalog["/Lang"] == "en-US"
    assert catalog["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None and reader.metadata.title == "Packing slip A-1 for Orla Tennick"
    assert b"pdfuaid" in catalog["/Metadata"].get_data()


def test_the_other_papers_print_too() -> None:
    sheet = _pages(
        pdf_bytes(gathering_html({"house": HOUSE, "day": "2026-07-22", "orders": [orla()]})["html"])
    )
    assert "Gathering sheet" in sheet[0]
    parcel = orla()["parcels"][0]
    labels = pdf_bytes(
        label_html(orla(parcels=[{**parcel, "of": 2}, {**parcel, "part": 2, "of": 2}]))["html"]
    )
    reader = PdfReader(io.BytesIO(labels))
    boxes = [page.mediabox for page in reader.pages]
    assert [(round(float(box.width)), round(float(box.height))) for box in boxes] == [(288, 432)] * 2
    assert "DULUTH MN" in _pages(labels)[0]


def test_a_paper_without_language_or_title_is_refused() -> None:
    with pytest.raises(BadRequest, match="language and a title"):
        pdf_bytes("<p>words</p>")


def test_nothing_is_fetched(tmp_path: Path) -> None:
    """A file that a paper asks for stays out of it: the style that would hide the words does not arrive."""
    style = tmp_path / "style.css"
    style.write_text("p { display: none }", encoding="utf-8")
    page = '<html lang="en"><title>t</title><link rel="stylesheet" href="{}"><p>still here</p></html>'
    assert _pages(pdf_bytes(page.format(style.as_uri()))) == ["still here"]


def test_two_hands_at_once_get_their_own_papers() -> None:
    made: dict[str, bytes] = {}

    def hand(name: str) -> None:
        made[name] = _slip(person={**orla()["person"], "name": name})

    hands = [threading.Thread(target=hand, args=(name,)) for name in NAMES[:3]]
    for one in hands:
        one.start()
    for one in hands:
        one.join(timeout=60)
    assert all(name in _pages(made[name])[0] for name in NAMES[:3])


def test_the_slip_is_made_from_inside_a_zip_of_compiled_modules(tmp_path: Path) -> None:
    """As in the browser, where the package lies in a zip of .pyc; nothing there imports WeasyPrint."""
    server = Path(__file__).resolve().parents[2] / "server"
    archive = tmp_path / "honeyhold.zip"
    with zipfile.ZipFile(archive, "w") as packed:
        sources = [server / "honeyhold" / name for name in ("__init__.py", "errors.py", "wire.py")]
        for package in ("documents", "quoting", "packing", "heat", "stock"):
            sources += sorted((server / "honeyhold" / package).rglob("*.py"))
        for source in sources:
            compiled = py_compile.compile(str(source), cfile=str(tmp_path / "compiled.pyc"), doraise=True)
            packed.write(compiled, str(source.relative_to(server).with_suffix(".pyc")))
        for template in (server / "honeyhold/documents/templates").iterdir():
            packed.write(template, str(template.relative_to(server)))
    program = (
        "import sys, json; sys.path[:] = [sys.argv[1]] + [p for p in sys.path if not p.endswith('/server')]\n"
        "from honeyhold.documents.doors import slip_html; import honeyhold.documents.slip as made\n"
        "assert sys.argv[1] in made.__file__, made.__file__\n"
        "request = json.load(sys.stdin); print(slip_html(request)['title'])\n"
        "assert 'weasyprint' not in sys.modules"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(archive)],
        input=json.dumps(orla()),
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert (done.stdout.strip(), done.stderr) == ("Packing slip A-1 for Orla Tennick", "")


def test_each_typeface_is_cut_to_its_weight() -> None:
    """No paper carries the whole variable typeface: `fvar` is OpenType's table of axes."""
    faces = [re.search(r'font-weight: (\d+); src: url\("data:font/ttf;base64,([^"]+)"', face) for face in pdf._font_faces()]
    assert faces, "the typefaces are set up with the tests"
    folder = Path(pdf.__file__).resolve().parents[3] / pdf.FONT_FOLDER
    of_their_makers = {TTFont(folder / file)["head"].modified for file in pdf.FONT_FILES.values() if (folder / file).is_file()}
    for face in faces:
        assert face is not None
        font = TTFont(io.BytesIO(b64decode(face[2])))
        assert "fvar" not in font and font["OS/2"].usWeightClass == int(face[1])
        assert font["head"].modified in of_their_makers, "not the minute in which it was cut: the same paper is the same file"
