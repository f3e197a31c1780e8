"""Bars and glass in one parcel, from the promise to Gone without any signal, and the house agrees when the line is back; posting priced anew."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.conftest import PHONE_PX, TABLET_PX
from browser.devices import Device
from browser.house_process import HouseProcess
from browser.packing import at_the_bench, gone, opened, shown, tick_the_rest, type_figures
from browser.papers import printed, watch_the_printer
from browser.test_accessible import REFERENCE, judged
from browser.thumb import until_nothing_rests

pytestmark = pytest.mark.browser
EMPTY_G = 900
MONDAY = "2027-07-26"
TABLE = "row,service,zone,up_to_oz,what,over,cents,example\n" + "".join(
    f"price,ground,{zone},{up_to},,,{cents},\n" for zone in range(1, 10) for up_to, cents in ((16, 700), (48, 950), (400, 1800))
)


@pytest.fixture
def bench(bench: Device) -> Device:
    """The same without the demo's price table, by which several small boxes are cheaper to mail: here one carton is packed."""
    return without_a_table(bench)


@pytest.fixture
def knowing_bench(knowing_bench: Device) -> Device:
    """The same with the kernel awake."""
    return without_a_table(knowing_bench)


def without_a_table(bench: Device) -> Device:
    """It, once the house has no price table."""
    bench.js("await acts.setHouse('posting_prices', '')")
    bench.exchange()
    return bench


def promised(device: Device, lines: dict[str, int], **order: object) -> str:
    """An order by post to Duluth, taken on this device."""
    draft = {
        "person": {"name": "Nell Fenn", "street": "1 Larch Rd", "city": "Duluth", "state": "MN", "zip": "55811"}, "way": "post",
        "lines": [{"good": good, "units": units} for good, units in lines.items()], "leave_on": MONDAY, **order,
    }  # fmt: skip
    taken = device.js("return await acts.promise(args[0])", draft)
    assert taken["waiting"] == {}
    return str(taken["order"])


def in_view(page: Page, name: str) -> bool:
    """Whether the key can be seen whole, without scrolling, above everything else."""
    return bool(page.locator(".deck").get_by_role("button", name=name).first.evaluate(
        """(key) => { const { left, right, top, bottom } = key.getBoundingClientRect(); const seen = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
          return top >= 0 && bottom <= innerHeight && (key === seen || key.contains(seen)); }"""))  # fmt: skip


def masses(device: Device, order: str) -> dict[str, int]:
    """What one of each weighs in this parcel, grams."""
    return dict(device.js(
        """const { work } = await import('/kernel/work.js'); const { orderRequest } = await import('/rooms/bench/order-work.js');
          const { parcel } = await work('quoting.parcel', orderRequest(house.view.orders.get(args[0]), house.view, house.today()));
          return Object.fromEntries(parcel.bench.pieces.map((piece) => [piece.id, piece.mass_g]));""", order))  # fmt: skip


def test_bars_and_glass_from_the_promise_to_gone_without_signal(knowing_bench: Device, demo_house: HouseProcess) -> None:
    device = knowing_bench
    device.js("await house.ask('bar', 10, 5); await house.ask('jar_12', 2, 5)")
    device.page.context.set_offline(True)
    order = promised(device, {"bar": 10, "jar_12": 2})
    page = shown(device, f"bench/{order}")
    carton = page.locator("h1.carton")
    expect(carton).to_be_visible()
    expect(page.locator("kernel-picture svg").first).to_be_visible()
    name = carton.text_content()
    before = device.js("const one = [...house.view.cartons.values()].find((c) => c.name === args[0]); return [one.id, house.view.onHand(one.id)]", name)

    _ticked_with_a_wrong_lot(page)
    page = opened(device, f"bench/{order}")  # what went in is still in
    bars = page.locator(".tick-row", has_text="Ten bars")
    expect(bars.locator(".take")).to_have_attribute("aria-checked", "mixed")
    expect(bars.locator("small.heed")).to_contain_text("W27-203-1")
    taken_in = bars.locator(".part-of p").text_content()
    bars.get_by_role("button", name="one less").click()
    expect(bars.locator(".part-of p")).not_to_have_text(taken_in or "")

    page.get_by_role("button", name="empty carton on the scale").click()
    type_figures(page, EMPTY_G)
    assert in_view(page, "write it down")
    page.get_by_role("button", name="write it down").click()
    tick_the_rest(page)
    expect(page.get_by_role("button", name="Packed")).not_to_contain_text("not checked off")
    page.get_by_role("button", name="Packed").click()
    device.wait_for(f"house.view.orders.get('{order}').state === 'packed'")
    assert device.js("return house.view.onHand(args[0])", before[0]) == before[1] - 1

    mass = masses(device, order)
    full = EMPTY_G + 10 * mass["bar"] + 2 * mass["jar_12"]
    page.get_by_role("button", name="on the scale").click()
    type_figures(page, full - mass["jar_12"])
    expect(page.locator("scale-deck [role=status]")).to_contain_text("one 12 oz jar short")
    type_figures(page, full)
    expect(page.locator("scale-deck [role=status]")).to_contain_text("s planned")
    page.get_by_role("button", name="write it down").click()
    page.get_by_role("button", name="Mailed").click()
    device.wait_for(f"house.view.orders.get('{order}').state === 'gone'")

    device.page.context.set_offline(False)
    device.exchange()
    device.wait_for("house.status.inHand === 0")
    found = demo_house.in_person(lambda house: gone(house, order))
    assert device.status()["needsYou"] == []
    assert found["state"] == "gone" and found["parcels"] == [(before[0], full)]
    assert sum(found["lots"].values()) == 12 and found["lots"]["W27-203-1"] >= 1
    assert found["cartons"][before[0]] == before[1] - 1


def _ticked_with_a_wrong_lot(page: Page) -> None:
    """The dressing first, then some bars; a jar's lot and an unknown one are refused in words, another lot of bars is put down."""
    page.locator(".take").first.click()
    bars = page.locator(".tick-row", has_text="Ten bars")
    for _ in range(3):
        bars.get_by_role("button", name="one more").click()
    expect(bars.locator(".part-of p")).to_have_text("3 of 10")
    jars = page.locator(".tick-row", has_text="12 oz jars").locator(".lot").first.text_content() or ""
    bars.get_by_role("button", name="another lot").first.click()
    page.keyboard.type(jars.lower() + "\n")  # as a scanner types: wherever the keyboard stands
    expect(page.locator("lot-deck [role=alert]")).to_contain_text("put it back")
    page.locator("lot-deck input").fill("W99-1")
    page.keyboard.press("Enter")
    expect(page.locator("lot-deck [role=alert]")).to_contain_text("No lot W99-1")
    assert in_view(page, "as planned")
    page.locator("lot-deck input").fill("w27-203-1")
    page.keyboard.press("Enter")
    expect(bars.locator("small.heed")).to_contain_text("it was to be")


@pytest.mark.parametrize("size_px", [PHONE_PX, TABLET_PX])
def test_the_key_that_counts_is_in_sight(chromium: Browser, demo_house: HouseProcess, size_px: tuple[int, int]) -> None:
    with at_the_bench(chromium, demo_house, size_px) as device:
        device.js("await acts.setHouse('posting_prices', '')")  # by the table several small boxes are cheaper to mail: here it is one
        device.exchange()
        order = device.js(
            "return house.view.openOrders().find((o) => o.state === 'promised' && house.view.linesOf(o.id).some((l) => l.good === 'jar_16')).id"
        )
        page = shown(device, f"bench/{order}")
        expect(page.locator("h1.carton")).to_be_visible()
        assert in_view(page, "Packed")
        page.get_by_role("button", name="empty carton on the scale").click()
        assert in_view(page, "write it down")
        page.get_by_role("button", name="not now").click()
        page.get_by_role("button", name="Packed").click()
        expect(page.get_by_role("button", name="Mailed")).to_be_visible()
        assert in_view(page, "Mailed")
        page.get_by_role("button", name="on the scale").click()
        expect(page.locator("scale-deck [role=status]")).to_be_visible()
        said = page.locator(".shown-number").text_content() or ""
        page.get_by_role("button", name="+¼ oz").click()
        assert in_view(page, "write it down") and page.locator(".shown-number").text_content() == f"{said.removesuffix(' oz')}.25 oz"
        page.get_by_role("button", name="−0.1 oz").click()
        assert (page.locator(".shown-number").text_content() or "").endswith(".15 oz")
        page.get_by_role("button", name="not now").click()
        until_nothing_rests(page)
        page.locator("undo-key button").first.click()
        device.wait_for(f"house.view.orders.get('{order}').state === 'promised'")


def test_a_changed_order_is_priced_anew_and_a_typed_price_stays(bench: Device) -> None:
    device = bench
    device.js("await acts.setHouse('posting_prices', args[0]); await house.ask('bar', 10, 5); await house.ask('jar_12', 4, 5)", TABLE)
    device.exchange()
    by_table = promised(device, {"bar": 5}, posting_cents=700, posting_by="table")
    typed = promised(device, {"bar": 5}, posting_cents=640, posting_by="hand")

    page = _changed(device, by_table, {"note": "rings first"})
    _read_back_and_change(page)
    expect(page.get_by_text("Mailing was")).to_have_count(0)
    device.wait_for(f"house.view.orders.get('{by_table}').note === 'rings first'")
    assert device.js("return house.view.orders.get(args[0]).posting_cents", by_table) == 700

    page = _changed(device, by_table, {"lines": [{"good": "bar", "units": 5}, {"good": "jar_12", "units": 2}]})
    expect(page.get_by_text("mailing $7.00 → $18.00 by your table")).to_be_visible()
    _read_back_and_change(page)
    expect(page.get_by_text("Mailing was $7.00")).to_be_visible()
    device.wait_for(f"house.view.orders.get('{by_table}').posting_cents === 1800")
    until_nothing_rests(page)
    page.get_by_role("button", name="undo the change").click()
    device.wait_for(f"house.view.orders.get('{by_table}').posting_cents === 700")

    page = _changed(device, typed, {"lines": [{"good": "bar", "units": 5}, {"good": "jar_12", "units": 2}]})
    expect(page.get_by_text("mailing stays $6.40, typed by hand; your table says $18.00")).to_be_visible()
    _read_back_and_change(page)
    device.wait_for(f"house.view.linesOf('{typed}').length === 2")
    assert device.js("return house.view.orders.get(args[0]).posting_cents", typed) == 640


def _changed(device: Device, order: str, change: dict[str, object]) -> Page:
    """The order opened to be changed on the Counter, and so much of it changed."""
    page = opened(device, f"counter/change/{order}")
    device.wait_for(f"document.querySelector('counter-room').draft.amends === '{order}'")
    device.js("const room = document.querySelector('counter-room'); room.draft = { ...room.draft, ...args[0] };", change)
    return page


def _read_back_and_change(page: Page) -> None:
    page.get_by_role("button", name="Read back, then change").click()
    page.get_by_role("button", name="Change it", exact=True).click()
    expect(page.get_by_role("heading", name="Changed")).to_be_visible()


def test_another_dressing_at_the_bench_is_priced_anew_with_it(bench: Device) -> None:
    device = bench
    device.js("await acts.setHouse('posting_prices', args[0]); await house.ask('bar', 10, 5)", TABLE)
    by_table = promised(device, {"bar": 5}, posting_cents=700, posting_by="table")
    typed = promised(device, {"bar": 5}, posting_cents=640, posting_by="hand")
    page = shown(device, f"bench/{by_table}")
    page.locator("details.otherwise summary").click()
    page.get_by_role("button", name="cold pack", exact=True).click()
    expect(page.locator(".board").get_by_text("Mailing $7.00 → $9.50, by your table.")).to_be_visible()
    assert device.js("const o = house.view.orders.get(args[0]); return [o.dressing, o.posting_cents, o.posting_by]", by_table) == ["chilled", 950, "table"]
    until_nothing_rests(page)
    page.locator(".board undo-key button").first.click()
    device.wait_for(f"house.view.orders.get('{by_table}').posting_cents === 700 && house.view.orders.get('{by_table}').dressing === 'plain'")
    page = opened(device, f"bench/{typed}")
    page.locator("details.otherwise summary").click()
    page.get_by_role("button", name="cold pack", exact=True).click()
    expect(page.locator(".board").get_by_text("Mailing stays $6.40, as it was typed.")).to_be_visible()


def test_the_day_s_gathering_sheet_is_printed_without_signal_and_no_lot_is_counted_twice(knowing_bench: Device) -> None:
    device = knowing_bench
    device.page.context.set_offline(True)
    page = shown(device, "bench")
    page.evaluate("window.sheets = []; new MutationObserver((all) => all.forEach(({ addedNodes }) => addedNodes.forEach((one) => "
                  "{ if (one.tagName === 'IFRAME') window.sheets.push(one.srcdoc); }))).observe(document.body, { childList: true })")  # fmt: skip
    watch_the_printer(page)
    page.get_by_role("button", name="print the gathering sheet").last.click()
    expect(page.get_by_text("Printed from this device.").first).to_be_visible(timeout=60_000)
    (sheet,) = page.evaluate("window.sheets")
    (words,) = printed(page)
    assert "Gathering sheet" in words
    assert "Gathering sheet" in sheet and sheet.count("<svg") >= 3
    taken = device.js(
        """const { gatheringRequest } = await import('/rooms/bench/gather.js');
          const { orders } = gatheringRequest(args[0], house.view.openOrders().filter((o) => o.leave_on === args[0] && o.state === 'promised'));
          const sums = {};
          for (const line of orders.flatMap((o) => o.lines)) for (const { lot, units } of line.lots) if (lot) sums[lot] = (sums[lot] ?? 0) + units;
          return Object.entries(sums).map(([lot, units]) => { const good = house.view.lots.get(lot).good;
            return [units, house.view.lotBalance(good).find((one) => one.lot === lot).units]; });""", MONDAY)  # fmt: skip
    assert taken and all(units <= there for units, there in taken)


def test_a_parcel_its_steps_and_its_decks_break_no_rule(bench: Device) -> None:
    device = bench
    order = device.js("return house.view.openOrders().find((o) => o.way === 'post' && o.state === 'promised' && house.view.linesOf(o.id).length > 1).id")
    page = shown(device, f"bench/{order}")
    expect(page.locator("h1.carton")).to_be_visible()
    expect(page.locator("kernel-picture svg").first).to_be_visible()
    page.evaluate(REFERENCE.read_text("utf-8"))
    page.locator(".tick-row").get_by_role("button", name="one more").first.click()
    assert judged(page) == []
    page.get_by_role("button", name="another lot").first.click()
    assert judged(page) == []
    page.get_by_role("button", name="as planned").click()
    page.get_by_role("button", name="empty carton on the scale").click()
    assert judged(page) == []
    page.get_by_role("button", name="lb and oz").click()
    assert judged(page) == []
    page.evaluate("document.body.append(Object.assign(document.createElement('button'), { id: 'planted' }))")
    assert any("planted" in one for one in judged(page))  # a check that could not fail would say nothing
