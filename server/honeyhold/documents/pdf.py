"""The edge: HTML to a tagged PDF by WeasyPrint, which is imported when the first paper is asked for.

One paper at a time: several at once are no faster and cost much memory. Nothing is fetched: only `data:`
addresses get through. The same HTML gives the same bytes.
"""

from __future__ import annotations

import atexit
import re
import threading
from base64 import b64encode
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple

from honeyhold.errors import BadRequest, HoneyholdError

FONT_FOLDER = Path("web/node_modules/@fontsource-variable/atkinson-hyperlegible-next/files")
FONT_FILES = {
    # family name in the papers' own style: file
    "Atkinson Hyperlegible Next Variable": "atkinson-hyperlegible-next-latin-wght-normal.woff2",
    "Atkinson Hyperlegible Next Ext": "atkinson-hyperlegible-next-latin-ext-wght-normal.woff2",
}
FONT_WEIGHTS = (400, 700)
_LOCK = threading.Lock()


class NoPrinter(HoneyholdError, RuntimeError):
    """This machine cannot make a PDF: libraries that WeasyPrint needs are not installed."""

    code = "no-printer"
    status = 501


class _Press(NamedTuple):
    """What is set up once: the maker of documents, the fetcher that refuses, the typefaces."""

    html: Any
    fetcher: Any
    fonts: Any
    styles: list[Any]


def pdf_bytes(html: str) -> bytes:
    """The paper as a PDF/UA-1 file.

    Raises BadRequest when the HTML has no language or no title (a tagged PDF needs both), NoPrinter when this
    machine lacks the libraries.
    """
    if not re.search(r"<html[^>]*\slang=\"[^\"]+\"", html) or not re.search(r"<title>\s*[^<\s]", html):
        message = f"A paper needs a language and a title to become a PDF; this one starts {html[:40]!r}."
        raise BadRequest(message, "Make it with the papers' own functions.")
    with _LOCK:
        press = _press()
        document = press.html(string=html, base_url=None, url_fetcher=press.fetcher)
        made = document.write_pdf(stylesheets=press.styles, font_config=press.fonts, pdf_variant="pdf/ua-1")
    if not isinstance(made, bytes):
        raise TypeError(f"the PDF came out as {type(made).__name__}, not as bytes")
    return made


@cache
def _press() -> _Press:
    try:
        from weasyprint import CSS, HTML
        from weasyprint.text.fonts import FontConfiguration
        from weasyprint.urls import URLFetcher
    except OSError as trouble:  # a shared library is not there
        raise NoPrinter(
            f"This machine cannot make a PDF ({trouble}).",
            "Print from the browser, or install libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0.",
        ) from None

    fetcher, fonts = URLFetcher(allowed_protocols=("data",)), FontConfiguration()
    styles = [CSS(string=face, font_config=fonts, url_fetcher=fetcher) for face in _font_faces()]
    atexit.register(_press.cache_clear)  # the typefaces lie in a temporary folder, which goes with them
    return _Press(HTML, fetcher, fonts, styles)


def _font_faces() -> list[str]:
    """The rules for the typefaces that are here; none is no trouble, the style names a stand-in."""
    folder = Path(__file__).resolve().parents[3] / FONT_FOLDER
    here = [(family, folder / file) for family, file in FONT_FILES.items() if (folder / file).is_file()]
    face = '@font-face {{ font-family: "{}"; font-weight: {}; src: url("{}") }}'
    return [
        face.format(family, weight, _cut(path, weight)) for family, path in here for weight in FONT_WEIGHTS
    ]


def _cut(path: Path, weight: int) -> str:
    """One weight cut from the variable typeface, as a `data:` address.

    Cut once here it costs nothing later: cut anew in every paper it doubles the time and leaves the minute in
    the file.
    """
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
    from fontTools.varLib.instancer import instantiateVariableFont  # type: ignore[import-untyped]

    font = TTFont(path, recalcTimestamp=False)
    if "latin-ext" in path.name and "GPOS" in font:
        del font["GPOS"]  # the fine spacing of rare letters costs a third of a second and nobody sees it
    instantiateVariableFont(font, {"wght": weight}, inplace=True)
    font.flavor, out = None, BytesIO()
    font.save(out)
    return "data:font/ttf;base64," + b64encode(out.getvalue()).decode("ascii")
