"""Heat on the screens: forecasts that came, that are nonsense, that never came; parcels asked again; honey by post; arrivals."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.papers import pages_printed, printed, watch_the_printer
from browser.thumb import until_nothing_rests
from demo_seed import play
from honeyhold.house.house import House

pytestmark = pytest.mark.browser

WEDNESDAY = datetime(2027, 7, 21, 13, 0, tzinfo=UTC)
PHONE = {"width": 390, "height": 844}
LONG_MS = 60_000


def _seed(house: House) -> None:
    """The invented season up to a Wednesday, in a house that has not asked its state yet."""
    house.make_demo()
    house.clock.set(WEDNESDAY)
    play(house)
    house.write("set_house", [{"table": "setting", "id": "posting_honey_asked", "value": False}])


@pytest.fixture(scope="module")
def wednesday(tmp_path_factory: pytest.TempPathFactory) -> HouseProcess:
    """Its records, to be copied."""
    return HouseProcess(tmp_path_factory.mktemp("wednesday") / "data", _seed)


@pytest.fixture
def served(wednesday: HouseProcess, tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    with HouseProcess.copied(wednesday, tmp_path_factory.mktemp("heat") / "data").running() as house:
        yield house


@pytest.fixture
def phone(chromium: Browser, served: HouseProcess) -> Iterator[Device]:
    with lent(chromium, viewport=PHONE) as context:
        device = Device(context.new_page(), served.address)
        device.enrol(served.code(), "Shed phone")
        yield device


def foretell(served: HouseProcess, tenths: int, hours: int = 6) -> None:
    """A forecast for the places of the season, written by the house as it writes what a service says."""

    def write(house: House) -> None:
        now = house.clock.now()
        days = [
            {"day": (now.date() + timedelta(days=step)).isoformat(), "max_tenths": tenths, "min_tenths": tenths - 120, "sky_percent": 10}
            for step in range(7)
        ]
        issued = (now - timedelta(hours=hours)).strftime("%Y-%m-%dT%H:%M:%SZ")
        row = {"table": "forecast", "service": "A sky", "issued": issued, "fetched_at": issued, "days": days}
        house.write("foretell", [{**row, "id": place} for place in ("548", "558", "046", "498")])

    served.in_person(write)


def foretold(phone: Device, served: HouseProcess, tenths: int) -> None:
    """The same, once the phone has heard of it: what was asked before is asked anew when it comes."""
    foretell(served, tenths)
    phone.wait_for("house.exchange().then(() => house.view.forecasts.get('558')?.service === 'A sky')")


def compose(device: Device, good: str = "bar", units: int = 10) -> None:
    """A call from Duluth, as far as the sentence."""
    person = {"name": "Orla", "street": "41 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
    fresh = {**person, "phone": "", "unit": ""}
    kept: dict[str, Any] = {"fresh": fresh, "lines": [{"good": good, "units": units, "settled": True}], "way": "post"}
    device.js("localStorage.setItem('honeyhold.draft', JSON.stringify(args[0]))", kept)
    device.page.goto(f"{device.address}/#counter")
    device.page.reload()
    device.load()


def test_a_forecast_is_told_with_its_age_and_without_one_the_normals_say_so(phone: Device, served: HouseProcess) -> None:
    compose(phone)
    under = phone.page.locator("counter-room dl.under")
    expect(under).to_contain_text("By the monthly normals.", timeout=LONG_MS)
    foretell(served, 200)
    expect(under).to_contain_text("By the forecast of 6 hours ago (A sky).", timeout=LONG_MS)
    foretell(served, 200, hours=70)
    expect(under).to_contain_text("By the monthly normals.", timeout=LONG_MS)


@pytest.mark.parametrize("row", ["{ days: [] }", "{ days: [{ day: 'soon' }], issued: 'x' }", "{ days: 'hot', issued: null }"])
def test_a_row_that_is_nonsense_never_stops_an_order(phone: Device, row: str) -> None:
    """Not written by any house: put into the device's own mirror, as a defect would."""
    compose(phone)
    phone.exchange()  # what the first one brings reads the mirror anew
    there = phone.js(
        f"known.mirror.put({{ table: 'forecast', id: '558', service: 'x', issued: '2027-07-21T09:00:00Z', ...{row} }});"
        "(await import('/store/known.js')).relay(); document.querySelector('counter-room').requestUpdate();"
        "return house.view.forecasts.has('558')"
    )
    assert there
    expect(phone.page.locator("counter-room dl.under")).to_contain_text("By the monthly normals.", timeout=LONG_MS)
    phone.page.locator("counter-room .key.say").click()
    phone.page.locator("read-back .key.say").click()
    expect(phone.page.locator("order-promised h1")).to_have_text("Promised", timeout=LONG_MS)


def test_what_was_told_stays_with_the_order(phone: Device, served: HouseProcess) -> None:
    foretold(phone, served, 480)
    compose(phone)
    expect(phone.page.locator("counter-room dl.under")).to_contain_text("forecast of 6 hours ago", timeout=LONG_MS)
    expect(phone.page.get_by_text("wait for a cool spell")).to_be_visible(timeout=LONG_MS)
    phone.page.locator("counter-room .key.say").click()
    phone.page.locator("read-back .key.say").click()
    expect(phone.page.locator("order-promised h1")).to_have_text("Promised", timeout=LONG_MS)
    told = phone.js("return [...house.view.orders.values()].find(({ person }) => house.view.people.get(person)?.name === 'Orla').told")
    assert told["harmless"] is False and told["chance_permille"] > 20 and "forecast of 6 hours ago" in told["basis"]


def test_a_hot_forecast_says_which_parcel_to_change_and_one_key_does_it(phone: Device, served: HouseProcess) -> None:
    foretold(phone, served, 480)
    phone.page.goto(f"{phone.address}/#bench")
    one = phone.page.locator("bench-room .again-one").first
    expect(one).to_contain_text("parcel: now ", timeout=LONG_MS)
    phone.load()  # while the main computer was away for a moment, a room may have been fetched in vain, and the page loaded anew
    words = one.locator("a").inner_text()
    order = one.locator("a").get_attribute("href").split("/")[-1]
    before = phone.js("return house.view.orders.get(args[0])", order)
    one.get_by_role("button", name="do that").click()
    expect(phone.page.locator("bench-room again-list")).not_to_contain_text(words, timeout=LONG_MS)
    after = phone.js("return house.view.orders.get(args[0])", order)
    assert [after[name] for name in ("leave_on", "dressing", "hold_at_counter")] != [before[name] for name in ("leave_on", "dressing", "hold_at_counter")]
    until_nothing_rests(phone.page)
    phone.page.locator("bench-room again-list undo-key button").click()
    phone.page.wait_for_function("([id, day]) => house.view.orders.get(id).leave_on === day", arg=[order, before["leave_on"]])


def test_honey_by_post_is_off_until_the_state_was_asked(phone: Device, served: HouseProcess) -> None:
    compose(phone, "jar_12", 1)
    room = phone.page.locator("counter-room")
    expect(room).to_contain_text("Mailing honey is off", timeout=LONG_MS)
    expect(room.locator(".key.say")).to_have_count(0)
    room.get_by_role("button", name="it waits until I asked").click()
    expect(room.locator(".sentence")).to_contain_text("when our state allows it")
    expect(room.locator(".key.say")).to_contain_text("Read back")
    room.get_by_role("button", name="they pick it up").click()
    expect(room.locator(".sentence")).to_contain_text("pick up")
    expect(room).not_to_contain_text("Mailing honey is off", timeout=LONG_MS)


def test_how_a_parcel_came_is_one_touch_and_can_be_taken_back(phone: Device) -> None:
    page = phone.page
    page.goto(f"{phone.address}/#book/arrivals")
    page.locator("arrivals-board .order-row").first.click()
    page.locator("arrival-keys").get_by_role("button", name="dents").click()
    expect(page.locator("arrival-keys").get_by_role("button", name="dents")).to_have_attribute("aria-pressed", "true")
    page.goto(f"{phone.address}/#book/arrivals")
    expect(page.locator("arrivals-board")).to_contain_text("dents")
    assert phone.js("await house.exchange(); return house.status.needsYou.length") == 0
    page.locator("arrivals-board .order-row").first.click()
    page.locator("arrival-keys").get_by_role("button", name="dents").click()
    expect(page.locator("arrival-keys").get_by_role("button", name="dents")).to_have_attribute("aria-pressed", "false")


def test_a_limit_is_changed_in_the_houses_own_unit_and_goes_back(phone: Device) -> None:
    page = phone.page
    page.goto(f"{phone.address}/#settings/heat")
    field = page.locator("heat-board label", has_text="A bar may get dents when kept at").locator("input")
    expect(field).to_have_value("109.4", timeout=LONG_MS)
    field.fill("107.6")
    field.press("Tab")
    page.wait_for_function("() => house.view.setting('thresholds', {}).wax_mark_c === 420")
    page.get_by_role("button", name="back to the usual").click()
    page.wait_for_function("() => JSON.stringify(house.view.setting('thresholds', null)) === '{}'")
    expect(field).to_have_value("109.4", timeout=LONG_MS)
    field.fill("warm")
    field.press("Tab")
    expect(page.locator("heat-board")).to_contain_text("is no figure for this")


def test_the_pictures_open_on_the_counter_and_go_onto_paper(phone: Device, served: HouseProcess) -> None:
    foretold(phone, served, 480)
    compose(phone)
    page = phone.page
    watch_the_printer(page)
    pictures = page.locator("counter-room heat-pictures")
    pictures.locator("summary").click(timeout=LONG_MS)
    expect(pictures.locator("svg")).to_have_count(2, timeout=LONG_MS)
    expect(pictures.locator("svg").first).to_contain_text("Mon")
    pictures.get_by_role("button", name="print both").click()
    page.wait_for_function("() => window.printed.length", timeout=LONG_MS)
    (words,), (html,) = printed(page), pages_printed(page)
    assert words.startswith("Heat on the way") and html.count("<svg") == 2


def test_a_parcel_to_be_fetched_at_the_post_office_is_said_so_to_the_caller_and_kept(phone: Device, served: HouseProcess) -> None:
    compose(phone)
    page = phone.page
    page.locator("counter-room .blank[data-blank=day]").click()
    page.get_by_role("button", name="held at the post office").click()
    expect(page.locator("counter-room .sentence")).to_contain_text("held at the post office there")
    expect(page.locator("counter-room dl.under")).to_contain_text("Held at the post office counter.", timeout=LONG_MS)
    page.locator("counter-room .blank[data-blank=day]").click()
    page.locator("counter-room .key.say").click()
    expect(page.locator("read-back .sentence")).to_contain_text("held at the post office there")
    page.locator("read-back .key.say").click()
    expect(page.locator("order-promised h1")).to_have_text("Promised", timeout=LONG_MS)
    order = phone.js("return [...house.view.orders.values()].sort((a, b) => a.number.localeCompare(b.number)).find((o) => o.hold_at_counter)")
    assert order["told"]["hold"] is True
    page.goto(f"{phone.address}/#bench")
    expect(page.locator("bench-room")).to_contain_text("held at the post office")
