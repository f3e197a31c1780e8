"""A season at its shortest, by screens alone: every screen that writes is used once, as a person would, through keys and fields."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Locator, expect

from browser.devices import Device
from browser.finger import tap_in_peace
from browser.papers import a_png
from browser.thumb import until_nothing_rests

WAIT_MS = 60_000
BAR, JAR = "bar_1oz", "jar_1lb"
WRITTEN = "Math.max(0, ...[...known.entries.values()].filter(({ operation }) => operation.kind !== 'give_back').map(({ seq }) => seq))"
"""The last entry that somebody wrote here: what the main computer asks back the device gives back by itself, at any moment."""
PRICES = "row,service,zone,up_to_oz,what,over,cents,example\n" + "\n".join(f"price,ground,{zone},1120,,,900," for zone in range(1, 10))


class Hands:
    """What a person does to a page: goes to a place, touches words, fills in fields. Each act is waited for."""

    def __init__(self, device: Device) -> None:
        self.device, self.page = device, device.page

    def go(self, place: str) -> None:
        """To a place as a link would lead there."""
        self.page.goto(f"{self.device.address}/#settings/needs")
        expect(self.page.locator("needs-board")).to_be_visible(timeout=WAIT_MS)
        self.page.goto(f"{self.device.address}/#{place}")
        expect(self.page.locator("needs-board")).to_have_count(0, timeout=WAIT_MS)

    def keys(self, words: str) -> Locator:
        """Keys, links and summaries in sight whose words fit."""
        return self.page.locator("button:visible, a:visible, summary:visible", has_text=re.compile(words))

    def touch(self, words: str) -> None:
        """Touches the first such key."""
        tap_in_peace(self.keys(words).first)

    def writes(self, words: str) -> None:
        """Touches such a key, and waits until one entry more is in the log."""
        before = self.seq()
        self.touch(words)
        self.written(before)

    def fill(self, label: str, text: str, *, leave: bool = False) -> None:
        """Fills in the field whose label begins so; `leave` goes on to the next, which is when some are written down."""
        field = self.page.locator("label.write:visible", has_text=re.compile(label)).locator("input, textarea").first
        before = self.seq()
        field.fill(text)
        if leave:
            field.blur()
            self.written(before)

    def choose_all(self, heading: str) -> None:
        """Every key under a heading, one after the other, ending with one that was not chosen at first."""
        row = self.page.locator("h2:visible", has_text=re.compile(heading)).locator("xpath=following-sibling::*[1]").locator("button")
        chosen = row.evaluate_all("(keys) => keys.findIndex((key) => key.getAttribute('aria-pressed') === 'true')")
        for place in [place for place in range(row.count()) if place != chosen][-2:]:
            before = self.seq()
            tap_in_peace(row.nth(place))
            self.written(before)

    def digits(self, number: str) -> None:
        """A number by the large keys."""
        for sign in number:
            self.page.get_by_role("button", name="point" if sign == "." else sign, exact=True).first.tap()

    def seq(self) -> int:
        """The number of the last entry that was written by hand here."""
        return int(self.device.js(f"return {WRITTEN}"))

    def written(self, before: int) -> None:
        """Until there is one entry more."""
        self.device.wait_for(f"{WRITTEN} > {before}")


def house_and_devices(hands: Hands) -> None:
    """What the honey house says of itself."""
    hands.go("settings/house")
    for label, text in {
        "^street": "1 Cooper's Bend", "local area code": "715", "telephone": "715-555-0109", "e-mail": "hello@alderhill.example.org",
        "page that follows": "https://example.org/{number}", "closing words": "Thank you.",
    }.items():  # fmt: skip
        hands.fill(label, text, leave=True)
    hands.choose_all("Parcels go on")
    for heading in ("come to harm at most", "The scale shows"):
        hands.choose_all(heading)
    hands.writes("We have not asked our state yet|We asked our state")


def heat_and_melting(hands: Hands) -> None:
    hands.go("settings/heat")
    hands.writes("weather service is asked|Nobody is asked")
    for heading in ("Reckon with a mailbox", "Parcels are handed in at", "Held at the post office"):
        hands.choose_all(heading)
    limit = hands.page.locator("fieldset .fields label.write input").first
    before = hands.seq()
    limit.fill("99")
    limit.blur()
    hands.written(before)
    hands.go("settings/melting")
    for heading in ("Sets of molds you have", "A morning of melting", "Bars cool", "go without"):
        hands.choose_all(heading)


def mailing_prices(hands: Hands) -> None:
    hands.go("settings/prices")
    hands.touch("paste from a spreadsheet")
    hands.page.locator("textarea[name=pasted]").fill(PRICES)
    hands.touch("look at it")
    hands.writes("use this table")


def measures(hands: Hands) -> None:
    """One jar and one carton measured anew, with the maker's certificate."""
    hands.go(f"settings/measures/{JAR}")
    for label, text in {"^L": "79 mm", "^W": "81 mm", "^H": "133 mm", "weight": "731"}.items():
        hands.fill(label, text)
    hands.page.locator("input[name=upright]").uncheck()
    hands.page.locator("input[name=upright]").check()
    hands.writes("write it down")
    hands.go("settings/measures/carton_8x6x4")
    for label, text in {
        "^L": "8 1/4 in", "^W": "6 in", "^H": "4 in", "weight, empty": "111", "gross weight limit": "65", "size limit": "75 in",
        "edge crush": "32", "thickness": "5/32 in",
    }.items():  # fmt: skip
        hands.fill(label, text)
    hands.writes("write it down")


def goods(hands: Hands) -> None:
    """Something of one's own: named, priced by quantity and by place, taxed, moved, stopped; and its tax."""
    page = hands.page
    hands.go("settings/goods/add/own")
    hands.fill("one of it", "jar of basswood honey")
    hands.fill("several of them", "jars of basswood honey")
    hands.writes(r"^\s*add it\s*$")
    expect(page.get_by_role("heading", name="What does it cost?")).to_be_visible(timeout=WAIT_MS)
    hands.digits("12")
    hands.writes("write it down")
    hands.touch("some together|so many for")
    hands.digits("6")
    hands.touch("what do 6 cost")
    hands.digits("60")
    hands.writes("write it down")
    hands.touch(r"^\s*at the counter\s*$")
    hands.digits("11")
    hands.writes("write it down")
    hands.go(f"settings/goods/{BAR}")
    hands.touch("rename it")
    for label, text in {"one of it": "one-ounce bar", "several of them": "one-ounce bars", "in short": "ounce bars"}.items():
        hands.fill(label, text)
    hands.writes("write it down")
    hands.writes("stop selling it")
    hands.writes("sell it again")
    hands.go("settings/tax")
    hands.writes(r"^\s*on\s*$")
    hands.page.get_by_role("button", name="take the last figure away").first.tap()
    hands.digits("5.5")
    hands.writes("use this rate")
    before = hands.seq()
    page.locator("tax-board label.tickline").first.locator("input").tap()
    hands.written(before)


def cartons(hands: Hands) -> None:
    """A size of one's own with its cost and count; one put away."""
    hands.go("settings/cartons/new")
    for label, text in {"^length": "9 1/2", "^width": "7", "^height": "5", "how many lie here": "7", "cost of one": "0.66"}.items():
        hands.fill(label, text)
    hands.writes("add it")
    hands.go("settings/cartons/carton_12x12x12")
    hands.writes("put it away")


def people(hands: Hands) -> None:
    hands.go("book/person/new")
    for label, text in {
        "^name": "Ruth Amsel", "number to call": "218-555-0142", "^ZIP": "55811", "^street": "4 Heron Sill Rd", "apartment": "Apt 3",
        "^city": "Duluth", "^state": "MN", "^note": "rings at seven",
    }.items():  # fmt: skip
        hands.fill(label, text)
    hands.writes("write it down")
    expect(hands.page.get_by_role("heading", name="Ruth Amsel")).to_be_visible(timeout=WAIT_MS)  # her own page opens by itself


def forgotten(hands: Hands) -> None:
    """Somebody who asks to be forgotten."""
    hands.go("book/person/new")
    hands.fill("^name", "Ada Lindqvist")
    hands.writes("write it down")
    expect(hands.page.get_by_role("heading", name="Ada Lindqvist")).to_be_visible(timeout=WAIT_MS)
    hands.touch("to be forgotten")
    hands.touch("forget them …")
    hands.touch("forget them now")
    hands.device.wait_for("[...house.view.people.values()].some((person) => person.hidden)")


def _find_ruth(hands: Hands) -> None:
    hands.go("counter")
    hands.digits("142")
    found = hands.page.locator("person-finder button", has_text="Ruth Amsel").first  # she may be named by what heat says of her parcel, too
    expect(found).to_be_enabled(timeout=WAIT_MS)
    until_nothing_rests(hands.page)
    found.tap()


def _say_it(hands: Hands) -> None:
    hands.touch("^\\s*Read back|^\\s*Say it")
    hands.writes("^\\s*(Promise|Sell|Change it)\\s*$")


def orders(hands: Hands) -> None:
    """By mail with all that can be said of it; one that waits for cool days; one to be picked up and let go; one over the counter."""
    page = hands.page
    _find_ruth(hands)
    hands.touch(r"^\s*10\s*$")
    page.locator("[data-blank=day]").tap()
    hands.touch(r"^\s*(lined|padded)\s*$")
    hands.touch("held at the post office")
    page.locator("[data-blank=owes]").tap()
    hands.digits("9")
    hands.touch("add it")
    page.locator("[data-blank=pays]").tap()
    hands.touch("check in the mail")
    _say_it(hands)
    hands.touch("Next call")
    _find_ruth(hands)
    hands.touch(r"^\s*5\s*$")
    page.locator("[data-blank=day]").tap()
    hands.touch("wait for a cool spell")
    page.locator("[data-blank=where]").tap()
    hands.touch("somebody else receives it")
    for label, text in {
        "^ZIP": "04609", "^street": "9 Larch Rd", "apartment": "Apt 2", "^city": "Bar Harbor", "^state": "ME", "who receives it": "Bob Lind",
        "words for them": "Happy birthday",
    }.items():  # fmt: skip
        hands.fill(label, text)
    hands.touch("for this order only")
    _say_it(hands)
    hands.touch("Next call")
    _find_ruth(hands)
    hands.touch(r"^\s*5\s*$")
    page.locator("[data-blank=way]").tap()
    hands.touch("they pick it up")
    _say_it(hands)
    hands.touch("look at it")
    hands.touch("write a note")
    page.locator("note-form textarea").fill("comes on Friday")
    hands.writes("write it down")
    hands.writes("cancel the order")
    hands.go("counter")
    hands.touch("someone is here now")
    hands.touch(r"^\s*5\s*$")
    _say_it(hands)


def gone_without(hands: Hands) -> None:
    """A caller wants more than there is and does not wait."""
    _find_ruth(hands)
    hands.touch("another number")
    hands.digits("500")
    hands.touch("that many")
    hands.writes("they go without")
    hands.touch("start over")


def calls(hands: Hands) -> None:
    """Somebody who was to come today is called, and knows."""
    hands.go("counter")
    _find_ruth(hands)
    hands.touch(r"^\s*5\s*$")
    hands.page.locator("[data-blank=way]").tap()
    hands.touch("they pick it up")
    hands.touch(r"^\s*today")
    _say_it(hands)
    hands.go("book/calls")
    hands.writes(r"^\s*they know\s*$")


def standing_orders(hands: Hands) -> None:
    """Wanted each month by somebody else; paused, gone on, left out once, promised once, ended."""
    ruth = hands.device.js("return [...house.view.people.values()].find(({ name }) => name === 'Ruth Amsel').id")
    hands.go(f"book/person/{ruth}")
    hands.touch(r"^\s*a standing order\s*$")
    form = hands.page.locator("standing-form")
    form.locator(f"input[name='units {BAR}']").fill("2")
    form.locator("select[name=often]").select_option(label="2 weeks")
    form.locator("select[name=way]").select_option(label="mailed")
    form.locator("label.tickline").tap()
    for label, text in {
        "^ZIP": "04609", "^street": "9 Larch Rd", "apartment": "Apt 2", "^city": "Bar Harbor", "^state": "ME", "who receives it": "Bob Lind",
        "words for them": "Happy birthday",
    }.items():  # fmt: skip
        hands.fill(label, text)
    form.locator("input[name=note]").fill("rings first")
    hands.writes(r"^\s*write it down\s*$")
    hands.writes("pause it")
    hands.writes("start it again")
    hands.touch("another standing order")
    form.locator(f"input[name='units {BAR}']").fill("1")
    form.locator("select[name=way]").select_option(label="picked up")
    hands.writes(r"^\s*write it down\s*$")
    hands.writes("^undo")
    hands.go("counter")
    hands.writes(r"^\s*promise it\s*$")
    hands.device.wait_for("[...house.view.orders.values()].some((order) => order.standing_on)")
    hands.go("book/person/new")
    hands.fill("^name", "R. Amsel")
    hands.writes(r"^\s*write it down\s*$")
    hands.go(f"book/person/{ruth}")
    hands.touch("in the book twice")
    hands.fill("the other one", "R. Am")
    hands.writes("is Ruth Amsel too")
    hands.writes("somebody else after all")
    promised = str(hands.device.js("return [...house.view.orders.values()].find((order) => order.standing_on).id"))
    hands.go(f"bench/{promised}")
    hands.writes("put both in one parcel")
    hands.writes("two parcels after all")
    hands.go(f"book/order/{promised}")
    hands.writes("cancel the order")
    hands.go("counter")
    hands.writes("not this time")
    hands.go(f"book/person/{ruth}")
    hands.writes("end it")


def packing(hands: Hands) -> None:
    """The first order packed, weighed, handed in, and how it came."""
    order = str(hands.device.js("return [...house.view.orders.values()].find((one) => one.number.endsWith('-1')).id"))
    hands.go(f"bench/{order}")
    expect(hands.page.get_by_text("8×6×4").first).to_be_visible(timeout=60_000)
    hands.writes("^\\s*Packed")
    hands.touch("on the scale")
    hands.touch(r"\+1 oz")
    hands.writes("write it down")
    hands.writes("^\\s*(Gone|Mailed)\\s*$")
    hands.go(f"book/order/{order}")
    for words in ("fine", "dents", "lost shape", "melted", "leaked", "never came"):
        hands.writes(rf"^\s*{words}\s*$")
    hands.touch("change, a part of it")
    for how in ("cash", "check", "transfer", "other"):
        hands.fill("^dollars", "1.50")
        hands.fill("number of the check", "118")
        hands.fill("^note", "on the porch")
        hands.writes(rf"^\s*{how}\s*$")
    hands.touch("one by one")
    hands.touch("this is wrong")
    hands.fill("what it should say", "1.75")
    hands.writes("put it right")
    hands.touch("take something off")
    for why in ("a lower price", "a present", "heat", "broken", "lost"):
        hands.page.locator("take-off input[name=amount]").fill("0.25")
        hands.page.locator("take-off input[name=note]").fill("regulars")
        before = hands.seq()
        until_nothing_rests(hands.page)
        hands.page.locator("take-off button", has_text=why).tap()
        hands.written(before)
    hands.writes(r"back\s*$")  # a bill, and its change
    hands.page.locator("tracking-form input").fill("AB123456789")
    hands.writes("keep the number")
    hands.writes(r"^\s*it broke\s*$")


def the_till(hands: Hands) -> None:
    """Cash put in, taken out and counted."""
    hands.go("book/till")
    for words in ("put in", "taken out", "that is what I counted"):
        hands.fill("^dollars", "20")
        hands.fill("^note", "bank")
        hands.writes(rf"^\s*{words}\s*$")


def papers_and_labels(hands: Hands) -> None:
    """The sheet of labels as it was measured, the owner's picture and words on them."""
    hands.go("settings/papers")
    for heading in ("Paper in the printer", "Address labels on"):
        hands.choose_all(heading)
    hands.fill("move all down by", "-0.5 mm", leave=True)
    before = hands.seq()
    hands.page.locator("papers-board input[type=file]").set_input_files({"name": "bee.png", "mimeType": "image/png", "buffer": a_png()})
    hands.written(before)
    hands.go(f"shelf/{JAR}/labels")
    hands.fill("your own words on it", "From the bend of the river", leave=True)


def the_shelf(hands: Hands) -> None:
    """Counted, and what was taken away; cartons bought, and from how many on they are low."""
    hands.go(f"shelf/{BAR}/count")
    hands.digits("20")
    hands.writes("that many lie there")
    hands.fill("a note on it", "fell from the bench")
    for words in ("specked", "broken", "spoiled", "given away", "lost"):
        hands.digits("1")
        hands.writes(rf"^\s*{words}\s*$")
    hands.go(f"shelf/{BAR}")
    hands.choose_all("How many you like")
    hands.go("shelf/carton_8x6x4")
    hands.writes(r"^\s*10\s*$")
    hands.go("shelf/carton_8x6x4/count")
    hands.digits("5")
    hands.writes("bought that many more")


def _weighed(hands: Hands, what: str, pounds: str) -> None:
    hands.touch(rf"^\s*{what}")
    hands.touch(r"^\s*lb\s*$")
    hands.digits("C" if hands.page.get_by_role("button", name="C", exact=True).is_visible() else "")
    for _ in range(8):
        hands.page.get_by_role("button", name="take the last figure away").first.tap()
    hands.digits(pounds)


def making(hands: Hands) -> None:
    """From the comb to the shelf: an extraction, the cappings' way to wax that can be poured, a pour, a bottling, the rest fed."""
    page = hands.page
    hands.go("melt")
    hands.writes("keep them by weight")
    hands.go("melt/extract")
    _weighed(hands, "a bucket", "50")
    hands.touch("this bucket")
    _weighed(hands, "drained cappings", "20")
    hands.writes("to the book")
    for stage, outs in (
        ("cappings", {"(melted|wax cake|cake)": "8", "honey": "10"}), ("wax_melted", {"": "7"}), ("wax_dipped", {"": "6"}), ("wax_coarse", {"": "5"}),
    ):  # fmt: skip
        hands.go(f"melt/step/{stage}")
        keys = page.locator("weigh-walk [role=group] button")
        for place, pounds in enumerate(outs.values(), 1):
            keys.nth(place).tap()
            hands.touch(r"^\s*lb\s*$")
            hands.digits(pounds)
        hands.writes("done\\s*$")
    hands.go("melt/pour")
    for step in ("pour", "knock out", "look over"):
        hands.touch(rf"set 1\s*{step}")
    hands.touch("none")
    hands.writes("to the shelf")
    hands.go("melt/bottle")
    page.locator("weigh-walk [role=group] button").nth(0).tap()
    hands.digits("4")
    page.locator("weigh-walk [role=group] button").nth(2).tap()
    hands.touch(r"^\s*lb\s*$")
    hands.digits("1")
    hands.writes("to the shelf")
    hands.go("melt/rest")
    hands.writes("fed to the bees")
    lot = str(hands.device.js("return [...house.view.lots.values()].find((lot) => lot.good === args[0]).id", BAR))
    hands.go(f"book/lot/{lot}")
    hands.touch("write a note")
    page.locator("note-form textarea").fill("pale")
    hands.writes("write it down")


SCREENS: tuple[Callable[[Hands], None], ...] = (
    house_and_devices, heat_and_melting, mailing_prices, measures, goods, cartons, people, forgotten, orders, gone_without, calls, standing_orders, packing,
    the_till, the_shelf, making, papers_and_labels,
)  # fmt: skip
