"""Money by touch: a bill and its change, a check with its number, a part of it, put right, taken off, paid back, sent again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def keeper(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """An owner's phone, and Ann in its book."""
    with owners_phone(chromium, house_of_the_file, has_touch=True) as device:
        device.hold(60)
        device.js("await acts.savePerson(args[0])", {"id": "ann", "name": "Ann Lind", "phone": "", "street": "4 Heron Sill Rd", "city": "Duluth"})
        yield device


def promised(device: Device, units: int = 10, **more: Any) -> str:
    """Ten bars at 2.50 by mail for 12.40, promised to Ann."""
    draft = {"person": {"id": "ann"}, "lines": [{"good": "bar", "units": units}], "way": "post", "posting_cents": 1240, "posting_by": "hand", **more}
    return str(device.js("return (await acts.promise(args[0])).order", draft))


def owed(device: Device, order: str) -> int:
    return int(device.js("return house.view.owed(args[0])", order))


def test_the_mailing_is_said_and_change_is_given_for_a_bill(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    order = promised(keeper, 6)
    hands.go(f"book/order/{order}")
    expect(page.locator("order-board")).to_contain_text("$15.00 and $12.40 mailing: $27.40")
    hands.touch("change, a part of it")
    expect(page.get_by_role("group", name="What they hand over")).to_contain_text("$12.60 back")
    hands.writes(r"^\s*\$40\.00")
    expect(page.locator("order-board")).to_contain_text("Give $12.60 back.")
    assert owed(keeper, order) == 0
    hands.touch("one by one")
    expect(page.locator("payments-list")).to_contain_text("$27.40 in cash, $12.60 back from $40.00")


def test_a_check_in_part_then_put_right_and_the_order_canceled(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    order = promised(keeper, 6)
    hands.go(f"book/order/{order}")
    hands.touch("change, a part of it")
    hands.fill("dollars", "20")
    hands.fill("number of the check", "118")
    hands.writes(r"^\s*check\s*$")
    assert owed(keeper, order) == 740
    hands.touch("one by one")
    expect(page.locator("payments-list")).to_contain_text("$20.00 by check, number 118")
    hands.touch("this is wrong")
    hands.fill("what it should say", "27.40")
    hands.writes("put it right")
    assert owed(keeper, order) == 0
    hands.writes("cancel the order")
    expect(page.locator("order-board")).to_contain_text("$27.40 to pay back")
    hands.go("book")
    expect(page.locator(".list")).to_contain_text("To pay back")
    hands.go(f"book/order/{order}")
    hands.writes(r"^\s*by check")
    assert owed(keeper, order) == 0
    assert keeper.exchange() and keeper.status()["needsYou"] == []


def test_what_came_soft_is_sent_again_or_something_is_taken_off(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    order = promised(keeper, 2)
    keeper.js("await acts.pay(args[0], house.view.owed(args[0]), 'cash'); await acts.handOver(args[0])", order)
    hands.go(f"book/order/{order}")
    hands.touch("take something off")
    hands.fill("dollars off", "2.50")
    hands.writes(r"^\s*heat\s*$")
    expect(page.locator("order-board")).to_contain_text("$2.50 to pay back")
    hands.writes("paid back in cash")
    assert owed(keeper, order) == 0
    hands.touch("send it again")
    hands.writes(r"^\s*it broke\s*$")
    again = keeper.js("return [...house.view.orders.values()].find((one) => one.replaces === args[0])", order)
    assert (again["free_for"], owed(keeper, again["id"])) == ("breakage", 0)
    hands.go(f"book/order/{again['id']}")
    expect(page.locator("send-again")).to_contain_text("At no charge, for breakage, instead of")
    assert keeper.exchange() and keeper.status()["needsYou"] == []


def test_a_walk_in_hands_over_a_bill_and_is_told_the_change(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    hands.go("counter")
    hands.touch("someone is here now")
    hands.touch(r"^\s*5\s*$")
    page.locator("[data-blank=pays]").tap()
    hands.touch(r"^\s*\$20\.00")
    hands.touch(r"^\s*Say it")
    hands.writes(r"^\s*Sell\s*$")
    expect(page.locator("order-promised")).to_contain_text("Give $7.50 back from $20.00.")
    payment = keeper.js("return [...house.view.payments.values()].find((one) => one.given_cents === 2000)")
    assert (payment["cents"], payment["how"]) == (1250, "cash")
    assert keeper.exchange() and keeper.status()["needsYou"] == []


def test_enter_pays_nothing_and_what_was_typed_stays_with_its_order(keeper: Device) -> None:
    """The number of a check and Enter would take the first key, cash, and all they owe; the next order begins with empty fields."""
    hands, page = Hands(keeper), keeper.page
    first, second = promised(keeper, 2), promised(keeper, 2)
    keeper.js("for (const id of args) await acts.pack(id, { parcels: [{ gross_g: 400 }] })", first, second)
    before = owed(keeper, first)
    hands.go(f"book/order/{first}")
    hands.touch("change, a part of it")
    number = page.get_by_label("number of the check")
    number.fill("118")
    entries = keeper.js("return known.entries.size")
    number.press("Enter")
    page.locator("tracking-form input").fill("AB123456789")
    assert (owed(keeper, first), keeper.js("return known.entries.size")) == (before, entries)
    page.evaluate("place => { location.hash = place; }", f"book/order/{second}")
    expect(page.locator("order-board")).to_contain_text(f"order {keeper.js('return house.view.orders.get(args[0]).number', second)} · taken")
    expect(page.locator("tracking-form input")).to_have_value("")
    expect(page.locator("pay-otherwise input[name=check_number]")).to_have_value("")
