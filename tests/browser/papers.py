"""What goes to the printer: a page is printed through a frame of its own, and only the frame's own `print` puts it on paper."""

from __future__ import annotations

from playwright.sync_api import Page

WATCH = """() => {
  window.printed = [];
  const take = (frame) => { frame.contentWindow.print = () => window.printed.push(frame.contentDocument.body.innerText); };
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
