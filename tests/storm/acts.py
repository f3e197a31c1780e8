"""What people do on their devices. An act is a function of the world and of one device; `ACTS` says how often each comes.

A new kind of entry gets an act here: write the function, give it a line in `ACTS`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from storm.phone import Phone

if TYPE_CHECKING:
    from storm.world import World

Act = Callable[["World", Phone], None]

SOLD = ("bar", "jar")
USUAL_UNITS = (1, 5, 10)


def exchange(world: World, phone: Phone) -> None:
    """The device speaks to the house, if the line lets it."""
    world.exchange(phone)


def ask_for_share(world: World, phone: Phone) -> None:
    """It would like to hold more."""
    world.exchange(phone, wants={good: world.rng.randrange(4, 25) for good in SOLD})


def caller_on_the_line(world: World, phone: Phone) -> None:
    """A caller waits for an answer: what is missing is asked for, from the others too."""
    world.exchange(phone, callers={world.rng.choice(SOLD): world.rng.choice(USUAL_UNITS)})


def answer_to_the_asking(world: World, phone: Phone) -> None:
    """The house asked for some back; the device debits first and gives."""
    asked = phone.asked_back
    units = {good: min(units, phone.share(good)) for good, units in asked.items() if phone.share(good) > 0}
    if units:
        phone.give_back(units)
    phone.asked_back = {}


def promise(world: World, phone: Phone) -> None:
    """A caller wants some; what the share holds is told to be sure."""
    person = phone.note_person(name="Somebody")
    taken = phone.promise([(world.rng.choice(SOLD), world.rng.choice(USUAL_UNITS))], person=person)
    world.tell(phone, dict(taken.sure))


def promise_two_goods(world: World, phone: Phone) -> None:
    """Some of each, paid for in part at once."""
    person = phone.note_person(name="Somebody else")
    lines = [(good, world.rng.choice(USUAL_UNITS)) for good in SOLD]
    taken = phone.promise(lines, person=person, way="pick_up", payment=(world.rng.randrange(100, 3000), "cash"))
    world.tell(phone, dict(taken.sure))


def undo_a_promise(world: World, phone: Phone) -> None:
    """Taken and taken back within a minute, perhaps before any of it was heard."""
    taken = phone.promise([(world.rng.choice(SOLD), 5)], person=phone.note_person(name="Changed their mind"))
    if world.rng.random() < 0.5:
        world.exchange(phone)
    phone.let_go(taken.order)


def amend(world: World, phone: Phone) -> None:
    """Another number of the same, or the other good too."""
    order = world.an_order(phone, ("promised", "packed"))
    if order:
        _amended_and_told(world, phone, order, world.rng.choice(SOLD), world.rng.choice(USUAL_UNITS))


def _amended_and_told(world: World, phone: Phone, order: str, good: str, units: int) -> None:
    """What the change spends is told to be sure; a change that changes nothing writes nothing, and the last entry is another's."""
    before = phone.log[-1]["id"] if phone.log else None
    phone.amend(order, lines=[(good, units)])
    if phone.log and phone.log[-1]["id"] != before:
        world.tell(phone, dict(phone.log[-1]["spent"]))


def amend_texts(world: World, phone: Phone) -> None:
    """Another day, another note."""
    order = world.an_order(phone, ("promised", "packed"))
    if order:
        phone.amend(order, note=f"ring twice {world.rng.randrange(100)}", leave_on=world.day)


def let_go(world: World, phone: Phone) -> None:
    """The caller does not want it any more."""
    order = world.an_order(phone)
    if order:
        phone.let_go(order)


def pack(world: World, phone: Phone) -> None:
    """Into a carton, and perhaps onto the scale."""
    order = world.an_order(phone, ("promised",))
    if order:
        (parcel,) = phone.pack(order, [{"carton": "carton", "gross_g": 900, "dressing": "plain"}])
        if world.rng.random() < 0.5:
            phone.weigh(parcel, world.rng.randrange(850, 950))


def unpack(world: World, phone: Phone) -> None:
    """The last packing was a mistake; perhaps it never landed, or was undone before."""
    packed = [operation for operation in phone.log[-12:] if operation["kind"] == "pack"]
    if packed:
        phone.unpack(packed[-1])


UNDONE = ("promise", "let_go", "sell", "pack", "hand_over", "pay", "adjust", "note_till", "note_lost_sale", "make", "count", "buy")
"""Kinds whose undo needs nothing but the entry itself: it can be said by any device that has heard of it."""


def _an_act_to_undo(world: World, phone: Phone) -> dict[str, Any] | None:
    done = [operation for operation in phone.log[-16:] if operation["kind"] in UNDONE]
    if not done:
        return None
    act: dict[str, Any] = world.rng.choice(done)
    if act["kind"] in ("make", "count", "buy"):
        world.may_be_short(*{row["good"] for row in act["rows"] if row["table"] == "movement"})
    return act


def _undo(world: World, phone: Phone, act: dict[str, Any]) -> None:
    orders = [row["id"] for row in act["rows"] if row["table"] == "order"]
    if all(order in phone.view.rows["order"] for order in orders):
        spent = phone.undo(act)["spent"]
        if spent:
            world.tell(phone, dict(spent))


def undo(world: World, phone: Phone) -> None:
    """One of the last acts was a mistake; perhaps it never landed, was undone before, or things have gone on."""
    act = _an_act_to_undo(world, phone)
    if act:
        _undo(world, phone, act)


def undo_in_two_windows(world: World, phone: Phone) -> None:
    """The same act undone twice in one breath, as two windows of an app of long ago might."""
    act = _an_act_to_undo(world, phone)
    if act:
        _undo(world, phone, act)
        _undo(world, phone, act)


def undo_at_both_ends(world: World, phone: Phone) -> None:
    """Two devices undo the same act before either has heard of the other."""
    other, act = world.another(phone), _an_act_to_undo(world, phone)
    if other and act:
        world.exchange(phone)
        world.exchange(other)
        for one in (phone, other):
            _undo(world, one, act)
        for one in world.rng.sample([phone, other], 2):
            world.exchange(one)


def arrive(world: World, phone: Phone) -> None:
    """Somebody rang: how their parcel came; or it was put down wrongly, and is taken back."""
    known = sorted(phone.view.rows["parcel"])
    if known:
        phone.arrive({world.rng.choice(known): world.rng.choice(("fine", "dented", "leaked", ""))})


def _may_leave(phone: Phone, order: str) -> bool:
    """Something of it is sure, and nothing of an open order still waits."""
    lines, is_open = phone.view.lines_of(order), phone.view.rows["order"][order]["state"] != "let_go"
    return any(phone.sure(line["id"]) > 0 for line in lines) and not (is_open and any(phone.waiting(line["id"]) > 0 for line in lines))


def hand_over(world: World, phone: Phone) -> None:
    """What is sure leaves the house, whatever has become of the order meanwhile."""
    order = world.an_order(phone)
    if order and _may_leave(phone, order):
        phone.hand_over(order, payment=(300, "cash") if world.rng.random() < 0.3 else None)


def pay(world: World, phone: Phone) -> None:
    """Money comes, or goes back."""
    order = world.an_order(phone, ("promised", "packed", "gone"))
    if order:
        phone.pay(order, world.rng.choice((300, 2500, -300)), world.rng.choice(("cash", "cash", "check", "transfer")), note="by hand")


def put_right(world: World, phone: Phone) -> None:
    """A payment was entered wrongly, by whoever."""
    payments = sorted(row["id"] for row in phone.view.rows["payment"].values() if not row.get("corrects"))
    if payments:
        wrong = phone.view.rows["payment"][world.rng.choice(payments)]
        now = wrong["cents"] + sum(row["cents"] for row in phone.view.rows["payment"].values() if row.get("corrects") == wrong["id"])
        phone.correct(wrong["id"], now + world.rng.choice((500, -200)))


def take_off(world: World, phone: Phone) -> None:
    """Something off the price; perhaps another device did so too, and it is more than all of it."""
    order = world.an_order(phone, ("promised", "packed", "gone"))
    if order and sum(row["units"] * row.get("price_cents", 0) for row in phone.view.lines_of(order)) + phone.view.adjusted(order) >= 200:
        phone.adjust(order, -200, world.rng.choice(("discount", "heat")))


def till(world: World, phone: Phone) -> None:
    """Cash is put in, taken out, or counted on two devices in one evening."""
    phone.till(world.rng.choice(("opening", "taken", "counted")), world.rng.randrange(0, 20_000))


def go_without(world: World, phone: Phone) -> None:
    """A caller does not wait for what is not there."""
    phone.go_without("bar", world.rng.randrange(1, 12))


def sell(world: World, phone: Phone) -> None:
    """A walk-in, perhaps of more than the share holds."""
    good, units = world.rng.choice(SOLD), world.rng.choice((1, 2, 5))
    if units > phone.share(good):
        world.may_be_short(good)
    phone.sell([(good, units)])


def pour(world: World, phone: Phone) -> None:
    """Ten more bars, of a lot of their own."""
    lot = f"W26-{len(phone.log)}-{world.rng.randrange(10**6)}"
    phone.make([{"id": lot, "good": "bar", "made_on": world.day}], [("bar", lot, 10, "poured")])


def melt(world: World, phone: Phone) -> None:
    """Cappings are melted: some becomes wax, some is lost; the next stage gets what left the first, to the gram."""
    lot, grams, lost = f"M26-{len(phone.log)}-{world.rng.randrange(10**6)}", world.rng.randrange(1, 3000), world.rng.randrange(1, 200)
    made = {"id": lot, "good": "wax", "made_on": world.day}
    phone.make([made], [("cappings", None, -grams, "passed"), ("cappings", None, -lost, "lost"), ("wax", lot, grams, "came")])


def take_back(world: World, phone: Phone) -> None:
    """The last thing made or counted was a mistake; perhaps it was taken back before, or never landed."""
    made = [operation for operation in phone.log[-12:] if operation["kind"] in ("make", "count")]
    if made:
        world.may_be_short(*{row["good"] for row in made[-1]["rows"] if row["table"] == "movement"})
        phone.take_back(made[-1])


def count_down(world: World, phone: Phone) -> None:
    """The shelf holds less than the book says."""
    good = world.rng.choice(SOLD)
    world.may_be_short(good)
    reason = world.rng.choice(("counted", "spoiled", "broken", "gift"))
    phone.count([(good, None, -world.rng.randrange(1, 9), reason)])


def count_up(world: World, phone: Phone) -> None:
    """And sometimes more."""
    phone.count([(world.rng.choice(SOLD), None, world.rng.randrange(1, 4), "counted")])


def buy(world: World, phone: Phone) -> None:
    """Cartons come in."""
    phone.buy([("carton", None, world.rng.randrange(1, 20), "bought")])


def note_person(world: World, phone: Phone) -> None:
    """Two devices may note the same person differently: the house keeps what it heard last."""
    known = sorted(phone.view.rows["person"])
    phone.note_person(world.rng.choice(known) if known else None, name=f"Named {world.rng.randrange(100)}")


def set_things(world: World, phone: Phone) -> None:
    """A keeper changes a price and a setting."""
    phone.set_good([{"id": "bar", "price_cents": world.rng.randrange(200, 400)}])
    phone.set_house({"closing_words": f"Thanks {world.rng.randrange(100)}"})


def mistake(world: World, phone: Phone) -> None:
    """An entry whose last row cannot land: none of it may."""
    phone.count([("bar", None, 3, "counted"), ("not_a_good", None, 1, "counted")])


def promise_refused(world: World, phone: Phone) -> None:
    """A promise the house will not take: its bars return to the pool, not to the device."""
    if phone.share("bar"):
        phone.promise([("bar", 1)], person="nobody_known")


def give_back(world: World, phone: Phone) -> None:
    """Half of the share returns."""
    units = {good: phone.share(good) // 2 for good in SOLD if phone.share(good) > 1}
    if units:
        phone.give_back(units)


def two_amend(world: World, phone: Phone) -> None:
    """Two keepers change one order at once, each without hearing of the other."""
    other, order = world.another(phone), world.an_order(phone, ("promised", "packed"))
    if other and order and order in other.view.rows["order"]:
        for one, units in ((phone, 1), (other, 10)):
            _amended_and_told(world, one, order, world.rng.choice(SOLD), units)
        world.exchange(other)
        world.exchange(phone)


def let_go_races_hand_over(world: World, phone: Phone) -> None:
    """One lets the order go while another hands it over the counter: what has left the house wins."""
    other, order = world.another(phone), world.an_order(phone, ("promised", "packed"))
    if not (other and order and order in other.view.rows["order"]):
        return
    if not _may_leave(other, order):
        return
    phone.let_go(order)
    other.hand_over(order)
    world.may_be_short(*SOLD)  # its bars may have been promised again before the house heard that they had left
    for one in world.rng.sample([phone, other], 2):
        world.exchange(one)


def canceled_at_both_ends(world: World, phone: Phone) -> None:
    """A packed order is let go on two devices before either has heard of the other."""
    other, order = world.another(phone), world.an_order(phone, ("promised",))
    if not (other and order):
        return
    phone.pack(order, [{"carton": "carton", "gross_g": 900, "dressing": "plain"}])
    for one in (phone, other):
        world.exchange(one)
    if other.view.rows["order"].get(order, {}).get("state") == "packed":
        for one in (phone, other):
            one.let_go(order)
            world.exchange(one)


def plain_one_speaks(world: World, _phone: Phone) -> None:
    """The device that was written from the contract's page alone says and hears everything."""
    world.exchange_plain({good: world.rng.randrange(0, 20) for good in SOLD})


def plain_one_acts(world: World, _phone: Phone) -> None:
    """It takes an order for somebody it knows, sells out of its share, pours, or hands over what is sure and does not wait."""
    plain, rng = world.plain, world.rng
    book, good = plain.view(), rng.choice(SOLD)
    people = sorted(row["id"] for row in book.of("person"))
    ready = sorted(
        line["order"] for line in book.of("line")
        if line["units"] == book.sure[line["id"]] + book.handed[line["id"]] and book.rows["order", line["order"]]["state"] == "promised"
        and sum(other["order"] == line["order"] for other in book.of("line")) == 1 and book.sure[line["id"]]
    )  # fmt: skip
    what = rng.choice(("order", "order", "sale", "pour", "hand over"))
    if what == "order" and people:
        entry = plain.take_order(rng.choice(people), good, rng.choice(USUAL_UNITS))
        world.tell_of_device(plain.identity["device"], entry["id"], dict(entry["spent"]))
    elif what == "sale" and plain.share(good) > 0:
        plain.sell(good, 1)
    elif what == "pour":
        plain.pour("bar", f"P26-{len(plain.log)}-{rng.randrange(10**6)}", 10)
    elif what == "hand over" and ready:
        plain.hand_over(rng.choice(ready))


ACTS: dict[str, tuple[Act, int]] = {
    "exchange": (exchange, 5), "ask for share": (ask_for_share, 3), "caller on the line": (caller_on_the_line, 1),
    "answer to the asking": (answer_to_the_asking, 1), "promise": (promise, 3), "promise two goods": (promise_two_goods, 1),
    "undo a promise": (undo_a_promise, 1), "amend": (amend, 1), "amend texts": (amend_texts, 1), "let go": (let_go, 1),
    "pack": (pack, 1), "unpack": (unpack, 1), "undo": (undo, 1),
    "undo in two windows": (undo_in_two_windows, 1), "undo at both ends": (undo_at_both_ends, 1), "arrive": (arrive, 1),
    "hand over": (hand_over, 1), "pay": (pay, 1), "put right": (put_right, 1), "take off": (take_off, 1), "till": (till, 1),
    "go without": (go_without, 1),
    "sell": (sell, 1), "pour": (pour, 1), "melt": (melt, 1),
    "take back": (take_back, 1), "count up": (count_up, 1), "buy": (buy, 1), "note person": (note_person, 1),
    "set things": (set_things, 1), "mistake": (mistake, 1), "refused": (promise_refused, 1), "give back": (give_back, 1),
    "canceled at both ends": (canceled_at_both_ends, 1), "plain one speaks": (plain_one_speaks, 2), "plain one acts": (plain_one_acts, 2),
    "two amend": (two_amend, 1), "let go races hand over": (let_go_races_hand_over, 1),
}  # fmt: skip
"""Name to (act, how many chances it has)."""
