"""Every act and its undo, from the page to the records: nothing is refused, and the sums come back to where they were."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from honeyhold.house.house import House

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def desk(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """One enrolled device for the small tests here; no service worker, since starting is not the question."""
    with lent(chromium, service_workers="block") as context:
        device = Device(context.new_page(), house_of_the_file.address)
        device.enrol(house_of_the_file.code(), "Desk")
        yield device


BARS = "return [house.view.onHand('bar'), house.view.promised('bar')]"


def test_an_order_from_the_call_to_the_doorstep(device: Device, house_server: HouseProcess) -> None:
    """Promised, raised, paid, packed, weighed, handed over: the house lands all of it and the goods leave by lot."""
    on_hand, promised = device.js(BARS)
    device.hold(10)
    taken = device.promise(5, paid_cents=250)
    assert device.js("return acts.amend(args[0], { lines: [{ good: 'bar', units: 8 }], note: 'ring first' })", taken["order"])["sure"] == {"bar": 8}
    device.js("await acts.pay(args[0], 1750, 'cash')", taken["order"])
    assert device.js("return house.view.owed(args[0])", taken["order"]) == 8 * 250 - 2000
    parcels = device.js("return acts.pack(args[0], { parcels: [{ carton: null, gross_g: 400 }] })", taken["order"])["parcels"]
    device.js("await acts.weigh(args[0], 412); await acts.handOver(args[1])", parcels[0], taken["order"])
    assert device.exchange()
    status = device.status()
    assert (status["inHand"], status["needsYou"]) == (0, [])
    assert device.js("return house.view.orders.get(args[0]).state", taken["order"]) == "gone"
    assert device.js("return house.view.parcelsOf(args[0])[0].scale_g", taken["order"]) == 412
    assert device.js(BARS) == [on_hand - 8, promised]
    assert house_server.in_person(lambda house: house.check()) == []


def test_an_order_lowered_by_one_frees_one(device: Device, house_server: HouseProcess) -> None:
    on_hand, promised = device.js(BARS)
    device.hold(5)
    taken = device.promise(4)["order"]
    assert device.js("return acts.amend(args[0], { lines: [{ good: 'bar', units: 3 }] })", taken)["sure"] == {"bar": 3}
    assert device.js(BARS) == [on_hand, promised + 3]
    assert device.exchange() and device.js(BARS) == [on_hand, promised + 3]
    device.js("await acts.letGo(args[0])", taken)
    assert device.exchange() and device.js(BARS) == [on_hand, promised]
    assert house_server.in_person(lambda house: house.check()) == []


@pytest.mark.parametrize(
    "act",
    [
        "acts.promise({ person: { name: 'Nils' }, way: 'post', lines: [{ good: 'bar', units: 3 }] })",
        "acts.sell({ lines: [{ good: 'bar', units: 2 }], pays: 'cash' })",
        "acts.count('bar', 'W26-204-1', house.view.lotBalance('bar')[0].units - 4)",
        "acts.takeAway('bar', 'W26-204-1', 2, 'specked')",
        "acts.make({ lots: [{ good: 'bar', units: 10 }] })",
        "acts.buy('bar', 6)",
        "acts.savePerson({ name: 'Orla Tennick', phone: '(218) 555-0114' })",
        "acts.setHouse('closing_words', 'Thank you')",
        "acts.setGood({ id: 'bar', price_cents: 275 })",
        "acts.noteLot({ id: 'W26-204-1', note: 'pale' })",
        "acts.promise({ person: { name: 'Nils' }, way: 'post', lines: [{ good: 'bar', units: 3 }], paid_cents: 500, paid_how: 'check' })",
    ],
)
def test_each_act_can_be_undone(desk: Device, act: str) -> None:
    """Within ten minutes, once; both entries land and the shelf is as before."""
    desk.hold(5)
    before = desk.js(BARS)
    op = desk.js(f"return ({act}).then((done) => done.op)")
    assert desk.js("return acts.undoable(args[0]) !== null", op)
    assert desk.js("return acts.undo(args[0])", op)["ops"]
    assert desk.js("return acts.undoable(args[0])", op) is None
    assert desk.exchange()
    assert desk.js(BARS) == before
    assert desk.status()["needsYou"] == []


ON_AN_ORDER = {
    "let_go": "return (await acts.letGo(args[0])).op",
    "amend": "return (await acts.amend(args[0], { lines: [{ good: 'bar', units: 1 }, { good: 'pint', units: 1 }], note: 'and a jar' })).op",
    "pack": "return (await acts.pack(args[0], { parcels: [{ carton: null, gross_g: 200 }] })).op",
    "pay": "return (await acts.pay(args[0], 500, 'cash')).op",
}
STANDING = """const order = house.view.orders.get(args[0]);
  return [order.state, order.note, house.view.paid(args[0]), house.view.parcelsOf(args[0]).length, house.view.onHand('bar'),
    house.view.linesOf(args[0]).map((line) => [line.good, line.units, house.view.sure(line), house.view.waiting(line)])];"""


@pytest.mark.parametrize("act", ON_AN_ORDER)
def test_what_was_done_to_an_order_can_be_undone(desk: Device, act: str) -> None:
    """One entry; the order stands as it stood, under its number, with all its bars."""
    desk.hold(12)
    order = desk.promise(3)["order"]
    before = desk.js(STANDING, order)
    op = desk.js(ON_AN_ORDER[act], order)
    assert desk.js(STANDING, order) != before
    assert len(desk.js("return acts.undo(args[0])", op)["ops"]) == 1
    assert desk.js(STANDING, order) == before
    assert desk.exchange()
    assert desk.js(STANDING, order) == before and desk.status()["needsYou"] == []


def test_two_windows_undo_the_same_sale_once(desk: Device) -> None:
    """Both keys touched in the same breath: one brings four bars and the money back, the other says that it was done."""
    window = Device(desk.page.context.new_page(), desk.address)
    sale = desk.js("return acts.sell({ lines: [{ good: 'bar', units: 4 }], pays: 'cash' })")
    bars = desk.js("return house.view.onHand('bar')")
    window.wait_for(f"acts.undoable('{sale['op']}')")
    told = "return acts.undo(args[0]).then(() => 'done', (error) => error.message)"
    started = [one.page.evaluate_handle(f"(args) => {{ window.told = (async () => {{ {told} }})(); }}", [sale["op"]]) for one in (desk, window)]
    said = [one.js("return window.told") for one in (desk, window)]
    assert len(started) == 2 and said.count("done") == 1 and any("undone already" in one for one in said), said
    assert desk.exchange() and window.exchange()
    for one in (desk, window):
        assert one.js("return [house.view.onHand('bar'), house.view.paid(args[0]), house.view.owed(args[0])]", sale["order"]) == [bars + 4, 0, 0]
        assert one.status()["needsYou"] == []
    window.page.close()


def test_an_undo_that_came_too_late_needs_nobody(desk: Device, house_of_the_file: HouseProcess) -> None:
    """The house heard of another undo of the same act first: this device's is set aside without a word of alarm."""
    sale = desk.js("return acts.sell({ lines: [{ good: 'bar', units: 2 }], pays: 'later', person: { name: 'Nora Lind' } })")
    assert desk.exchange()

    def undone(house: House) -> None:
        with house.records.read():
            (body,) = [json.loads(row) for (row,) in house.records.sql("SELECT body FROM operation WHERE id = ?", sale["op"]).fetchall()]
        back = [{**row, "id": f"back-{row['id']}", "units": -row["units"], "undoes": row["id"]} for row in body["rows"] if row["table"] == "movement"]
        house.write("undo", [{"table": "undoing", "id": sale["op"]}, {"table": "order", "id": sale["order"], "state": "let_go"}, *back])

    bars = desk.js("return house.view.onHand('bar')")
    desk.page.context.set_offline(True)  # what the house heard first must not reach this device before its own undo is written
    house_of_the_file.in_person(undone)
    desk.js("await acts.undo(args[0])", sale["op"])
    desk.page.context.set_offline(False)
    desk.wait_for("house.status.inHand === 0")
    assert desk.exchange() and desk.status()["needsYou"] == []
    assert desk.js("return house.view.onHand('bar')") == bars + 2


def test_an_undone_sale_owes_nothing(desk: Device) -> None:
    """The goods are counted back and the money is paid back."""
    sale = desk.js("return acts.sell({ lines: [{ good: 'bar', units: 2 }], pays: 'cash' })")
    desk.js("await acts.undo(args[0])", sale["op"])
    assert desk.js("return [house.view.owed(args[0]), house.view.paid(args[0])]", sale["order"]) == [0, 0]


def test_what_is_not_in_the_share_waits(device: Device) -> None:
    """Without signal, more than the share: the share is sure, the rest waits, and both are told."""
    device.hold(5)
    device.page.context.set_offline(True)
    share = device.js("return house.share('bar')")  # from here on no exchange changes it
    taken = device.promise(share + 3)
    assert taken["sure"] == {"bar": share} and taken["waiting"] == {"bar": 3}
    assert device.js("return house.view.waitingFor('bar').some(({ order, units }) => order.id === args[0] && units === 3)", taken["order"])


@pytest.mark.parametrize(
    ("draft", "field"),
    [
        ("{ person: { name: 'A' }, lines: [] }", "lines"),
        ("{ person: { name: 'A' }, lines: [{ good: 'bar', units: 1.5 }] }", "units"),
        ("{ person: { name: 'A' }, lines: [{ good: 'wig', units: 1 }] }", "lines"),
        ("{ person: { name: 'A', phone: '12' }, lines: [{ good: 'bar', units: 1 }] }", "phone"),
        ("{ person: {}, lines: [{ good: 'bar', units: 1 }] }", "person"),
        ("{ person: { name: 'A' }, leave_on: 'Monday', lines: [{ good: 'bar', units: 1 }] }", "leave_on"),
        ("{ person: { name: 'A' }, way: 'walk_in', lines: [{ good: 'bar', units: 1 }] }", "way"),
    ],
)
def test_a_bad_draft_is_told_and_writes_nothing(desk: Device, draft: str, field: str) -> None:
    """Which field, what was seen, what to do; the log is as it was."""
    told = desk.js(f"const seq = known.head.seq; const told = await acts.promise({draft}).catch((error) => error);"
                     " return [told.kind, told.field, Boolean(told.message), Boolean(told.remedy), known.head.seq === seq]")  # fmt: skip
    assert told == ["draft", field, True, True, True]


IN_ONE_PARCEL = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '', street: '4 Heron Sill Rd', city: 'Duluth', state: 'MN', zip: '55811' });
  const order = () => acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units: 2 }], way: 'post', leave_on: house.today() });
  const [host, rider] = [(await order()).order, (await order()).order];
  await acts.amend(rider, { goes_with: host });
  return [host, rider];"""


def test_a_payment_is_undone_alone_and_a_parcel_whole(desk: Device) -> None:
    """Money of two orders in one parcel is two payments; what was done to the parcel is done, and undone, to both."""
    desk.hold(10)
    host, rider = desk.js(IN_ONE_PARCEL)
    paid = desk.js("const { op } = await acts.pay(args[0], 500, 'cash'); await acts.pay(args[1], 300, 'cash'); return op", host, rider)
    assert len(desk.js("return acts.undo(args[0])", paid)["ops"]) == 1
    assert desk.js("return args.map((id) => house.view.paid(id))", host, rider) == [0, 300]
    packed = desk.js("return (await acts.pack(args[0], { parcels: [{ carton: null, gross_g: 200 }] })).op", host)
    gone = desk.js("return (await acts.handOver(args[0])).op", host)
    states = "return args.map((id) => house.view.orders.get(id).state)"
    assert desk.js(states, host, rider) == ["gone", "gone"]
    assert len(desk.js("known.entries.get(args[0]).prior = []; return acts.undo(args[0])", gone)["ops"]) == 2
    assert desk.js(states, host, rider) == ["packed", "packed"]
    assert len(desk.js("return acts.undo(args[0])", packed)["ops"]) == 2
    assert desk.js(states, host, rider) == ["promised", "promised"]
    assert desk.exchange() and desk.status()["needsYou"] == []
