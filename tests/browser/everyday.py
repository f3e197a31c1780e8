"""Everyday tasks as a thumb does them on a phone in a house of one's own, each from the Counter on, and what must be so afterwards.

Typing a field counts as one touch, and the keyboard's own key leads to the next field, as on a phone.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Locator, expect

from browser.devices import Device
from browser.papers import printed, watch_the_printer
from browser.thumb import Thumb

KEYS = "button:visible, a:visible, summary:visible"
MOST_TOUCHES = 12
HOME = {"street": "4 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
WAIT_MS = 60_000


class Hand:
    """A thumb on an owner's phone; `draw` asks for somebody new in the book whose number ends in three digits of their own."""

    def __init__(self, device: Device) -> None:
        self.device, self.page, self.thumb = device, device.page, Thumb(device.page)
        self.people = 0

    def begin(self) -> None:
        """At the Counter, nobody on the line, nothing counted yet."""
        self.page.goto(f"{self.device.address}/#settings/needs")
        expect(self.page.locator("needs-board")).to_be_visible(timeout=WAIT_MS)
        self.page.evaluate("async () => { await (await import('/store/sentences.js')).sentences.drop(); }")
        self.page.goto(f"{self.device.address}/#counter")
        expect(self.page.locator("[data-blank=who]")).to_be_visible(timeout=WAIT_MS)
        self.thumb = Thumb(self.page)

    def touch(self, words: str, within: str = "") -> None:
        """The first key in sight that says so."""
        keys = self.page.locator(within).locator(KEYS) if within else self.page.locator(KEYS)
        self.thumb.on(keys.filter(has_text=re.compile(words)).first)

    def place(self, name: str) -> None:
        """One of the rooms, by its name at the bottom."""
        self.thumb.on(self.page.get_by_role("navigation", name="Rooms").get_by_role("link", name=name))

    def blank(self, name: str) -> None:
        """A blank of the sentence."""
        self.thumb.on(self.page.locator(f"[data-blank='{name}']"))

    def digits(self, number: str) -> None:
        """The large keys of the finder or of a pad."""
        for sign in number:
            self.thumb.on(self.page.locator("button:visible").filter(has_text=re.compile(rf"^\s*{sign}\s*$")).first)

    def write(self, *texts: tuple[str, str]) -> None:
        """Fields by their labels: the first is touched, the others follow by the keyboard."""
        for at, (label, text) in enumerate(texts):
            field = self.field(label)
            if at:
                field.focus()
            else:
                self.thumb.on(field)
            field.fill(text)
            self.thumb.typed += len(text)

    def field(self, label: str) -> Locator:
        """A field by its label."""
        return self.page.get_by_label(re.compile(label)).locator("visible=true").first

    def js(self, script: str, *arguments: Any) -> Any:
        """What the store does or says."""
        return self.device.js(script, *arguments)

    def somebody(self) -> tuple[str, str]:
        """Somebody new in the book: id and the last three digits."""
        number = 100 + self.people
        self.people += 1
        person = {"id": f"person-{number}", "name": f"Wilma Birk {number}", "phone": f"+12185550{number}", **HOME}
        self.js("await acts.savePerson(args[0])", person)
        return person["id"], str(number)

    def order(self, person: str, units: int = 10, **more: Any) -> str:
        """A promised parcel of so many bars."""
        draft = {"person": {"id": person}, "lines": [{"good": "bar", "units": units}], "way": "post", "posting_cents": 1240, "posting_by": "hand", **more}
        return str(self.js("return (await acts.promise(args[0])).order", draft))

    def row(self, order: str) -> dict[str, Any]:
        """An order as it stands."""
        return dict(self.js("return { ...house.view.orders.get(args[0]), owed: house.view.owed(args[0]) }", order))

    def lines(self, order: str) -> list[int]:
        """Its units, line by line."""
        return list(self.js("return house.view.linesOf(args[0]).map(({ units }) => units)", order))

    def latest(self, person: str) -> str:
        """Their newest order."""
        return str(self.js("return house.view.ordersOf(args[0])[0].id", person))

    def caller(self, digits: str) -> None:
        """Somebody rings: three digits and their name."""
        self.digits(digits)
        self.touch(rf"Wilma Birk {digits}", "person-finder")  # the day's list may name them as well

    def in_the_book(self, digits: str, order: str) -> None:
        """Their order, found in the Book."""
        self.place("Book")
        self.caller(digits)
        self.touch(re.escape(self.row(order)["number"]), "person-board")

    def say_and(self, last: str) -> None:
        """Read back, then the key that writes."""
        self.touch(r"^\s*(Read back|Say it)")
        self.touch(rf"^\s*{last}\s*$")
        expect(self.page.locator("order-promised")).to_be_visible(timeout=WAIT_MS)


@dataclass(frozen=True)
class Task:
    """What is done; `does` raises where it did not come out."""

    name: str
    does: Callable[[Hand], None]


def a_callers_parcel(hand: Hand) -> None:
    person, digits = hand.somebody()
    hand.begin()
    hand.caller(digits)
    hand.touch(r"^\s*10\s*$")
    hand.say_and("Promise")
    order = hand.latest(person)
    assert (hand.lines(order), hand.row(order)["way"], hand.row(order)["state"]) == ([10], "post", "promised")


def the_usual(hand: Hand) -> None:
    person, digits = hand.somebody()
    for units in (5, 5):
        order = hand.order(person, units)
        hand.js("await acts.handOver(args[0])", order)
    hand.begin()
    hand.caller(digits)
    hand.touch(r"^\s*the usual")
    hand.say_and("Promise")
    assert hand.lines(hand.latest(person)) == [5]


def make_it_fifteen(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person)
    hand.begin()
    hand.caller(digits)
    hand.touch(r"^\s*make it 15\s*$")
    hand.say_and("Change it")
    assert hand.lines(order) == [15]


def fewer_than_before(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person)
    hand.begin()
    hand.caller(digits)
    hand.touch("change that order")
    hand.blank("line:bar")
    hand.touch(r"^\s*5\s*$")
    hand.say_and("Change it")
    assert hand.lines(order) == [5]


def a_present(hand: Hand) -> None:
    person, digits = hand.somebody()
    hand.begin()
    hand.caller(digits)
    hand.touch(r"^\s*5\s*$")
    hand.blank("where")
    hand.touch("somebody else receives it")
    hand.write(
        ("ZIP", "04609"), ("^street", "9 Larch Rd"), ("^city", "Bar Harbor"), ("^state", "ME"), ("who receives it", "Bob Lind"),
        ("words for them", "Happy birthday"),
    )  # fmt: skip
    hand.touch("for this order only")
    hand.say_and("Promise")
    row = hand.row(hand.latest(person))
    assert (row["to_name"], row["to_street"], row["gift_note"]) == ("Bob Lind", "9 Larch Rd", "Happy birthday")
    assert hand.js("return house.view.people.get(args[0]).street", person) == HOME["street"]


def picked_up_today(hand: Hand) -> None:
    person, digits = hand.somebody()
    hand.begin()
    hand.caller(digits)
    hand.touch(r"^\s*5\s*$")
    hand.blank("way")
    hand.touch("they pick it up")
    hand.touch(r"^\s*today")
    hand.say_and("Promise")
    row = hand.row(hand.latest(person))
    assert (row["way"], row["leave_on"]) == ("pick_up", hand.js("return house.today()"))


def someone_here_pays_with_a_bill(hand: Hand) -> None:
    hand.begin()
    hand.touch("someone is here now")
    hand.touch(r"^\s*5\s*$")
    hand.blank("pays")
    hand.touch(r"^\s*\$20\.00")
    hand.say_and("Sell")
    expect(hand.page.locator("order-promised")).to_contain_text("back from $20.00.")
    assert hand.js("return [...house.view.payments.values()].some((one) => one.given_cents === 2000)")


def they_cancel(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person)
    hand.begin()
    hand.in_the_book(digits, order)
    hand.touch(r"^\s*cancel the order\s*$")
    hand.device.wait_for(f"house.view.orders.get('{order}').state === 'let_go'")


def paid_back(hand: Hand) -> None:
    person, _ = hand.somebody()
    order = hand.order(person)
    hand.js("await acts.pay(args[0], 1000, 'cash'); await acts.letGo(args[0])", order)
    hand.begin()
    hand.place("Book")
    hand.touch(re.escape(hand.row(order)["number"]), "book-room .list")
    hand.touch("paid back in cash")
    hand.device.wait_for(f"house.view.owed('{order}') === 0")


def a_check_with_its_number(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person)
    owes = hand.js("return house.view.total(args[0])", order)
    hand.begin()
    hand.in_the_book(digits, order)
    hand.touch("change, a part of it")
    hand.write(("number of the check", "118"))
    hand.touch(r"^\s*check\s*$")
    hand.device.wait_for(f"house.view.paid('{order}') === {owes}")
    assert hand.js("return house.view.paymentsOf(args[0])[0].check_number", order) == "118"


def a_part_in_cash(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person)
    hand.begin()
    hand.in_the_book(digits, order)
    hand.touch("change, a part of it")
    hand.write(("dollars", "10"))
    hand.touch(r"^\s*cash\s*$")
    hand.device.wait_for(f"house.view.paid('{order}') === 1000")


def gone(hand: Hand) -> tuple[str, str]:
    """A parcel that left, paid: digits and order."""
    person, digits = hand.somebody()
    order = hand.order(person)
    hand.js("await acts.pay(args[0], house.view.total(args[0]), 'cash'); await acts.handOver(args[0])", order)
    return digits, order


def came_broken_sent_again(hand: Hand) -> None:
    digits, order = gone(hand)
    hand.begin()
    hand.in_the_book(digits, order)
    hand.touch("send it again")
    hand.touch(r"^\s*it broke\s*$")
    again = f"[...house.view.orders.values()].find((one) => one.replaces === '{order}')"
    hand.device.wait_for(again)
    assert hand.js(f"return {again}.free_for") == "breakage"


def off_for_heat(hand: Hand) -> str:
    """Two and a half dollars taken off a parcel that left; its order."""
    digits, order = gone(hand)
    hand.begin()
    hand.in_the_book(digits, order)
    hand.touch("take something off")
    hand.write(("dollars off", "2.50"))
    hand.touch(r"^\s*heat\s*$")
    hand.device.wait_for(f"house.view.adjusted('{order}') === -250")
    return order


def something_off_for_heat(hand: Hand) -> None:
    off_for_heat(hand)


def taken_back(hand: Hand) -> None:
    order = off_for_heat(hand)
    hand.touch(r"^\s*undo")
    hand.device.wait_for(f"house.view.adjusted('{order}') === 0")


def they_moved(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person)
    hand.js("await acts.savePerson({ id: args[0], street: '7 Alder Ct' })", person)
    hand.begin()
    hand.place("Book")
    hand.touch(f"Wilma Birk {digits}", "book-room .list")
    hand.touch("send it to the new one")
    hand.device.wait_for(f"house.view.orders.get('{order}').to_street === '7 Alder Ct'")


def who_waited_is_called(hand: Hand) -> None:
    person, _ = hand.somebody()
    order = hand.js("return (await acts.promise({ person: { id: args[0] }, lines: [{ good: 'pint', units: 400 }], way: 'pick_up' })).order", person)
    hand.js("await acts.buy('pint', 400)")
    hand.device.wait_for(f"house.view.orders.get('{order}').call_for === 'here'")
    hand.begin()
    hand.touch("^\\s*Call ", "day-list")
    expect(hand.page.locator(f"[data-order='{order}']").get_by_role("link", name="call")).to_have_attribute("href", re.compile(r"tel:\+1218555"))
    hand.thumb.on(hand.page.locator(f"[data-order='{order}']").get_by_role("button", name="they know"))
    hand.device.wait_for(f"house.view.orders.get('{order}').called_on === house.today()")


def packed_weighed_and_mailed(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person, 4)
    hand.js("await acts.amend(args[0], { leave_on: house.today() })", order)
    hand.begin()
    hand.place("Bench")
    hand.touch(f"Wilma Birk {digits}", "bench-room .list")
    expect(hand.page.locator("parcel-board kernel-picture svg").first).to_be_visible(timeout=60_000)
    hand.touch("print the slip")
    expect(hand.page.get_by_role("link", name="open the slip")).to_have_attribute("href", re.compile("^blob:"), timeout=60_000)
    hand.touch(r"^\s*Packed")
    hand.touch("on the scale")
    hand.touch("write it down")
    hand.touch(r"^\s*Mailed\s*$")
    hand.device.wait_for(f"house.view.orders.get('{order}').state === 'gone'")


def mailed_by_mistake(hand: Hand) -> None:
    person, digits = hand.somebody()
    order = hand.order(person, 2)
    hand.js("await acts.pack(args[0], { parcels: [{ carton: 'carton_8x6x4', dressing: 'plain', gross_g: 300 }] })", order)
    hand.begin()
    hand.place("Bench")
    hand.touch(f"Wilma Birk {digits}", "bench-room .list")
    hand.touch(r"^\s*Mailed\s*$")
    hand.device.wait_for(f"house.view.orders.get('{order}').state === 'gone'")
    hand.touch(r"^\s*undo")
    hand.device.wait_for(f"house.view.orders.get('{order}').state === 'packed'")


def the_shelf_is_counted(hand: Hand) -> None:
    before = hand.js("return house.view.onHand('bar')")
    hand.begin()
    hand.place("Shelf")
    hand.touch("wax bars", "shelf-room .list")
    hand.touch("count by hand")
    hand.digits(str(before - 1))
    hand.touch("that many lie there")
    hand.device.wait_for(f"house.view.onHand('bar') === {before - 1}")


def where_a_lot_went(hand: Hand) -> None:
    person, _ = hand.somebody()
    hand.js("await acts.buy('bar', 5)")
    lot = hand.js("return [...house.view.lots.values()].find(({ good }) => good === 'bar').id")
    hand.begin()
    watch_the_printer(hand.page)
    hand.place("Book")
    hand.touch("trace a lot")
    hand.touch(re.escape(lot))
    hand.touch("print the recall sheet")
    hand.page.wait_for_function("() => window.printed.length === 1", timeout=60_000)
    assert lot in printed(hand.page)[0]


def the_till_is_counted(hand: Hand) -> None:
    hand.begin()
    hand.place("Book")
    hand.touch(r"^\s*the till\s*$")
    hand.write(("dollars", "20"))
    hand.touch("that is what I counted")
    hand.device.wait_for("[...house.view.till.values()].some(({ what, cents }) => what === 'counted' && cents === 2000)")


TASKS = tuple(
    Task(does.__name__.replace("_", " "), does) for does in (
        a_callers_parcel, the_usual, make_it_fifteen, fewer_than_before, a_present, picked_up_today, someone_here_pays_with_a_bill, they_cancel,
        paid_back, a_check_with_its_number, a_part_in_cash, came_broken_sent_again, something_off_for_heat, taken_back, they_moved, who_waited_is_called,
        packed_weighed_and_mailed, mailed_by_mistake, the_shelf_is_counted, where_a_lot_went, the_till_is_counted,
    )
)  # fmt: skip
