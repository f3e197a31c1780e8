"""What you sell, on a real device: usual goods begun without signal, prices, order, stopped and brought back."""

from __future__ import annotations

import pytest

from browser.devices import Device

pytestmark = pytest.mark.browser


def test_usual_goods_are_begun_without_signal_and_reach_the_others(device: Device, other_device: Device) -> None:
    """Two at once in one entry with a price; typical measures are marked; the main computer takes them as they are."""
    device.page.context.set_offline(True)
    try:
        added = device.js("return acts.addGoods([{usual: 'jar_1lb', price_cents: 950}, {usual: 'bar_1oz', price_cents: 300}])")
        assert added["goods"] == ["jar_1lb", "bar_1oz"]
        assert device.js("return acts.goodsKept().map((good) => good.id).slice(-2)") == ["jar_1lb", "bar_1oz"]
    finally:
        device.page.context.set_offline(False)
    device.wait_for("house.status.inHand === 0")
    assert device.status()["needsYou"] == []
    other_device.exchange()
    row = other_device.js("return house.view.goods.get('jar_1lb')")
    assert (row["price_cents"], row["form"], row["typical"], row["glass"], row["sold"]) == (950, "jar", True, True, True)


def test_a_usual_good_that_was_stopped_comes_back_with_its_own_measures(device: Device) -> None:
    """Measured, stopped, added again from the list: the measures stay, nothing is doubled; undone, it is stopped again."""
    device.js("await acts.addGood({usual: 'tub_1lb', price_cents: 900}); await acts.setGood({id: 'tub_1lb', height_mm: 99, typical: false}); await acts.setSold('tub_1lb', false)")
    again = device.js("return acts.addGood({usual: 'tub_1lb', price_cents: 1000})")
    row = device.js("return house.view.goods.get('tub_1lb')")
    assert (row["sold"], row["height_mm"], row["typical"], row["price_cents"]) == (True, 99, False, 1000)
    device.js("await acts.undo(args[0]); await house.exchange()", again["op"])
    row = device.js("return house.view.goods.get('tub_1lb')")
    assert (row["sold"], row["price_cents"]) == (False, 900) and device.status()["needsYou"] == []


def test_something_of_ones_own_begins_as_carefully_as_the_usual_of_its_form(device: Device) -> None:
    """A jar that nobody measured yet is glass that keeps its distance and bears nothing."""
    added = device.js("return acts.addGood({name: 'basswood jar', form: 'jar', price_cents: 1100})")
    row = device.js("return house.view.goods.get(args[0])", added["good"])
    assert (row["kind"], row["glass"], row["wall_mm"], row["gap_mm"], row["bears_g"]) == ("honey", True, 50, 25, 0)
    device.exchange()
    assert device.status()["needsYou"] == []


def test_nonsense_is_said_and_nothing_is_written(device: Device) -> None:
    before = device.status()["inHand"]
    for asked in ("acts.addGood({usual: 'barrel'})", "acts.addGood({name: ' '})", "acts.setPrice('bar', -1)", "acts.setPrice('no-such', 100)"):
        said = device.js(f"try {{ await {asked}; return null; }} catch (error) {{ return [error.kind, error.message, error.remedy]; }}")
        assert said and said[0] == "draft" and said[1] and said[2], asked
    assert device.status()["inHand"] == before


PRICED = """await acts.setGood({id: 'bar', price_cents: 300, steps: [[10, 2500]], taxed: true});
  await acts.setHouse('state', 'MN'); await acts.setHouse('sales_tax', {on: true, rate: 5500}); await house.exchange()"""
RUTH = {"name": "Ruth Amsel", "phone": "", "city": "Duluth", "state": "MN"}


def owed(device: Device, order: str) -> int:
    return int(device.js("return house.view.owed(args[0])", order))


def test_an_order_keeps_what_it_was_told_through_changes_and_undo(device: Device, other_device: Device) -> None:
    """Ten for $25 and 5.5 %, then the price and the tax change; more, fewer, undone, canceled and not canceled after all: the told price stays."""
    device.js(PRICED)
    device.hold(40)
    order = device.promise(12, person=RUTH)["order"]
    assert owed(device, order) == 3100 + 171
    device.exchange()
    other_device.js("await acts.setGood({id: 'bar', price_cents: 400, steps: []}); await acts.setHouse('sales_tax', {on: true, rate: 9000}); await house.exchange()")
    device.exchange()
    assert owed(device, order) == 3271
    change = device.js("return acts.amend(args[0], {lines: [{good: 'bar', units: 20}]})", order)
    assert owed(device, order) == 5000 + 275
    device.js("await acts.undo(args[0])", change["op"])
    assert owed(device, order) == 3271
    device.js("await acts.amend(args[0], {lines: [{good: 'bar', units: 9}, {good: 'pint', units: 1}]})", order)
    assert owed(device, order) == 2500 + 1400 + 138  # nine cost no more than ten; pints are not taxed
    gone = device.js("return acts.letGo(args[0])", order)
    assert owed(device, order) == 0
    device.js("await acts.undo(args[0])", gone["op"])
    assert owed(device, order) == 2500 + 1400 + 138
    device.exchange()
    other_device.exchange()
    assert owed(other_device, order) == 4038 and device.status()["needsYou"] == []


def test_a_walk_in_pays_the_sum_with_its_tax_and_a_changed_way_asks_the_tax_anew(device: Device) -> None:
    device.js(PRICED)
    sold = device.js("return acts.sell({person: null, lines: [{good: 'bar', units: 10}], pays: 'cash'})")
    assert owed(device, sold["order"]) == 0 and device.js("return house.view.paid(args[0])", sold["order"]) == 2638
    order = device.promise(10, person={**RUTH, "name": "Noor Amin", "state": "AZ"})["order"]
    assert owed(device, order) == 2500  # mailed to another state
    change = device.js("return acts.amend(args[0], {way: 'pick_up'})", order)
    assert owed(device, order) == 2638
    device.js("await acts.undo(args[0]); await house.exchange()", change["op"])
    assert owed(device, order) == 2500 and device.status()["needsYou"] == []


def test_a_price_by_place_and_from_a_day_on(device: Device) -> None:
    """Mailed pints cost more at once; a price of next year counts next year; what counts from now takes the place of what began before."""
    device.js("await acts.setPrices('pint', {place: 'mail', cents: 1500}); await acts.setPrices('pint', {since: '2099-01-01', cents: 9900, steps: [[6, 50000]]})")
    draft = {"lines": [{"good": "pint", "units": 1}], "way": "pick_up"}
    picked = device.js("return (await acts.promise({...args[0], person: {name: 'Ruth Amsel', phone: ''}})).order", draft)
    mailed = device.js("return (await acts.promise({...args[0], way: 'post', person: {name: 'Noor Amin', phone: ''}})).order", draft)
    assert (owed(device, picked), owed(device, mailed)) == (1400, 1500)
    device.js("await acts.setPrices('pint', {place: 'mail', cents: 1600})")
    assert device.js("return acts.pricesOf(house.view.goods.get('pint')).map(({place, since, cents}) => [place, since, cents])") == [
        ["", "", 1400], ["", "2099-01-01", 9900], ["mail", "", 1600],
    ]  # fmt: skip
    device.js("await acts.dropPrice('pint', {place: '', since: '2099-01-01'}); await acts.setPrice('pint', 1450); await house.exchange()")
    assert device.js("return acts.pricesOf(house.view.goods.get('pint')).map(({cents}) => cents)") == [1450, 1600]
    assert (owed(device, picked), owed(device, mailed)) == (1400, 1500) and device.status()["needsYou"] == []
    device.js("await acts.dropPrice('pint', {place: 'mail', since: ''}); await acts.setPrice('pint', 1400); await house.exchange()")
