"""A week at Nine Lindens, call by call. Every step is an operation on one of two devices, as it would be in the shed.

The week is laid over the calendar so that its Friday noon is the latest one before the house's own now. The code of
each lot follows from its day, so the story of 2026 has the lots W26-170-1, W26-197-1 and W26-204-1.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from demo_seed.client.device import DeviceClient
from demo_seed.goods_of_stages import lot_code, stage_good_rows
from demo_seed.mailing import mailing
from demo_seed.making import melt_and_screen, pounds, pour, season_so_far
from demo_seed.nine_lindens import CARTONS, SETTINGS, carton_rows, good_rows
from demo_seed.people import PEOPLE
from honeyhold.house.house import House
from honeyhold.stock.mailing_days import next_posting_days

ZONE = ZoneInfo(SETTINGS["time_zone"])


@dataclass
class Story:
    """The house, its two devices, and where in the week we are."""

    house: House
    shed: DeviceClient
    tablet: DeviceClient
    monday: date
    now: datetime
    taken: dict[str, Any] = field(default_factory=dict)

    def day(self, offset: int) -> date:
        """The day so many days after the story's first Monday."""
        return self.monday + timedelta(days=offset)

    def lot(self, kind: str, offset: int, run: str | None) -> str:
        """The code of a lot made that day, in the manner of the house."""
        code: str = lot_code(kind, self.day(offset), run)
        return code

    def sending_day(self, offset: int) -> str:
        """That day, or the next posting day from now if it has gone by: an open order of the demo is never overdue."""
        today = self.now.astimezone(ZONE).date()
        if self.day(offset) >= today:
            return self.day(offset).isoformat()
        days: list[str] = next_posting_days({"from": today.isoformat(), "weekdays": [0, 1, 2], "count": 1})["days"]
        return days[0]


@dataclass(frozen=True)
class Step:
    """One thing that happens: when, and what it does to the story."""

    name: str
    day: int
    at: str
    does: Callable[[Story], None]


def play(house: House, until: str = "7", watch: Callable[[str, House], None] | None = None) -> Story:
    """Play the week into an empty house up to the step called `until` and give the story back.

    `watch(name, house)` is called after each step. Afterwards the house's clock says again what it said before. Raises
    ValueError for a step that is not in the story.
    """
    if until not in {step.name for step in STEPS}:
        raise ValueError(f"The story has no step {until!r}: choose one of {', '.join(step.name for step in STEPS)}.")
    if not house.is_demo():
        house.make_demo()
    now = house.clock.now()
    monday = story_monday(now)
    house.clock.set(_moment(monday, "07:30"))
    _furnish(house)
    shed, tablet = (DeviceClient.enrol(house, name, "helper") for name in ("Shed phone (demo)", "Kitchen tablet (demo)"))
    story = Story(house, shed, tablet, monday, now)
    for step in STEPS:
        house.clock.set(_moment(story.day(step.day), step.at))
        step.does(story)
        if watch:
            watch(step.name, house)
        if step.name == until:
            break
    house.clock.set(now)
    return story


def story_monday(now: datetime) -> date:
    """The Monday of the week whose Friday noon was the latest before now."""
    here = now.astimezone(ZONE)
    friday_back = (here.weekday() - 4) % 7
    friday = here.date() - timedelta(days=friday_back)
    if friday == here.date() and here.time() < time(12):
        friday -= timedelta(days=7)
    return friday - timedelta(days=4)


def _moment(day: date, at: str) -> datetime:
    hour, minute = at.split(":")
    return datetime(day.year, day.month, day.day, int(hour), int(minute), tzinfo=ZONE).astimezone(UTC)


def _furnish(house: House) -> None:
    house.write("set_house", [{"table": "setting", "id": key, "value": value} for key, value in SETTINGS.items()])
    carton_goods, cartons = carton_rows()
    house.write("set_good", [*good_rows(), *stage_good_rows(), *carton_goods, *cartons])


def opening(story: Story) -> None:
    """What stood in the house on Monday at eight: the season's first weeks, a market day, and bars of last year's wax."""
    shed, old_bars = story.shed, story.lot("W", -31, "1")
    season_so_far(story, shed)
    shed.note_lot(id=old_bars, good="bar", made_on=story.day(-31).isoformat(), sources=[], measures={})
    shed.buy([("bar", old_bars, 15, "opening")], on=story.day(0))
    shed.buy([(row["id"], None, row["in_stock"], "opening") for row in CARTONS], on=story.day(0))
    story.house.clock.set(_moment(story.day(-9), "15:00"))
    shed.sell([("jar_16", 24), ("jar_12", 12), ("tub", 12)])
    story.house.clock.set(_moment(story.day(0), "08:00"))
    shed.exchange()


def _promise(story: Story, who: str, hand: DeviceClient, lines: list[tuple[str, int]], **order: Any) -> None:
    """One call: ask for enough to be sure, write it down, tell the house."""
    hand.exchange(callers=dict(lines))
    person = hand.note_person(**PEOPLE[who])
    if order["way"] == "post":
        order |= mailing(PEOPLE[who]["zip"], lines, order["leave_on"] or story.day(0).isoformat())
    story.taken[who] = hand.promise(person=person, lines=lines, **order)
    hand.exchange()


def order_1(story: Story) -> None:
    """Orla wants five bars by post."""
    leave = story.day(2).isoformat()
    _promise(story, "orla", story.shed, [("bar", 5)], way="post", leave_on=leave, pays="check")


def order_2(story: Story) -> None:
    """Dez wants ten, but it is 109 °F where Dez lives: held."""
    _promise(story, "dez", story.shed, [("bar", 10)], way="post", leave_on=None, hold_for_cool=True, pays="check",
             heat="too hot to mail: hold for cooler weather")  # fmt: skip


def order_3(story: Story) -> None:
    """Hollis wants a little of everything."""
    lines = [("jar_16", 2), ("tub", 1), ("bar", 5)]
    _promise(story, "hollis", story.tablet, lines, way="post", leave_on=story.sending_day(7), pays="check")


def order_4(story: Story) -> None:
    """Pell comes by on Saturday."""
    today = story.now.astimezone(ZONE).date()
    leave = max(story.day(5), today).isoformat()
    _promise(story, "pell", story.shed, [("bar", 10), ("quart", 1)], way="pick_up", leave_on=leave, pays="cash")


def order_5(story: Story) -> None:
    """Ruy agrees to wait for a cool spell."""
    lines = [("bar", 10), ("jar_12", 4)]
    _promise(story, "ruy", story.shed, lines, way="post", leave_on=None, hold_for_cool=True, pays="check",
             note="glass and heat; will wait for a cool spell")  # fmt: skip


def order_1_amended(story: Story) -> None:
    """Orla rings again: ten bars, and a jar."""
    story.tablet.exchange(callers={"bar": 5, "jar_12": 1})
    lines = [("bar", 10), ("jar_12", 1)]
    story.tablet.amend(story.taken["orla"].order, lines=lines, **mailing(PEOPLE["orla"]["zip"], lines, story.day(2).isoformat()))
    story.tablet.exchange()


def order_1_sent(story: Story) -> None:
    """Packed on Wednesday afternoon and gone with the post."""
    order = story.taken["orla"].order
    parcel = {"carton": "carton_10x10x10", "dressing": "plain", "plan": {}, "gross_g": 1220, "gross_sd_g": 20}
    story.tablet.pack(order, parcels=[parcel], on=story.day(2))
    story.tablet.hand_over(order, on=story.day(2))
    story.tablet.exchange()


def order_6(story: Story) -> None:
    """Wren calls while neither device has signal, and none may be sold: the ten wait."""
    person, lines, leave = story.shed.note_person(**PEOPLE["wren"]), [("bar", 10)], story.sending_day(7)
    story.taken["wren"] = story.shed.promise(
        person=person, lines=lines, way="post", leave_on=leave, pays="check", **mailing(PEOPLE["wren"]["zip"], lines, leave)
    )
    story.shed.exchange()


def order_2_let_go(story: Story) -> None:
    """Dez gives up; the house gives the ten to Wren, who was first to wait."""
    story.shed.let_go(story.taken["dez"].order)
    story.shed.exchange()


def melt(story: Story) -> None:
    """Two mornings' work: cappings melted and screened, then a hundred bars poured, seven of them specked and melted again."""
    fine = melt_and_screen(story, story.tablet, 2, story.lot("K", -2, None), pounds(7.1), 7_000, 665, (52, 28, 18))
    pour(story, story.tablet, 3, fine, units=93, specked=7, used_g=2_683, back_g=202)
    story.tablet.exchange()


def order_7(story: Story) -> None:
    """Tamsin pays later."""
    lines = [("bar", 5), ("tub", 1)]
    _promise(story, "tamsin", story.tablet, lines, way="post", leave_on=story.sending_day(7), pays="later")
    _hands_down(story)


def order_4_picked_up(story: Story) -> None:
    """Pell fetches the bars and the quart and pays in cash."""
    story.shed.hand_over(story.taken["pell"].order, payment=(5500, "cash"), on=story.day(5))
    story.shed.exchange()


def orders_3_and_6_sent(story: Story) -> None:
    """Monday's post: Hollis, then Wren."""
    story.tablet.exchange()
    for who in ("hollis", "wren"):
        story.tablet.hand_over(story.taken[who].order, on=story.day(7))
    story.tablet.exchange()


def order_8(story: Story) -> None:
    """Ines lives where it is cool, and far."""
    lines = [("bar", 20), ("block", 1), ("quart", 2)]
    _promise(story, "ines", story.shed, lines, way="post", leave_on=story.day(16).isoformat(), pays="check")
    _hands_down(story)


def _hands_down(story: Story) -> None:
    """The demo's own devices keep no share: all that is free stays for the devices of whoever tries it."""
    for hand in (story.shed, story.tablet):
        hand.exchange()
        left = {row["id"]: hand.share(row["id"]) for row in good_rows()}
        if any(left.values()):
            hand.give_back({good: units for good, units in left.items() if units})
            hand.exchange()


STEPS: list[Step] = [
    Step("opening", 0, "08:00", opening),
    Step("1", 0, "09:10", order_1),
    Step("2", 0, "14:30", order_2),
    Step("3", 1, "10:05", order_3),
    Step("4", 1, "17:40", order_4),
    Step("5", 2, "08:40", order_5),
    Step("1 amended", 2, "09:15", order_1_amended),
    Step("1 sent", 2, "14:00", order_1_sent),
    Step("6 waits", 2, "16:05", order_6),
    Step("2 let go", 3, "07:30", order_2_let_go),
    Step("melt", 3, "11:30", melt),
    Step("7", 4, "11:20", order_7),
    Step("4 picked up", 5, "10:00", order_4_picked_up),
    Step("3 and 6 sent", 7, "14:00", orders_3_and_6_sent),
    Step("8", 14, "13:00", order_8),
]
