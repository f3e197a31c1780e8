"""Orders that know where they go, by touch: a present leaves the person's own address alone, an old promise asks before it follows them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

HOME = {"street": "4 Heron Sill Rd", "unit": "", "city": "Duluth", "state": "MN", "zip": "55811"}
NEW = {"ZIP": "04609", "^street": "9 Larch Rd", "^city": "Bar Harbor", "^state": "ME"}


@pytest.fixture(scope="module")
def keeper(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """An owner's phone, and Ann in its book."""
    with owners_phone(chromium, house_of_the_file, has_touch=True) as device:
        device.js("await acts.savePerson(args[0])", {"id": "ann", "name": "Ann Lind", "phone": "+12185550142", **HOME})
        yield device


def ann(device: Device) -> dict[str, str]:
    return dict(device.js("return house.view.people.get('ann')"))


def order_of(device: Device, place: int = 0) -> dict[str, str]:
    """Ann's order, the latest first, with where it goes."""
    script = "const order = house.view.ordersOf('ann')[args[0]]; return { ...order, ...house.view.destination(order) };"
    return dict(device.js(script, place))


def test_a_present_goes_elsewhere_and_her_own_address_hears_nothing(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    hands.go("counter")
    hands.digits("142")
    hands.touch("Ann Lind")
    hands.touch(r"^\s*5\s*$")
    page.locator("[data-blank=where]").tap()
    hands.touch("somebody else receives it")
    for label, text in {**NEW, "who receives it": "Bob Lind", "words for them": "Happy birthday"}.items():
        hands.fill(label, text)
    hands.touch("for this order only")
    expect(page.locator("[data-blank=where]")).to_have_text("Bob Lind, Bar Harbor ME")
    hands.touch(r"^\s*Read back")
    expect(page.locator("read-back .sentence")).to_contain_text("Bob Lind, 9 Larch Rd, Bar Harbor ME 04609")
    expect(page.locator("read-back")).to_contain_text("Happy birthday")
    hands.writes(r"^\s*Promise\s*$")
    order = order_of(keeper)
    assert (order["name"], order["street"], order["gift_note"], order["goes_to"]) == ("Bob Lind", "9 Larch Rd", "Happy birthday", "other")
    assert {name: ann(keeper)[name] for name in HOME} == HOME
    assert keeper.exchange() and keeper.status()["needsYou"] == []
    hands.go(f"bench/{order['id']}")
    expect(page.locator("parcel-board")).to_contain_text("Bob Lind, 9 Larch Rd, Bar Harbor ME 04609")


def test_a_promised_parcel_asks_before_it_follows_her(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    keeper.js("await acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units: 2 }], way: 'post' })")
    keeper.js("await acts.savePerson(args[0])", {"id": "ann", "street": "7 Alder Ct"})
    order, present = order_of(keeper), order_of(keeper, 1)
    assert (order["street"], present["street"]) == ("4 Heron Sill Rd", "9 Larch Rd")
    hands.go(f"book/order/{order['id']}")
    expect(page.get_by_role("group", name="Use the new address?")).to_contain_text("7 Alder Ct")
    hands.writes("leave it as it is")
    assert order_of(keeper)["street"] == "4 Heron Sill Rd"
    expect(page.get_by_role("group", name="Use the new address?")).to_have_count(0)
    hands.writes("^undo")
    expect(page.get_by_role("group", name="Use the new address?")).to_be_visible()
    hands.writes("send it to the new one")
    assert (order_of(keeper)["street"], order_of(keeper)["goes_to"]) == ("7 Alder Ct", "own")
    hands.go(f"book/order/{present['id']}")
    expect(page.locator("order-board")).to_contain_text("for this order only")
    expect(page.get_by_role("group", name="Use the new address?")).to_have_count(0)
    assert keeper.exchange() and keeper.status()["needsYou"] == []


def test_an_order_being_changed_keeps_its_address_until_one_touch(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    keeper.js("await acts.savePerson(args[0])", {"id": "ann", "street": "12 Cedar Ln"})
    order = order_of(keeper)
    hands.go(f"counter/change/{order['id']}")
    expect(page.locator(".under")).to_contain_text("They live at 12 Cedar Ln")
    hands.touch("use the new address")
    expect(page.locator(".under")).not_to_contain_text("They live at")
    hands.touch(r"^\s*Read back")
    expect(page.locator("read-back .sentence")).to_contain_text("12 Cedar Ln")
    hands.writes(r"^\s*Change it\s*$")
    assert (order_of(keeper)["street"], order_of(keeper)["goes_to"]) == ("12 Cedar Ln", "own")
    assert keeper.exchange() and keeper.status()["needsYou"] == []
