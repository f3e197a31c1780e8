"""The first questions of a new house: which are asked, which have an answer, how it is told, where to go on, and on which device."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import carton, good, moved, order
from store.in_page import in_page

Json = dict[str, Any]
ASKED = """(async () => {
  const [{ View }, { Board }] = [await module('store/view.js'), await module('store/board.js')];
  const nothingSold = await module('parts/nothing-sold.js');
  const flat = (one) => Array.isArray(one) ? one.map(flat).join('') : typeof one === 'symbol' ? ''
    : one?.strings ? one.strings.map((text, at) => text + flat(one.values[at] ?? '')).join('') : String(one);
  const said = (drawn) => flat(drawn).replace(/<[^>]*>/g, ' ').replace(/\\s+/g, ' ').trim();
  return asked.map(({ rows, device = {}, started = true }) => {
    const board = new Board();
    for (const row of rows) board.apply(row);
    const view = (known.view = new View(board));
    const { identity } = known;
    known.identity = device && { ...identity, ...device };
    current.started = started;
    const { QUESTIONS, questionsHere, stateOf, walkPlace, walkDue, leftToAnswer, numberOf, withTold } = here;
    const told = { told: Object.fromEntries(QUESTIONS.map((one) => [one.id, one.told(view)])),
      here: Object.fromEntries(questionsHere(view).map((one) => [one.id, stateOf(one, view)])),
      place: walkPlace(view), due: walkDue(view), left: leftToAnswer(view), note: said(nothingSold.firstNote()),
      to: /href="?([^ ">]*)/.exec(flat(nothingSold.firstNote()))?.[1] ?? null,
      prices: numberOf('prices', view), help: numberOf('help', view),
      with: [withTold(view, 'goods', 'answered'), withTold(view, null, '', true)] };
    known.identity = identity;
    return told;
  });
})()"""
WITH_STATUS = ASKED.replace("(async () => {", "(async () => {\n  const { current } = await module('store/status.js');", 1)
OWN: Json = {"table": "device", "id": "phone-a", "name": "Shed phone", "role": "keeper", "lost": False}


def setting(id: str, value: Any) -> Json:
    return {"table": "setting", "id": id, "value": value}


def walked(*houses: Json) -> list[Json]:
    told: list[Json] = in_page("parts/first-questions.js", WITH_STATUS, houses)
    return told


def begun(**more: Any) -> Json:
    return setting("first_questions", {"by": "phone-a", "told": {}, "done": False} | more)


BAR, JAR = (
    good("bar", ("wax bar", "wax bars", "bars"), 1, 250, kind="wax", row=10),
    good("jar", ("honey jar", "honey jars", ""), 2, 1200, kind="honey"),
)
COMB = good("comb", ("cut comb", "", ""), 3, 1500, kind="honey")
CANDLE = good("candle", ("candle", "candles", "candles"), 4, 800, kind="wax", row=9)


def test_a_house_that_has_nothing_yet_is_asked_on_an_owners_device() -> None:
    """Not before its records were heard, not a helper, not once it is over, and not where another device began."""
    other = begun(by="phone-b")
    houses: list[Json] = [
        {"rows": [OWN]}, {"rows": []}, {"rows": [OWN], "device": {"role": "helper"}}, {"rows": [OWN, begun(done=True)]},
        {"rows": [OWN, BAR]}, {"rows": [OWN, *order("o1", None, "walk_in", "gone", None, {})]}, {"rows": [OWN, other]},
        {"rows": [OWN, BAR, begun()]}, {"rows": [OWN], "device": None}, {"rows": [OWN], "started": False},
    ]  # fmt: skip
    told = walked(*houses)
    assert [one["due"] for one in told] == [True, False, False, False, False, False, False, True, False, True]
    nothing = "There is nothing to sell yet."
    assert [one["note"] for one in told] == [
        f"{nothing} answer the first questions", "", f"{nothing} An owner's device writes down what you sell, under Settings.",
        f"{nothing} write down what you sell", "", f"{nothing} answer the first questions", f"{nothing} answer the first questions",
        "5 first questions are still open: go on", "", "",
    ]  # fmt: skip
    first, goods = "#settings/first/name", "#settings/first/goods"
    assert [one["to"] for one in told] == [first, None, None, goods, None, goods, goods, first, None, None]


def test_what_is_asked_and_where_the_walk_goes_on() -> None:
    """One part after the other of what is asked by the piece; honey, molds and prices only where there is any; passed over is left out."""
    named, zip_code = setting("name", "Alder Hill"), setting("zip", "54843")
    boxes = carton("c8", "8×6×4", [8, 6, 4], 62)
    half = [OWN, named, BAR, JAR, moved("bar", 5, "opening", "2027-07-01")]
    passed = begun(told={"shelf": "skipped", "cartons": "skipped", "molds": "answered"})
    unpriced, free = {**JAR, "price_cents": 0}, {**BAR, "price_cents": 0}
    told = walked(
        {"rows": [OWN, named, unpriced, BAR]}, {"rows": half}, {"rows": [*half, passed]}, {"rows": [OWN, named, CANDLE]},
        {"rows": [OWN, named, zip_code, CANDLE, moved("candle", 1, "opening", "2027-07-01"), *boxes]},
        {"rows": [*half, moved("jar", 4, "opening", "2027-07-01"), *boxes, moved("c8", 6, "bought", "2027-07-01"), setting("mould_sets", 3),
                  setting("posting_honey_asked", True), {**OWN, "id": "phone-b", "name": "Kitchen tablet"}, begun()]},
        {"rows": [OWN, named, free, begun(told={"prices": "skipped"})]},
        {"rows": [OWN, BAR, begun(told=dict.fromkeys(("name", "shelf", "cartons", "molds"), "answered"))]},
    )  # fmt: skip
    assert [one["place"] for one in told] == [
        "#settings/first/prices/jar", "#settings/first/shelf/jar", "#settings/first/honey", "#settings/first/shelf/candle",
        "#settings/first/cartons/c8", "#settings/first", "#settings/first/shelf/bar", "#settings/first/help",
    ]  # fmt: skip
    assert list(told[0]["here"]) == ["name", "goods", "prices", "shelf", "cartons", "molds", "honey", "help"]
    assert list(told[3]["here"]) == ["name", "goods", "prices", "shelf", "cartons", "help"]
    assert told[2]["here"] == {"name": "answered", "goods": "answered", "prices": "answered", "shelf": "skipped", "cartons": "skipped",
                               "molds": "answered", "honey": "open", "help": "open"}  # fmt: skip
    assert [one["left"] for one in told] == [6, 5, 4, 3, 2, 0, 5, 1]
    assert told[-1]["note"] == "1 first question is still open: go on"
    assert told[3]["prices"] == {"number": 3, "of": 6} and told[3]["help"] == {"number": 6, "of": 6}
    assert told[0]["help"] == {"number": 8, "of": 8} and walked({"rows": [OWN]})[0]["help"] == {"number": 8, "of": 8}


def test_each_answer_in_words() -> None:
    """Three by name and how many more; no answer while one is without a price; a stock below nothing is none."""
    boxes = [*carton("c8", "8×6×4", [8, 6, 4], 62), *carton("c6", "6×4×4", [6, 4, 4], 41)]
    stock = [moved("bar", 1, "opening", "2027-07-01"), moved("jar", 4, "opening", "2027-07-01"), moved("comb", 2, "opening", "2027-07-01"),
             moved("c8", -2, "packed", "2027-07-01"), moved("c6", 3, "bought", "2027-07-01")]  # fmt: skip
    helped = [{**OWN, "id": f"phone-{n}", "name": f"Phone {n}", "lost": n == 3} for n in range(1, 5)]
    four, empty, one_free, no_bar = walked(
        {"rows": [OWN, setting("zip", "54843"), BAR, JAR, COMB, CANDLE, *stock, *boxes, setting("mould_sets", 2),
                  setting("posting_honey_asked", True), *helped]},
        {"rows": [OWN, setting("mould_sets", 0), setting("posting_honey_asked", False)]},
        {"rows": [OWN, setting("name", "Alder Hill"), setting("zip", "54843"), BAR, {**JAR, "price_cents": 0}, {**COMB, "price_cents": 1}]},
        {"rows": [OWN, CANDLE, JAR, setting("mould_sets", 2)]},
    )  # fmt: skip
    assert four["told"] == {
        "name": "54843", "goods": "wax bars, honey jars, cut comb and 1 more",
        "prices": "bars $2.50, honey jar $12.00, cut comb $15.00 and 1 more",
        "shelf": "bars 1, honey jars 4 and cut comb 2", "cartons": "3 of 6×4×4 and 0 of 8×6×4", "molds": "molds for 20 bars",
        "honey": "yes, you asked your state", "help": "Phone 1, Phone 2 and Phone 4",
    }  # fmt: skip
    assert not any(empty["told"].values())
    assert (one_free["told"]["name"], one_free["told"]["prices"]) == ("Alder Hill, 54843", "")
    assert (no_bar["told"]["molds"], no_bar["told"]["prices"]) == ("molds for 20 bars", "honey jar $12.00 and candles $8.00")


TOLD = """(async () => {
  const written = [];
  for (const given of asked) {
    const before = known.entries.size;
    await here.tell(...given);
    written.push([...known.entries.values()].slice(before).map(({ operation }) => operation.rows[0].value));
  }
  return written;
})()"""


def test_what_was_told_is_written_and_the_end_stays_the_end() -> None:
    told = walked({"rows": [OWN]}, {"rows": [OWN, begun(by="phone-b", told={"name": "skipped"}, done=True)]}, {"rows": [], "device": None})
    assert [one["with"] for one in told] == [
        [{"by": "phone-a", "told": {"goods": "answered"}, "done": False}, {"by": "phone-a", "told": {}, "done": True}],
        [{"by": "phone-b", "told": {"name": "skipped", "goods": "answered"}, "done": True},
         {"by": "phone-b", "told": {"name": "skipped"}, "done": True}],
        [{"by": "", "told": {"goods": "answered"}, "done": False}, {"by": "", "told": {}, "done": True}],
    ]  # fmt: skip
    asked = [["help", "skipped"], ["help", "answered"], [None, "", True]]
    value: Json = {"by": "phone-a", "told": {"help": "skipped"}, "done": False}
    assert in_page("parts/first-questions.js", TOLD, asked, [OWN]) == [
        [value], [{**value, "told": {"help": "answered"}}], [{**value, "told": {"help": "answered"}, "done": True}],
    ]  # fmt: skip
