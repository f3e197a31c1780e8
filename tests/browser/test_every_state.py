"""Every moment of a day, light and dark: no rule of WCAG 2.2 AA is broken, every target is large enough, the colors stand apart.

Sources: W3C, Web Content Accessibility Guidelines 2.2: 1.4.3 and 1.4.11 (contrast, 4.5 and 3 to 1), 2.5.5 (targets of 44 px, links within text
apart); the rules themselves by axe-core, a reference library that nothing else uses.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.moments import MOMENTS, Looked, Moment, at, in_place, looked_at, mid_sentence
from browser.test_accessible import JUDGED, LEVELS, REFERENCE
from browser.test_call_in_view import LEAST_TEXT_PX, SMALL_LETTERS, resized
from leaks import leaks_in

pytestmark = pytest.mark.browser

LEAST_TARGET_PX = 44
OTHER_SIZES_PX = [(360, 640), (844, 390), (1024, 768), (1440, 900)]
IN_THE_DARK_PX = {(360, 640), (1440, 900)}
ALL_WORDS = """() => [document.body.innerText, ...[...document.querySelectorAll('[aria-label], [title], [alt], [placeholder], input, textarea')]
  .flatMap((one) => [one.ariaLabel, one.title, one.getAttribute('alt'), one.getAttribute('placeholder'), one.type === 'date' ? '' : one.value])]
  .filter(Boolean).join('\\n')"""
TOO_SMALL = """(least) => [...document.querySelectorAll('button, a[href], input, select, textarea, summary, [role=checkbox]')].filter((target) => {
  const within = target.closest('label.tickline') ?? target;
  const { width, height } = within.getBoundingClientRect();
  return target.checkVisibility() && width && !target.closest('.spoken, .to-the-room, p, dd, dt, small') && (width < least || height < least);
}).map((target) => `${target.textContent.trim() || target.name} ${target.getBoundingClientRect().width} ${target.getBoundingClientRect().height}`)"""
CONTRASTS = """(pairs) => pairs.map(([first, second]) => {
  const bright = (token) => {
    const probe = document.body.appendChild(Object.assign(document.createElement('i'), { style: `color: var(--${token})` }));
    const [r, g, b] = getComputedStyle(probe).color.match(/[\\d.]+/g).map((part) => part / 255)
      .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    probe.remove();
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [low, high] = [bright(first), bright(second)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
})"""
APART: dict[tuple[str, str], float] = {
    ("ink", "paper"): 7, ("ink", "sheet"): 7, ("faint", "paper"): 4.5, ("faint", "sheet"): 4.5, ("propolis", "paper"): 4.5,
    ("propolis", "sheet"): 4.5, ("propolis", "wax-pale"): 4.5, ("ink", "wax-pale"): 7, ("on-wax", "wax"): 4.5, ("on-band", "band"): 7,
}  # fmt: skip


@pytest.fixture(scope="module")
def looked(chromium: Browser, shown_house: HouseProcess) -> Iterator[Looked]:
    """A phone of the demo house with the reference in each of its pages."""
    with lent(chromium, viewport={"width": 390, "height": 844}, reduced_motion="reduce") as context:
        page = context.new_page()
        page.add_init_script(path=REFERENCE)
        yield looked_at(Device(page, shown_house.address), shown_house, demo=True)


@pytest.fixture(scope="module", params=MOMENTS, ids=lambda moment: moment.name)
def page(request: pytest.FixtureRequest, looked: Looked) -> Iterator[Page]:
    """The page at one moment, brought about once for both tests that look at it; each leaves it as it found it."""
    with in_place(looked, request.param) as page:
        yield page


def judged(page: Page) -> list[str]:
    """What breaks a rule as the page stands, once nothing moves."""
    settled(page)
    found: Any = page.evaluate(JUDGED, LEVELS)
    return list(found)


def test_a_moment_breaks_no_rule(page: Page) -> None:
    """Light and dark, and with letters twice as large; and each target is 44 px or more."""
    try:
        assert judged(page) == []
        assert page.evaluate(TOO_SMALL, LEAST_TARGET_PX) == []
        assert leaks_in(page.evaluate(ALL_WORDS)) == []
        page.emulate_media(color_scheme="dark")
        assert judged(page) == []
        page.emulate_media(color_scheme="light")
        page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
        assert judged(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
    finally:
        page.emulate_media(color_scheme="light")
        page.evaluate("() => { document.documentElement.style.fontSize = ''; }")


def test_a_moment_breaks_no_rule_on_any_other_screen(page: Page) -> None:
    """The smallest phone, a phone on its side, a tablet, a laptop: no rule broken, no small target or letter, nothing wider than the screen."""
    try:
        for size in OTHER_SIZES_PX:
            resized(page, size)
            page.emulate_media(color_scheme="dark" if size in IN_THE_DARK_PX else "light")
            found = [*page.evaluate(TOO_SMALL, LEAST_TARGET_PX), *page.evaluate(SMALL_LETTERS, LEAST_TEXT_PX), *judged(page)]
            assert found == [], size
            assert page.evaluate("document.documentElement.scrollWidth") <= size[0], size
    finally:
        page.emulate_media(color_scheme="light")
        resized(page, (390, 844))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_colors_stand_apart(looked: Looked, scheme: str) -> None:
    with in_place(looked, Moment("mid-sentence", mid_sentence)) as page:
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        found = page.evaluate(CONTRASTS, [list(pair) for pair in APART])
        page.emulate_media(color_scheme="light")
    assert {pair: round(ratio, 2) for (pair, least), ratio in zip(APART.items(), found, strict=True) if ratio < least} == {}


def test_a_small_target_would_be_found(looked: Looked) -> None:
    """The measure above can fail."""
    with in_place(looked, Moment("counter", at("counter", ".digits .key"))) as page:
        settled(page)
        page.evaluate(
            "() => { const key = document.querySelector('.digits .key'); key.style.cssText = 'min-height:0;height:30px;padding:0'; }"
        )
        assert len(page.evaluate(TOO_SMALL, LEAST_TARGET_PX)) == 1
        page.reload()
        looked.device.load()
