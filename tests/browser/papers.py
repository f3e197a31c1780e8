"""What goes to the printer: a page is printed through a frame of its own, and only the frame's own `print` puts it on paper."""

from __future__ import annotations

import base64
import io

from playwright.sync_api import Page
from pypdf import PdfReader

from documents.sheets import a_picture

WATCH = """() => {
  window.printed = [];
  window.printedPages = [];
  const take = (frame) => { frame.contentWindow.print = () => {
    window.printed.push(frame.contentDocument.body.innerText); window.printedPages.push(frame.srcdoc); }; };
  new MutationObserver((changes) => changes.forEach(({ addedNodes }) => addedNodes.forEach((node) => {
    if (node.tagName === 'IFRAME') node.addEventListener('load', () => take(node), { once: true });
  }))).observe(document.body, { childList: true });
}"""


def watch_the_printer(page: Page) -> None:
    """From now on this page prints into `printed`; nothing opens."""
    page.evaluate(WATCH)


def printed(page: Page) -> list[str]:
    """The words of every sheet that went to the printer since."""
    return [str(words) for words in page.evaluate("window.printed")]


def pages_printed(page: Page) -> list[str]:
    """The whole HTML of every sheet that went to the printer since."""
    return [str(html) for html in page.evaluate("window.printedPages")]


def a_png() -> bytes:
    """A small picture."""
    return base64.b64decode(a_picture().split(",", 1)[1])


def as_pdf(page: Page, html: str) -> PdfReader:
    """What this browser's own printing makes of a page, on the paper that the page itself asks for."""
    sheet = page.context.new_page()
    sheet.set_content(html)
    made = PdfReader(io.BytesIO(sheet.pdf(prefer_css_page_size=True)))
    sheet.close()
    return made
