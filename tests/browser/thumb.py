"""A thumb on a phone: it touches and it types, and counts both."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page

from browser.finger import tap_in_peace

TOUCH_S = 0.35
"""One touch of a thumb that knows where it goes; the figure the goal of the first morning is stated with."""

CHARACTER_S = 0.25
WAIT_MS = 60_000


TWO_FRAMES = "() => new Promise((seen) => requestAnimationFrame(() => requestAnimationFrame(seen)))"
LOOK_AGAIN_MS = 30
NOTHING_RESTS = "() => !document.querySelector('[data-resting]')"


def until_nothing_rests(page: Page) -> None:
    """Where a finger just did something, nothing answers for a moment: a person does not tap there again so soon."""
    page.evaluate(TWO_FRAMES)  # a key that has just come to lie there is marked with the next frame
    page.wait_for_function(NOTHING_RESTS, timeout=WAIT_MS, polling=LOOK_AGAIN_MS)  # no promise here: what is waited for must not be one, which is always true


class Thumb:
    """Touches keys by their words and types into fields; nothing else reaches the page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.touches = 0
        self.typed = 0

    @property
    def seconds(self) -> float:
        """How long it took, by the two figures above."""
        return self.touches * TOUCH_S + self.typed * CHARACTER_S

    def on(self, place: Locator) -> None:
        """Touches it once it can be touched."""
        tap_in_peace(place)
        self.touches += 1

    def key(self, words: str) -> None:
        """Touches the key or link that says exactly this, small print apart."""
        says = re.compile(rf"^\s*{re.escape(words)}\s*$")
        keys = self.page.locator("button:visible, a.key:visible, summary:visible")
        self.on(keys.filter(has_text=says).or_(self.page.get_by_role("button", name=words, exact=True)).first)

    def digits(self, number: str) -> None:
        """Touches one key of the large keys for each sign."""
        for sign in number:
            self.key(sign)

    def write(self, field: Locator, text: str) -> None:
        """Touches a field and types into it."""
        self.on(field)
        self.page.keyboard.type(text)
        self.typed += len(text)
