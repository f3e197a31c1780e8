"""What becomes of the price of mailing while an order is taken or changed, and how fast a good goes, by the orders of until today."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB, in_node
from screens.kinds_of_rows import good
from store.in_page import in_page

Json = dict[str, Any]
POSTING = """(() => {
  const flat = (one) => typeof one === 'symbol' ? '' : one.strings.map((text, at) =>
    text + (one.values[at]?.strings ? flat(one.values[at]) : one.values[at] ?? '')).join('');
  const draft = { lines: [{ good: 'bar', units: 2 }], way: 'post', dressing: 'plain', posting_cents: 700, posting_by: 'table', amends: 'o1',
    before: { cents: 700, by: 'table', hangsOn: '' }, posting_typed: false };
  const whole = (more) => ({ ...draft, ...more, before: more.before === undefined ? draft.before : more.before });
  return asked.map(([name, more, parcel]) => {
    const one = whole(more);
    if (more.same) one.before = here.pricedBefore(one, null);
    if (name === 'postingChanged') return flat(here.postingChanged(one)).replace(/<[^>]*>/g, '');
    if (name !== 'postingNow') return here[name](one, null, parcel);
    const now = here.postingNow(one, null, parcel);
    return now && [now.posting_cents, now.posting_by, now.posting_unknown];
  });
})()"""


def posted(*asked: list[Any]) -> list[Any]:
    told: list[Any] = in_node("parts/posting.js", POSTING, asked)
    return told


def test_what_becomes_of_the_price_of_mailing_of_a_changed_order() -> None:
    typed = {"posting_typed": True}
    by_table, none = {"posting_cents": 950, "posting_words": "mailing $9.50 by your table"}, {"posting_words": "too heavy"}
    assert posted(
        ["postingSaid", typed, by_table], ["postingSaid", typed, {"posting_cents": 700}], ["postingSaid", typed, {"posting_cents": 0}],
        ["postingSaid", typed, {"posting_cents": 1}], ["postingSaid", typed, none],
        ["postingSaid", typed | {"posting_cents": 0}, by_table], ["postingSaid", {"posting_cents": 950}, by_table],
        ["postingSaid", {}, {}], ["postingSaid", {}, none], ["postingSaid", {}, by_table],
        ["postingSaid", {"posting_cents": 0, "before": {"cents": 0}}, none], ["postingSaid", {"amends": ""}, by_table],
        ["postingSaid", {"before": None}, by_table], ["postingSaid", {"same": 1}, by_table],
    ) == [
        "mailing stays $7.00, typed by hand; your table says $9.50", "mailing stays $7.00, typed by hand",
        "mailing stays $7.00, typed by hand", "mailing stays $7.00, typed by hand; your table says $0.01",
        "mailing stays $7.00, typed by hand", "mailing $9.50 by your table", "mailing $7.00 → $9.50 by your table",
        "mailing stays $7.00: there is no price table now", "mailing stays $7.00: too heavy", "mailing stays $7.00", "too heavy",
        *["mailing $9.50 by your table"] * 3,
    ]  # fmt: skip


def test_a_caller_hears_when_mailing_costs_otherwise_than_they_were_told() -> None:
    cases: list[Json] = [{"posting_cents": 950}, {}, {"posting_cents": 0}, {"posting_cents": 950, "amends": ""},
                         {"posting_cents": 950, "way": "pick_up"}, {"posting_cents": 950, "before": None}]  # fmt: skip
    assert posted(*(["postingChanged", case] for case in cases)) == [
        "Mailing was $7.00; it is $9.50 now.", "", "Mailing was $7.00; it is $0.00 now.", "", "", "",
    ]  # fmt: skip


def test_a_price_by_the_table_and_why_there_is_none() -> None:
    """A new call's is the table's or none at all; a changed order keeps its own where the table says nothing."""
    new: Json = {"amends": "", "before": None}
    unknown = {"posting_cents": None, "posting_unknown": "no ZIP is known"}
    assert posted(
        ["postingNow", new, {"posting_cents": 950}], ["postingNow", new, unknown], ["postingNow", new, {"posting_cents": 0}],
        ["postingNow", {}, unknown], ["postingNow", {}, {"posting_cents": 950}], ["postingNow", {"same": 1}, {"posting_cents": 950}],
        ["postingNow", {}, {}], ["postingNow", new | {"posting_typed": True}, {"posting_cents": 950}],
        ["postingNow", new | {"way": "pick_up"}, {"posting_cents": 950}], ["postingNow", new, None],
    ) == [
        [950, "table", ""], [0, "", "no ZIP is known"], [0, "", ""], [700, "table", ""], [950, "table", ""], [700, "table", ""],
        [700, "table", ""], None, None, None,
    ]  # fmt: skip


MELT = """(async () => {
  const { Screen } = await import(asked.screen);
  const { askAlso } = await module('kernel/work.js');
  const out = [];
  askAlso({ inReach: () => true, ask: async (name, request) => { out.push(request); return { answer: asked.answer }; } });
  const told = [];
  for (const [tag, properties] of asked.shown) {
    const screen = new Screen(tag, properties);
    for (let turn = 0; turn < 4; turn += 1) { screen.said(); await new Promise((later) => setTimeout(later, 0)); }
    told.push(screen.said().join(' '));
    screen.leave();
  }
  return { told, out };
})()"""
DRAWN = (WEB.parent / "tests/screens/drawn.mjs").as_uri()


def melted(answer: Json, shown: list[Json], rows: list[Json]) -> Json:
    request = {"screen": DRAWN, "answer": answer, "shown": [["melt-by", one] for one in shown]}
    told: Json = in_page("parts/melt-by.js", MELT, request, rows)
    return told


def sold(id: str, units: int, state: str = "promised", on: str | None = "2027-07-20") -> list[Json]:
    return [{"table": "order", "id": id, "state": state, "taken_on": on, "number": id},
            {"table": "line", "id": f"l-{id}", "order": id, "good": "bar", "units": units, "price_cents": 1}]  # fmt: skip


def test_how_fast_a_good_goes_is_asked_by_the_orders_of_until_today() -> None:
    bar = good("bar", ("wax bar", "wax bars", "bars"), 1, 250, kind="wax", row=0, net_g=28)
    jar = good("jar", ("honey jar", "honey jars", ""), 2, 1200, kind="honey", row=6, net_g=454)
    rows = [
        bar, jar, *sold("o1", 5), *sold("o2", 0), *sold("o3", 3, "let_go"), *sold("o4", 2, on="2027-07-24"),
        *sold("o5", 9, on="2027-07-25"),
        *sold("o6", 1, on=None), *sold("o7", 4, "gone", "2027-07-01"), *sold("o8", -1),
        {"table": "line", "id": "lost", "order": "nowhere", "good": "bar", "units": 7, "price_cents": 1},
        {"table": "setting", "id": "shelf_units", "value": {"bar": 60}},
    ]  # fmt: skip
    answer = {"words": "melt by Thursday, 9 pours", "why": ["Because."], "due": False, "run_down": []}
    told = melted(answer, [{"good": "bar"}, {"good": "jar"}, {"good": "bar", "brief": True}, {"good": "nothing"}], rows)
    bars, jars = told["out"][:2]
    assert bars["sales"] == [{"on": "2027-07-01", "units": 4}, {"on": "2027-07-20", "units": 5}, {"on": "2027-07-24", "units": 2}]
    assert (bars["pour_units"], bars["like_units"], bars["service_percent"]) == (10, 60, 95)
    assert (jars["pour_units"], jars["like_units"], jars["sales"]) == (6, None, []) and not {"wax_ready_g", "mould_sets"} & {*bars, *jars}
    assert told["told"] == ["melt by Thursday, 9 pours [why] Because.", "melt by Thursday, 9 pours [why] Because.", "", ""]


def test_what_lies_ready_to_be_made_is_asked_with_it() -> None:
    jar = good("jar", ("honey jar", "honey jars", ""), 2, 1200, kind="honey", row=6, net_g=454)
    bar = good("bar", ("wax bar", "wax bars", "bars"), 1, 250, kind="wax", row=10, net_g=28)
    kinds = [{"table": "good", "id": id, "kind": "bulk", "unit": "g", "name": id}
             for id in ("honey_bulk", "wax_fine", "cappings", "wax_back")]
    here = [{"table": "movement", "id": id, "good": id, "units": units, "reason": "came", "on": "2027-07-01", "lot": None}
            for id, units in (("honey_bulk", 9000), ("wax_fine", 6000), ("cappings", 1000),
              ("wax_back", 101), ("wax_coarse", -50))]  # fmt: skip
    rows = [jar, bar, {**jar, "id": "weightless", "net_g": 0}, *kinds, *here]
    answer = {"words": "usually lasts 12 days", "why": [], "due": True, "run_down": [1], "melt_by": "2027-07-29", "record": 3}
    told = melted(answer, [{"good": "jar"}, {"good": "weightless"}, {"good": "bar", "brief": True}], rows)
    jars, weightless, bars = (one for one in told["out"] if "sales" in one)
    assert (jars["wax_ready_g"], jars["wax_per_unit_mg"]) == (9000, 454_000) and "wax_ready_g" not in weightless
    assert (bars["wax_ready_g"], bars["wax_later_g"], bars["wax_per_unit_mg"], bars["morning_hours"]) == (6000, 395, 28_850, 4)
    pictures = [one for one in told["out"] if "run_down" in one]
    assert [one["good"]["id"] for one in pictures] == ["jar", "weightless"] and pictures[0]["melt_by"] == "2027-07-29"
    assert told["told"][0].startswith("usually lasts 12 days [why]") and told["told"][2] == "usually lasts 12 days"
