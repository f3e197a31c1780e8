"""What an app does: a mold timer that ends is seen, heard and felt; a badge, the keyboard's short ways, and papers that are shared."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.moments import COOL, looked_at, own_seed
from browser.test_accessible import REFERENCE, judged

pytestmark = pytest.mark.browser

SPIES = """() => { window.spied = { tones: 0, shakes: [], locks: 0, released: 0, badges: [], shared: [] };
  window.AudioContext = class extends AudioContext { constructor() { super(); spied.audio = this; } };
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function (...at) { spied.tones += 1; return start.apply(this, at); };
  navigator.vibrate = (pattern) => spied.shakes.push(pattern);
  Object.defineProperty(navigator, 'wakeLock', { configurable: true, value: { request: async () => { spied.locks += 1;
    return { release: async () => { spied.released += 1; }, addEventListener() {} }; } } });
  navigator.setAppBadge = async (count) => spied.badges.push(count);
  navigator.clearAppBadge = async () => spied.badges.push(0);
  navigator.canShare = ({ files }) => files.length > 0;
  navigator.share = async ({ files }) => spied.shared.push([files[0].name, files[0].type, await files[0].text()]); }"""
SOON_OVER = """const { keptPour, keepPour } = await import('/parts/pour-state.js');
  const pour = keptPour(1); const due_s = pour.sets[0].due_s;
  keepPour({ ...pour, sets: [{ ...pour.sets[0], at: Date.now() - due_s * 1000 + 1500 }] }); return due_s;"""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    served = HouseProcess(tmp_path_factory.mktemp("own") / "data", own_seed)
    served.start()
    yield served
    served.stop()


@pytest.fixture(scope="module")
def device(chromium: Browser, house: HouseProcess) -> Iterator[Device]:
    """A laptop of somebody's own house that notes what it is asked to do."""
    with lent(chromium, viewport={"width": 1024, "height": 768}) as context:
        page = context.new_page()
        page.add_init_script(f"({SPIES})()")
        page.add_init_script(path=REFERENCE)
        looked = looked_at(Device(page, house.address), house, demo=False)
        yield looked.device


def placed(device: Device, place: str) -> Page:
    device.page.goto(f"{device.address}/#settings/needs")
    expect(device.page.locator("needs-board")).to_be_visible()
    device.page.goto(f"{device.address}/#{place}")
    expect(device.page.locator(f"{place.partition('/')[0]}-room")).to_be_attached()
    return device.page


def test_a_mold_timer_that_ends_is_seen_heard_and_felt(device: Device) -> None:
    """In another room than Melt: a key on every screen's head, four tones, one shaking, once; the screen was kept awake until then."""
    page = placed(device, "melt/pour")
    page.locator(".mould-key").first.click()
    expect(page.locator(".mould-key").first).to_contain_text("knock out")
    page.wait_for_function("() => spied.locks === 1 && spied.audio?.state === 'running'")  # who touched it may be sounded to a moment later
    placed(device, "book")
    assert page.locator("house-head a", has_text="knock out").count() == 0
    assert device.js(SOON_OVER) > 600
    ready = page.locator("house-head a", has_text="set 1: knock out")
    expect(ready).to_be_visible()
    assert page.evaluate("[spied.tones, spied.shakes.length]") == [4, 1]
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("[spied.tones, spied.shakes.length]") == [4, 1]
    ready.click()
    expect(page.locator(".mould-key[data-state=ready]")).to_be_visible()
    expect(ready).to_have_count(0)
    page.locator(".mould-key").first.click()
    page.wait_for_function("() => spied.released === 1")


EMPTY_MOLDS = "const { freshPour, keepPour } = await import('/parts/pour-state.js'); keepPour(freshPour(1))"
SLOWLY_GIVEN = """() => { const { request } = navigator.wakeLock; Object.assign(spied, { locks: 0, released: 0 });
  navigator.wakeLock.request = (kind) => new Promise((given) => setTimeout(() => given(request(kind)), 300)); }"""


def test_a_screen_that_is_kept_awake_slowly_is_kept_once_and_let_go(device: Device) -> None:
    """The page is shown again, and the set taken back, before the device has answered the first asking."""
    device.js(EMPTY_MOLDS)
    page = placed(device, "melt/pour")
    page.evaluate(SLOWLY_GIVEN)
    page.locator(".mould-key").first.click()
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    page.get_by_role("button", name="step back").click()
    page.wait_for_function("() => spied.locks > 0 && spied.released === spied.locks")
    assert page.evaluate("[spied.locks, spied.released]") == [1, 1]


REFUSED = """const two = [...known.entries.values()].filter((one) => one.state === args[0]).slice(0, 2);
  for (const one of two) one.state = args[1];
  document.querySelector('house-head').requestUpdate(); return two.length;"""


def test_the_app_wears_how_many_entries_need_a_person(device: Device) -> None:
    """Two entries that the main computer is taken to have refused; none again once they are dealt with."""
    page = placed(device, "book")
    page.context.set_offline(True)
    try:
        for _ in range(2):
            device.promise(1, way="pick_up")
        assert device.js(REFUSED, "in_hand", "refused") == 2
        page.wait_for_function("() => spied.badges.at(-1) === 2")
        assert device.js(REFUSED, "refused", "in_hand") == 2
        page.wait_for_function("() => spied.badges.at(-1) === 0")
    finally:
        page.context.set_offline(False)


def test_the_keyboard_has_short_ways_and_a_sheet_that_tells_them(device: Device) -> None:
    page = placed(device, "book")
    page.locator("main").focus()
    page.keyboard.press("?")
    sheet = page.get_by_role("dialog", name="By keyboard")
    expect(sheet).to_be_visible()
    assert judged(page) == []
    page.keyboard.press("Escape")
    expect(sheet).to_have_count(0)
    page.keyboard.press("Alt+3")
    expect(page.locator("bench-room")).to_be_attached()
    page.keyboard.press("/")
    page.wait_for_function("() => document.activeElement?.matches('search-sheet input')")
    page.keyboard.type("ru?")
    assert page.locator("search-sheet input").input_value() == "ru?"
    expect(sheet).to_have_count(0)


def test_a_key_puts_it_on_the_home_screen_where_the_browser_offers_that(device: Device) -> None:
    """The offer is kept until somebody looks for it, and asked once; without one there is no such key."""
    page = placed(device, "settings/device")
    key = page.get_by_role("button", name="put it on the home screen")
    expect(key).to_have_count(0)
    page.evaluate(
        """() => { window.asked = 0; const offer = new Event('beforeinstallprompt', { cancelable: true });
           offer.prompt = async () => { window.asked += 1; }; window.kept = !dispatchEvent(offer); }"""
    )
    assert page.evaluate("window.kept"), "the browser shows its own bar over the keys"
    key.click()
    expect(key).to_have_count(0)
    assert page.evaluate("window.asked") == 1


def test_the_icon_leads_straight_to_the_rooms(device: Device) -> None:
    """Each shortcut of the installed app opens its room."""
    page = device.page
    shortcuts = page.evaluate("fetch('/app.webmanifest').then((answer) => answer.json()).then(({ shortcuts }) => shortcuts)")
    assert len(shortcuts) >= 4
    for shortcut in shortcuts:
        page.goto(device.address + shortcut["url"])
        expect(page.locator(f"{shortcut['url'].partition('#')[2]}-room")).to_be_attached()


def test_single_keys_can_be_turned_off(device: Device) -> None:
    """WCAG 2.1.4: then only those with Alt do anything."""
    page = placed(device, "book")
    page.locator("main").focus()
    page.keyboard.press("Alt+/")
    sheet = page.get_by_role("dialog", name="By keyboard")
    sheet.get_by_role("checkbox").uncheck()
    sheet.get_by_role("button", name="close").click()
    page.locator("main").focus()
    page.keyboard.press("?")
    page.evaluate("() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))")
    expect(sheet).to_have_count(0)
    page.keyboard.press("Alt+/")
    sheet.get_by_role("checkbox").check()
    page.keyboard.press("Escape")


def test_a_receipt_is_shared_as_a_file(device: Device) -> None:
    order = device.js("const one = house.view.openOrders()[0]; return [one.id, one.number]")
    page = placed(device, f"book/order/{order[0]}")
    page.get_by_role("button", name="send the receipt").click()
    page.wait_for_function("() => spied.shared.length === 1")
    name, media, text = page.evaluate("spied.shared[0]")
    assert (name, media) == ("receipt.html", "text/html")
    assert order[1] in text
    assert any(one["name"] in text for one in (COOL, {"name": "Noor Amin"}))
