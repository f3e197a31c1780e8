"""On a phone, upright and lying, all that a caller is told is in sight together with the keys that count; and what is drawn can be read."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.moments import Looked, Moment, days, heat_opened, in_place, looked_at, mid_sentence, parcel, too_hot
from browser.moments import at as at_place

pytestmark = pytest.mark.browser

SIZES_PX = [(390, 844), (360, 640), (844, 390)]
LEAST_TEXT_PX = 12
COUNT = {"mid-sentence": ".deck .usual .key, .deck .key.say", "too hot": ".deck .usual .key, .deck .key.say, .remedy .key",
         "days": ".deck [aria-label=Days] .key, .deck .key.say"}  # fmt: skip
# the lowest pixels of a blank belong to the blank below it as well: a finger has 48 px on each, the eye 36 on the smallest phone
OUT_OF_SIGHT = """(which) => [...document.querySelectorAll(which)].filter((part) => {
  const { left, right, top, bottom } = part.getBoundingClientRect();
  const seen = (x, y) => { const there = document.elementFromPoint(x, y); return part === there || part.contains(there); };
  return left < 0 || top < 0 || right > innerWidth || bottom > innerHeight || !seen((left + right) / 2, (top + bottom) / 2)
    || !seen((left + right) / 2, bottom - 14);
}).map((part) => `${part.className} ${part.textContent.trim()}`)"""
SMALL_LETTERS = """(least) => [...document.querySelectorAll('svg')].flatMap((picture) => {
  const scale = picture.getBoundingClientRect().width / (picture.viewBox.baseVal?.width || Infinity);
  return [...picture.querySelectorAll('text')].filter((one) => one.checkVisibility())
    .map((one) => [parseFloat(getComputedStyle(one).fontSize) * scale, one.textContent]).filter(([size]) => size && size < least);
})"""
LINES_OF_THE_SENTENCE = """() => { const words = document.createTreeWalker(document.querySelector('.sentence'), NodeFilter.SHOW_TEXT); const middles = new Set();
  while (words.nextNode()) { const range = document.createRange(); range.selectNodeContents(words.currentNode);
    for (const { top, bottom, width } of range.getClientRects()) if (width > 2) middles.add(Math.round((top + bottom) / 2)); }
  return [...middles].sort((a, b) => a - b).filter((middle, place, all) => !place || middle - all[place - 1] > 4); }"""
LINES_OF_A_NAME = """() => [...document.querySelectorAll('.places a')].filter((name) => {
  const words = document.createRange(); words.selectNodeContents(name);
  return new Set([...words.getClientRects()].map(({ top }) => Math.round(top))).size > 1 || name.scrollWidth > name.clientWidth + 1;
}).map((name) => name.textContent.trim())"""


@pytest.fixture(scope="module")
def looked(chromium: Browser, shown_house: HouseProcess) -> Iterator[Looked]:
    """A phone of the demo house."""
    with lent(chromium, viewport={"width": 390, "height": 844}, reduced_motion="reduce") as context:
        yield looked_at(Device(context.new_page(), shown_house.address), shown_house, demo=True)


def resized(page: Page, size_px: tuple[int, int]) -> None:
    """On a screen of that size, and drawn for it: a wide one has a list beside the board."""
    page.set_viewport_size({"width": size_px[0], "height": size_px[1]})
    settled(page)
    page.evaluate("() => { document.querySelector('.board')?.scrollTo(0, 0); document.querySelector('.deck')?.scrollTo(0, 0); }")


def test_what_counts_is_in_sight_together(looked: Looked) -> None:
    """Sentence, what is sure, parcel, heat, the remedy and the keys: each inside the screen, with nothing before it."""
    for name, arrange in (("mid-sentence", mid_sentence), ("too hot", too_hot), ("days", days)):
        with in_place(looked, Moment(name, arrange)) as page:
            expect(page.locator(".tile")).to_have_count(3)
            expect(page.locator(".remedy .key")).to_have_count(1 if name == "too hot" else 0)
            for size in SIZES_PX:
                resized(page, size)
                hidden = page.evaluate(OUT_OF_SIGHT, f".sentence .blank, .tile, .remedy, {COUNT[name]}")
                assert hidden == [], (name, size)
            resized(page, SIZES_PX[0])


def test_the_lines_of_the_sentence_are_evenly_high(looked: Looked) -> None:
    """So that what underlines a word never strikes through the price in the line below."""
    with in_place(looked, Moment("too hot", too_hot)) as page:
        for size in [*SIZES_PX, (1440, 900)]:
            resized(page, size)
            tops = page.evaluate(LINES_OF_THE_SENTENCE)
            steps = [below - above for above, below in pairwise(tops)]
            assert len(tops) > 2, size
            assert max(steps) - min(steps) <= 3, (size, steps)
        resized(page, SIZES_PX[0])


@pytest.mark.parametrize("place", ["melt/bottle", "melt/step/cappings", "melt/extract"])
def test_whoever_weighs_sees_every_number_key(looked: Looked, place: str) -> None:
    with in_place(looked, Moment(place, at_place(place, "weigh-walk .digits"))) as page:
        for size in SIZES_PX:
            resized(page, size)
            assert page.evaluate(OUT_OF_SIGHT, ".deck .digits .key, .deck > * > .key.say") == [], size
        resized(page, SIZES_PX[0])


def test_a_parcel_on_a_phone_on_its_side_stands_beside_its_keys(looked: Looked) -> None:
    """The list gives way to what was opened; the keys are all in sight and lie on no picture."""
    with in_place(looked, Moment("parcel", parcel)) as page:
        resized(page, (844, 390))
        expect(page.locator(".pair > .list")).to_be_hidden()
        assert page.evaluate(OUT_OF_SIGHT, "pack-deck .key") == []
        board, deck = page.locator("parcel-board .board").bounding_box(), page.locator("pack-deck").bounding_box()
        assert board and deck and board["x"] + board["width"] <= deck["x"] + 1
        resized(page, SIZES_PX[0])


def test_the_remedy_does_what_it_says(looked: Looked) -> None:
    """Touched on the smallest phone: the sentence says so, and the tile of heat no longer warns."""
    with in_place(looked, Moment("too hot", too_hot)) as page:
        resized(page, (360, 640))
        page.locator(".remedy .key", has_text="do that").click()
        expect(page.locator(".sentence")).to_contain_text("held at the post office there")
        expect(page.locator(".tile[data-heed]")).to_have_count(0)
        expect(page.locator(".remedy")).to_have_count(0)
        resized(page, SIZES_PX[0])


def test_letters_in_pictures_can_be_read(looked: Looked) -> None:
    """No letter of a drawing is under 12 px at the size it is shown, on the smallest phone, lying, and wide."""
    moments = [Moment("heat", heat_opened), Moment("parcel", parcel), Moment("shelf", at_place("shelf/bar", "kernel-picture svg")),
               Moment("melt", at_place("melt", "melt-by svg")), Moment("season", at_place("book/season/", "season-board"))]  # fmt: skip
    for moment in moments:
        with in_place(looked, moment) as page:
            for size in [*SIZES_PX, (360, 640), (1024, 768), (1440, 900)]:
                resized(page, size)
                assert page.evaluate(SMALL_LETTERS, LEAST_TEXT_PX) == [], (moment.name, size)
            resized(page, SIZES_PX[0])


def test_small_letters_would_be_found(looked: Looked) -> None:
    """The measure above can fail."""
    with in_place(looked, Moment("shelf", at_place("shelf/bar", "kernel-picture svg"))) as page:
        page.evaluate("() => document.querySelector('kernel-picture svg text').setAttribute('font-size', '9')")
        assert page.evaluate(SMALL_LETTERS, LEAST_TEXT_PX) != []


def test_a_drawing_opens_as_large_as_the_screen(looked: Looked) -> None:
    """A touch on the trip shows it from edge to edge; Escape brings the call back, with the keyboard where it was."""
    with in_place(looked, Moment("heat", heat_opened)) as page:
        page.get_by_role("button", name="See it large").last.click()
        large = page.locator("dialog.large-picture")
        expect(large.locator("svg")).to_be_visible()
        assert large.evaluate("(one) => one.offsetWidth") == SIZES_PX[0][0]
        assert large.locator("svg").evaluate("(one) => one.getBoundingClientRect().width") > SIZES_PX[0][0] * 0.9
        page.keyboard.press("Escape")
        expect(large).to_have_count(0)
        assert page.evaluate("document.activeElement.className") == "enlarge"


@pytest.mark.parametrize("size_px", SIZES_PX)
def test_with_letters_twice_as_large_the_rooms_names_stay_whole(looked: Looked, size_px: tuple[int, int]) -> None:
    with in_place(looked, Moment("counter", at_place("counter", "[data-blank=who]"))) as page:
        resized(page, size_px)
        page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
        broken = page.evaluate(LINES_OF_A_NAME)
        wide = page.evaluate("document.documentElement.scrollWidth")
        page.evaluate("() => { document.documentElement.style.fontSize = ''; }")
        resized(page, SIZES_PX[0])
        assert broken == []
        assert wide <= size_px[0]


def test_at_four_hundred_percent_the_page_is_one_to_scroll(looked: Looked) -> None:
    """A laptop's screen at 400 % (320 by 256, WCAG 1.4.10): what stays fixed leaves more than half of it to what is read."""
    with in_place(looked, Moment("mid-sentence", mid_sentence)) as page:
        resized(page, (320, 256))
        fixed = page.evaluate(
            """() => [...document.querySelectorAll('*')].filter((part) => ['fixed', 'sticky'].includes(getComputedStyle(part).position)
                 && part.checkVisibility()).reduce((sum, part) => sum + part.getBoundingClientRect().height, 0)"""
        )
        wide, high = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
        resized(page, SIZES_PX[0])
        assert fixed < 256 / 2
        assert wide <= 320
        assert high > 256
