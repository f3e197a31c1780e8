"""A finger that comes down twice: one payment and no undo, one cancellation and no order taken again, no promise that was not read."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.thumb import until_nothing_rests

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
PACES_MS = (60, 100, 160)
"""How far apart the two halves of a double tap came when it was seen to write a payment and its undoing."""
DOUBLE_MOST_MS, TRIALS_MOST = 500, 40
DOWNS = """() => { window.downs = [];
  if (!window.noted) addEventListener('pointerdown', () => window.downs.push(performance.now()), { capture: true });
  window.noted = true; }"""


@pytest.fixture(scope="module")
def device(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    with lent(chromium, viewport=PHONE, has_touch=True, service_workers="block") as context:
        made = Device(context.new_page(), house_of_the_file.address)
        made.enrol(house_of_the_file.code(), "Shed phone")
        made.hold(60)
        yield made


def tap_twice(page: Page, key: Locator, pace_ms: int) -> float:
    """Two taps at one place, as far apart as a finger makes them: the pace is the test's subject, not a wait. How far apart they came."""
    key.scroll_into_view_if_needed()
    until_nothing_rests(page)  # the finger of the test before may have been here a moment ago
    box = key.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.evaluate(DOWNS)
    page.touchscreen.tap(x, y)
    page.wait_for_timeout(pace_ms)
    page.touchscreen.tap(x, y)
    page.wait_for_function("() => window.downs.length > 1")
    first, second = page.evaluate("() => window.downs")
    return float(second - first)


def double_tapped(trial: Callable[[], float]) -> None:
    """Tries until both touches came within half a second: where the machine has much else to do they are two touches, of which nothing is claimed."""
    for _ in range(TRIALS_MOST):
        if trial() <= DOUBLE_MOST_MS:
            return
    raise AssertionError(f"None of {TRIALS_MOST} pairs of touches was a double tap: this machine is too slow for it.")


def opened(device: Device, order: str) -> Page:
    device.page.goto(f"{device.address}/#book/order/{order}")
    device.page.wait_for_function("(order) => document.querySelector('order-board')?.order === order", arg=order)  # not the one before
    settled(device.page)
    return device.page


@pytest.mark.parametrize("pace_ms", PACES_MS)
def test_a_payment_is_written_once_and_not_taken_back(device: Device, pace_ms: int) -> None:
    order, page = "", device.page

    def trial() -> float:
        nonlocal order
        order = device.promise(1, f"Payer {pace_ms}", way="pick_up")["order"]
        return tap_twice(opened(device, order), page.get_by_role("button", name="paid in cash"), pace_ms)

    double_tapped(trial)
    expect(page.locator("order-board .done")).to_contain_text("paid")
    device.page.locator("order-board undo-key button:not([data-resting])").wait_for()  # whatever was to come has come
    assert device.js("return [house.view.paid(args[0]), house.view.owed(args[0])]", order) == [250, 0]
    paid = device.js("return [...known.entries.values()].filter(({ operation }) => operation.rows.some((row) => row.table === 'payment' && row.order === args[0])).length", order)
    assert paid == 1


@pytest.mark.parametrize("pace_ms", PACES_MS)
def test_a_canceled_order_stays_canceled(device: Device, pace_ms: int) -> None:
    order, before, page = "", 0, device.page

    def trial() -> float:
        nonlocal order, before
        before = len(device.js("return [...house.view.orders.keys()]"))
        order = device.promise(1, f"Caller {pace_ms}", way="pick_up")["order"]
        return tap_twice(opened(device, order), page.locator("order-board .deck > button.key.undo"), pace_ms)

    double_tapped(trial)
    device.wait_for(f"house.view.orders.get('{order}').state === 'let_go'")
    page.locator("order-board undo-key button:not([data-resting])").wait_for()
    assert len(device.js("return [...house.view.orders.keys()]")) == before + 1


@pytest.mark.parametrize("key", [".deck button:has-text('paid in cash')", ".deck > button.key.undo"], ids=["pays", "cancels"])
def test_two_touches_in_one_breath_are_one(device: Device, key: str) -> None:
    """By keyboard or voice no place rests, and no frame lies between the two: what is under way is not begun again."""
    order = device.promise(1, "Breathless", way="pick_up")["order"]
    page = opened(device, order)
    before = device.js("return known.head.seq")
    page.locator(f"order-board {key}").first.evaluate("(key) => { key.click(); key.click(); }")
    page.locator("order-board .done").wait_for()
    page.locator("order-board undo-key button").wait_for()
    assert device.js("return known.head.seq") == before + 1


def test_an_undone_payment_is_not_paid_again(device: Device) -> None:
    """The key that pays comes back where the finger undid."""
    order, page = "", device.page

    def trial() -> float:
        nonlocal order
        order = device.promise(1, "Third", way="pick_up")["order"]
        opened(device, order).get_by_role("button", name="paid in cash").tap()
        undo = page.locator("order-board undo-key button:not([data-resting])")
        undo.wait_for()
        return tap_twice(page, undo, 100)

    double_tapped(trial)
    page.locator("order-board .deck button:not([data-resting])", has_text="paid in cash").wait_for()
    assert device.js("return house.view.paid(args[0])", order) == 0


def test_nothing_is_promised_that_was_not_read(device: Device) -> None:
    """The key that promises comes up under the finger that asked to read it back."""
    name, page = "Fourth", device.page

    def trial() -> float:
        nonlocal name
        name = f"{name} again"
        draft = {"fresh": {"name": name, "phone": ""}, "lines": [{"good": "bar", "units": 1, "settled": True}], "way": "pick_up", "started": 1}
        device.js("await (await import('/store/sentences.js')).sentences.drop(); localStorage.setItem('honeyhold.draft', JSON.stringify(args[0]))", draft)
        page.goto(f"{device.address}/#counter")
        page.reload()
        device.load()
        return tap_twice(page, page.locator("counter-room .deck > .key.say"), 60)

    double_tapped(trial)
    page.locator("read-back .key.say:not([data-resting])").wait_for()
    assert name not in device.js("return [...house.view.people.values()].map(({ name }) => name)")
    page.locator("read-back .key.say").tap()
    expect(page.locator("order-promised h1")).to_have_text("Promised")


REFUSED_UNMARKED = """async () => {
  const { restUnderFinger } = await import('/parts/resting.js');
  const [x, y] = [195, 400];
  dispatchEvent(new PointerEvent('pointerdown', { clientX: x, clientY: y }));
  const over = restUnderFinger();
  const found = { refused: 0, answered: 0, unmarked: [] };
  for (const far of [0, 12, 24, 30, 36, 42, 46, 60])
    for (let turn = 0; turn < 24; turn += 1) {
      const [right, down] = [far * Math.cos((turn * Math.PI) / 12), far * Math.sin((turn * Math.PI) / 12)];
      const key = document.createElement('button');
      key.style.cssText = `position: fixed; z-index: 99999; width: 44px; height: 40px; left: ${x + right - 22}px; top: ${y + down - 20}px`;
      let answered = false;
      key.addEventListener('click', () => { answered = true; });
      document.body.append(key);
      await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)));
      key.dispatchEvent(new MouseEvent('click', { bubbles: true, cancelable: true, detail: 1, clientX: x + right, clientY: y + down }));
      found[answered ? 'answered' : 'refused'] += 1;
      if (!answered && !key.hasAttribute('data-resting')) found.unmarked.push([far, turn]);
      key.remove();
    }
  over();
  return found;
}"""


def test_no_key_that_is_refused_looks_awake(device: Device) -> None:
    """Wherever it has come to lie around the place that rests: what will not answer in its middle is seen not to."""
    found = device.page.evaluate(REFUSED_UNMARKED)
    assert found == {"refused": 7 * 24, "answered": 24, "unmarked": []}


RESTS_LEAST_MS = 600
"""So long at least after a touch the place of it rests."""
DRUM = """([x, y, up, least_ms]) => {
  const frame = () => new Promise(requestAnimationFrame);
  let touched = -Infinity;
  addEventListener('click', ({ timeStamp }) => { touched = timeStamp; }, { capture: true, once: true });
  window.drummed = (async () => {
    while (!document.querySelector(up)) await frame();
    let [beats, stayed] = [0, true];
    while (performance.now() < touched + least_ms) {
      const click = new MouseEvent('click', { bubbles: true, cancelable: true, detail: 1, clientX: x, clientY: y });
      const under = document.elementFromPoint(x, y)?.closest('button, a');
      if (under) {
        under.dispatchEvent(click);
        beats += 1;
      }
      await frame();
      stayed &&= Boolean(document.querySelector(up));
    }
    return [beats, stayed];
  })();
}"""
"""A finger that comes down again and again from the very moment in which the next key lies under it, as long as that place rests."""


def test_what_comes_up_under_the_finger_does_not_answer(device: Device) -> None:
    """The keys of the reading, where the one was that asked for it. Where they come up too late to be drummed on, nothing is claimed."""
    page, before = device.page, device.js("return known.head.seq")

    def trial() -> int:
        draft = {"fresh": {"name": "Drummer", "phone": ""}, "lines": [{"good": "bar", "units": 1, "settled": True}], "way": "pick_up", "started": 1}
        device.js("await (await import('/store/sentences.js')).sentences.drop(); localStorage.setItem('honeyhold.draft', JSON.stringify(args[0]))", draft)
        page.goto(f"{device.address}/#counter")
        page.reload()
        device.load()
        key = page.locator("counter-room .deck > .key.say")
        expect(key).to_be_enabled()
        until_nothing_rests(page)
        box = key.bounding_box()
        assert box
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.evaluate(DRUM, [x, y, "read-back .key.say", RESTS_LEAST_MS])
        page.touchscreen.tap(x, y)
        beats, stayed = page.evaluate("() => window.drummed")
        assert stayed, "a key of the reading answered the finger that had asked for it"
        return int(beats)

    assert any(trial() for _ in range(TRIALS_MOST)), "This machine is too slow for a drum."
    page.locator("read-back .key.say:not([data-resting])").wait_for()
    assert device.js("return known.head.seq") == before
    page.locator("read-back .key.say").tap()
    expect(page.locator("order-promised h1")).to_have_text("Promised")


def test_a_promise_that_is_taken_back_is_taken_back_once(device: Device) -> None:
    """Its words are a sentence again, and nothing fails in the page meanwhile."""
    page, failed = device.page, []
    page.on("pageerror", lambda error: failed.append(error.message))
    draft = {"fresh": {"name": "Regret", "phone": ""}, "lines": [{"good": "bar", "units": 1, "settled": True}], "way": "pick_up", "started": 1}
    device.js("await (await import('/store/sentences.js')).sentences.drop(); localStorage.setItem('honeyhold.draft', JSON.stringify(args[0]))", draft)
    page.goto(f"{device.address}/#counter")
    page.reload()
    device.load()
    for room in ("counter-room", "read-back"):
        page.locator(f"{room} .deck > .key.say:not([data-resting])").tap()
    page.locator("order-promised undo-key button:not([data-resting])").tap()
    expect(page.locator("counter-room .sentence")).to_contain_text("Regret")
    assert failed == []
    device.js("await (await import('/store/sentences.js')).sentences.drop()")


def test_the_same_words_said_twice_are_spoken_twice(device: Device) -> None:
    """A live region speaks what is added to it: each time there is something new in it."""
    heard = device.js("""const { sayAloud } = await import('/parts/aloud.js'); const heard = [];
        const watch = new MutationObserver((all) => heard.push(...all.flatMap(({ addedNodes }) => [...addedNodes].map((one) => one.textContent))));
        watch.observe(document.getElementById('aloud'), { childList: true });
        sayAloud('Said twice.'); sayAloud('Said twice.'); await new Promise(requestAnimationFrame); return heard""")
    assert [words for words in heard if words != "Undone."] == ["Said twice.", "Said twice."]  # what was undone before may still be said
