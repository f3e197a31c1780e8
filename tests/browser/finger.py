"""A finger that looks before it touches: what has just come to lie where the last touch was rests for a moment, and a person waits for it.

The driver's own look is too early: it looks whether a key answers, scrolls it into view, perhaps to the very place that rests, and touches.
Tests of the resting place itself touch by coordinates, which nothing here alters.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Error, Locator

AWAKE = """async (key) => {
  const frame = () => new Promise(requestAnimationFrame);
  key.scrollIntoViewIfNeeded();
  await frame(); await frame();  // a key that has just come to lie there is marked with the next frame
  for (let looks = 0; looks < 1000 && key.isConnected && key.closest('[data-resting]'); looks += 1) await new Promise((later) => setTimeout(later, 30));
}"""
IN_PEACE = """async (key, wait_ms) => {
  const frame = () => new Promise(requestAnimationFrame);
  const until = performance.now() + wait_ms;
  key.scrollIntoViewIfNeeded();  // it may come to lie where the finger just was
  await frame(); await frame();
  while (key.isConnected && document.querySelector('[data-resting]')) {
    if (performance.now() > until) throw new Error(`Something rests without an end: ${document.querySelector('[data-resting]').textContent}`);
    await new Promise((later) => setTimeout(later, 30));
  }
  return key.isConnected;
}"""
"""The same for a finger that waits until nothing rests anywhere; whether the key is still there then. One question to the page in place of four."""
REST_MOST_MS = 60_000
REDRAWN_MOST = 100
"""So often a key may be drawn anew while it is waited for."""


def look_first() -> None:
    """From now on every `click` and `tap` of this process scrolls first, and waits until the place does not rest."""
    for name in ("click", "tap"):
        setattr(Locator, name, _patient(getattr(Locator, name)))


def _patient(touch: Callable[..., None]) -> Callable[..., None]:
    if hasattr(touch, "looks_first"):
        return touch

    def touched(self: Locator, **options: Any) -> None:
        with contextlib.suppress(Error):  # a page that loads itself anew meanwhile, or a key that is not there: the touch says so itself
            self.evaluate(AWAKE, timeout=options.get("timeout"))
        touch(self, **options)

    touched.looks_first = True  # type: ignore[attr-defined]
    touched.at_once = touch  # type: ignore[attr-defined]
    return touched


def tap_in_peace(key: Locator) -> None:
    """Taps the key once it is there and nothing rests; what the locator finds after the rest is what is touched."""
    if not any(_in_peace(key) for _ in range(REDRAWN_MOST)):
        raise AssertionError(f"It is drawn anew without an end: {key}")
    getattr(Locator.tap, "at_once", Locator.tap)(key)


def _in_peace(key: Locator) -> bool:
    try:
        return bool(key.evaluate(IN_PEACE, REST_MOST_MS))
    except Error as trouble:
        if "context was destroyed" not in trouble.message:
            raise
        return False  # a page that loaded itself anew meanwhile
