"""What is said of a call while it is composed: how much is sure, the parcel and heat with their remedy, where it goes, and the days."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import good, moved, order, person
from screens.rows import DULUTH
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
ROWS: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 300, kind="wax", row=10),
    good("jar", ("honey jar", "honey jars", ""), 2, 1200, kind="honey"),
    good("bear", ("wax bear", "", ""), 3, 900, kind="wax"),
    {"table": "carton", "id": "c6", "name": "6×4×4", "inner": ["6 in", "4 in", "wide"], "outer": [], "tare_g": 120},
    moved("bar", 30, "opening", "2027-06-01"), moved("bear", 1, "opening", "2027-06-01"),
    person("ann", "Ann Tollefson", "+12185550142", DULUTH),
    person("ben", "Ben Okada", "+17155550177"),
    *order("o1", "ben", "pick_up", "promised", "2027-07-26", {"bar": (25, 6000)}),
    *order("o2", "ann", "pick_up", "promised", "2027-07-26", {"bear": (1, 900)}),
]  # fmt: skip
NOW = """
  const [{ emptyDraft }, { destinationOf }, { tilesOf }, { dayKeys }] = await Promise.all(
    ['rooms/counter/draft.js', 'store/destination.js', 'rooms/counter/tiles.js', 'rooms/counter/decks.js'].map(module));
  const took = [];
  const nowOf = ({ draft = {}, share = 12, asking = [], signal = true, call = {}, who = '' }) => ({
    draft: { ...emptyDraft(), ...draft }, view: known.view, share: () => share, asking: new Set(asking), signal,
    call: { state: 'none', answer: null, why: '', asked: {}, ...call }, person: known.view.people.get(who) ?? null,
    receiver: destinationOf(draft.goes ?? {}, known.view.people.get(who)),
    settle: (...given) => took.push(given), goWithout: (...given) => took.push(given), take: (change) => took.push(change),
  });
"""


def lines(*wanted: tuple[str, int], settled: bool = False) -> list[Json]:
    return [{"good": good, "units": units, **({"settled": True} if settled else {})} for good, units in wanted]


def known(way: str = "post", state: str = "known", of: tuple[tuple[str, int], ...] = (("bar", 5),), **answer: Any) -> Json:
    """A call for five bars, of which all this was answered."""
    return {"draft": {"way": way, "lines": lines(*of), **answer.pop("draft", {})}, "call": {"state": state, "answer": answer}}


def parcels(*names: str, carton: str = "c6") -> Json:
    return {"ok": True, "words": "it goes in", "parcels": [{"carton": carton, "carton_name": name,
        "gross_words": f"{len(names)} lb"} for name in names]}


HARM: Json = {"verdict": "dented", "verdict_words": "the bars may get dents", "chance_words": "1 chance in 5", "harmless": False}
FINE: Json = {"verdict": "firm", "chance_words": "under 1 chance in 100", "harmless": True}
ADVICE: Json = {"words": "send it Monday", "chance_words": "1 chance in 60", "leave_on": "2027-07-26", "dressing": "lined", "hold": True}
TAKEN: Json = {"leave_on": "2027-07-26", "dressing": "lined", "hold_at_counter": True}
GOES: Json = {"goes_to": "own", "to_name": "", "to_street": "1 Old Rd", "to_city": "Mesa", "to_state": "AZ", "to_zip": "85201"}
TILES: list[tuple[Json, str]] = [
    (known("pick_up"), "(picture); all sure; 7 more"),
    ({**known("pick_up"), "share": 5}, "(picture); all sure; the last ones"),
    (known("pick_up", of=(("bar", 5), ("jar", 1))), "(picture); all sure"),
    ({**known("pick_up"), "share": 0, "signal": False}, "(picture); (heed):5 not sure; none sure, no signal"),
    ({**known("pick_up"), "share": 3}, "(picture); (heed):2 not sure; 3 sure"),
    ({"draft": {"way": "pick_up", "lines": lines(("bar", 5), settled=True)}, "share": 3}, "(picture); (heed):2 waiting; 3 sure"),
    ({"draft": {"way": "walk_in", "lines": lines(("bar", 5), settled=True)}, "share": 3}, "(picture); (heed):2 may be spoken for; 3 sure"),
    ({**known("pick_up"), "share": 3, "asking": ["bar"]}, "(picture); asking …"),
    (known(parcel=parcels("6×4×4")), "(picture); all sure; 7 more; (picture); 6×4×4; 1 lb; heat not known"),
    (known(parcel=parcels("a", "b")), "(picture); all sure; 7 more; (picture); a + b; 2 lb + 2 lb; heat not known"),
    (known(parcel=parcels("a", "b", "c", carton="gone")), "(picture); all sure; 7 more; (picture); 3 parcels; heat not known"),
    (known(parcel={"ok": False, "parcels": []}), "(picture); all sure; 7 more; (heed):no carton; heat not known"),
    (known(state="working"), "(picture); all sure; 7 more; carton …; heat …"),
    (known(state="half", heat=FINE), "(picture); all sure; 7 more; carton not known; heat …"),
    (known(heat=FINE, advice=ADVICE), "(picture); all sure; 7 more; carton not known; (picture); fine; in the heat"),
    (known(heat={**FINE, "hold": True}), "(picture); all sure; 7 more; carton not known; (picture); fine; held there"),
    (known(heat=HARM), "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5"),
    (known(heat=HARM, half=True, advice=ADVICE), "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5"),
    (
        known(heat=HARM, advice=ADVICE),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; "
        "Send it Monday: then 1 chance in 60.; [do that]",
    ),
    (
        known(heat=HARM, advice={**ADVICE, "chance_words": ""}),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; Send it Monday.; [do that]",
    ),
    (
        known(heat=HARM, advice=ADVICE, draft=TAKEN),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5",
    ),
    (
        known(heat=HARM, advice=ADVICE, draft={**TAKEN, "leave_on": "2027-07-27"}),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; "
        "Send it Monday: then 1 chance in 60.; [do that]",
    ),
    (
        known(heat=HARM, advice=ADVICE, draft={**TAKEN, "dressing": "plain"}),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; "
        "Send it Monday: then 1 chance in 60.; [do that]",
    ),
    (
        known(heat=HARM, advice=ADVICE, draft={**TAKEN, "hold_at_counter": False}),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; "
        "Send it Monday: then 1 chance in 60.; [do that]",
    ),
    (
        known(heat=HARM, advice={"words": "pad it"}, none_words="no day is cool"),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; No day is cool; [wait for a cool spell]",
    ),
    (
        known(heat=HARM, none_words="no day is cool"),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5; No day is cool; [wait for a cool spell]",
    ),
    (
        known(state="unknown", heat=HARM, advice=ADVICE),
        "(picture); all sure; 7 more; carton not known; (picture); (heed):may get dents; 1 in 5",
    ),
]  # fmt: skip
UNDER: list[tuple[Json, str]] = [
    (
        {"draft": {"goes": GOES, "gift_note": "With love", "lines": lines(("bar", 5))}, "who": "ann"},
        "bars; Sure. 7 more are sure without signal.; parcel; Not known yet: The order can be taken all the same.; to; "
        "1 Old Rd, Mesa AZ 85201; “With love”; They live at 41 Heron Sill Rd, Duluth MN 55811 now. (heed); [use the new address]",
    ),
    (
        {"draft": {"goes": {**GOES, "to_name": "Mia Berg"}, "lines": lines(("bar", 5))}, "who": "ann"},
        "bars; Sure. 7 more are sure without signal.; parcel; Not known yet: The order can be taken all the same.; to; "
        "Mia Berg, 1 Old Rd, Mesa AZ 85201; They live at 41 Heron Sill Rd, Duluth MN 55811 now. (heed); [use the new address]",
    ),
    (
        {"draft": {"goes": {**GOES, "goes_to": "other"}, "lines": lines(("bar", 5))}, "who": "ann"},
        "bars; Sure. 7 more are sure without signal.; parcel; Not known yet: The order can be taken all the same.; to; "
        "1 Old Rd, Mesa AZ 85201 for this order only",
    ),
    (
        {"draft": {"goes": GOES, "lines": lines(("bar", 5))}, "who": "ben"},
        "bars; Sure. 7 more are sure without signal.; parcel; Not known yet: The order can be taken all the same.; to; "
        "1 Old Rd, Mesa AZ 85201",
    ),
    (
        {"draft": {"lines": lines(("bar", 5))}, "who": "ann"},
        "bars; Sure. 7 more are sure without signal.; parcel; Not known yet: The order can be taken all the same.; to; "
        "41 Heron Sill Rd, Duluth MN 55811",
    ),
    (
        {"draft": {"lines": lines(("bar", 5))}, "who": "ben"},
        "bars; Sure. 7 more are sure without signal.; parcel; Not known yet: The order can be taken all the same.",
    ),
    (known("pick_up", of=(("bar", 12),)), "bars; Sure. That is all this device may promise without signal."),
    (known("pick_up", of=(("bar", 11),)), "bars; Sure. 1 more is sure without signal."),
    (known("pick_up", of=(("bar", 12), ("bear", 12))), "sure; All of it. No more without signal."),
    (known("pick_up", of=(("bar", 2), ("never", 1))), "sure; All of it. Without signal, then still 10 wax bars and 11 never."),
    (known("pick_up", of=(("bar", 15),)), "bars; 12 sure, 3 must wait (heed): the main computer has no more free."),
    (
        {**known("pick_up", of=(("bar", 15),)), "share": 0, "signal": False},
        "bars; None sure, 15 not certain yet (heed): no signal to ask for more.",
    ),
    ({**known("pick_up", of=(("bar", 15),)), "asking": ["bar"]}, "bars; 12 sure, asking for 3 more …"),
    (
        {**known("walk_in", of=(("bar", 20),)), "share": 2},
        "bars; 2 free here, 18 more may be spoken for (heed): 15 of Ben Okada. 30 are on the shelf by the book.",
    ),
    (
        {**known("walk_in", of=(("bear", 1),)), "share": 0},
        "wax bear; None free here, 1 more may be spoken for (heed): 1 of Ann Tollefson. 1 is on the shelf by the book.",
    ),
    ({**known("walk_in"), "share": 0}, "bars; None free here, 5 more may be spoken for (heed). 30 are on the shelf by the book."),
    (
        known(state="working"),
        "bars; Sure. 7 more are sure without signal.; parcel; choosing the carton …; heat; checking the weather along the way …",
    ),
    (
        {**known(), "call": {"state": "unknown", "why": "It is not awake."}},
        "bars; Sure. 7 more are sure without signal.; parcel; "
        "Not known yet: It is not awake. The order can be taken all the same.; heat; Not known yet; "
        "it is asked again. Decide before it leaves.",
    ),
    (
        {**known(), "call": {"state": "refused", "why": "That cannot be."}},
        "bars; Sure. 7 more are sure without signal.; parcel; That cannot be. (heed)",
    ),
    (
        {**known(), "call": {"state": "refused", "why": "That cannot be.", "answer": {"parcel": parcels("a")}}},
        "bars; Sure. 7 more are sure without signal.; parcel; it goes in; heat; That cannot be. (heed)",
    ),
    (known(), "bars; Sure. 7 more are sure without signal."),
    (
        known(parcel={**parcels("a"), "posting_words": "mailing $7.00"}),
        "bars; Sure. 7 more are sure without signal.; parcel; it goes in; mailing $7.00",
    ),
    (known(parcel=parcels("a")), "bars; Sure. 7 more are sure without signal.; parcel; it goes in"),
    (
        known(parcel={**parcels("a"), "posting_words": "no price"}, draft={"posting_unknown": "no ZIP"}),
        "bars; Sure. 7 more are sure without signal.; parcel; it goes in; (heed):no price; [type the price of mailing]",
    ),
    (
        known(parcel={"ok": False, "words": "no carton", "why_not": [{"name": "6×4×4", "why": "too small"}]}),
        "bars; Sure. 7 more are sure without signal.; parcel; No carton. (heed); 6×4×4: too small",
    ),
    (
        known(parcel={"ok": False, "words": "no carton", "why_not": []}, draft={"posting_unknown": "no ZIP"}),
        "bars; Sure. 7 more are sure without signal.; parcel; No carton. (heed); (heed):Price of mailing not known.; "
        "[type the price of mailing]",
    ),
    (known(posting_off="Mailing honey is off."), "bars; Sure. 7 more are sure without signal.; honey; Mailing honey is off. (heed)"),
    (
        known(posting_off="Mailing honey is off.", draft={"ask_state": True}),
        "bars; Sure. 7 more are sure without signal.; honey; Mailing honey is off. (heed); "
        "“Mailing honey is off” : [they pick it up] [it waits until I asked] (pressed)",
    ),
    (known(unknown=["No ZIP.", "No weather."]), "bars; Sure. 7 more are sure without signal.; heat; No ZIP. No weather."),
    (
        known(heat={**FINE, "hold": True}, basis="monthly normals"),
        "bars; Sure. 7 more are sure without signal.; heat; Fine: under 1 chance in 100 of harm. Held at the post office counter.; "
        "By the monthly normals.; [every day and packing, and the trip]",
    ),
    (
        known(heat={**HARM, "when_words": "Friday noon"}, advice=ADVICE),
        "bars; Sure. 7 more are sure without signal.; heat; The bars may get dents (heed), 1 chance in 5 (Friday noon).; "
        "Send it Monday.; [wait for a cool spell]; [every day and packing, and the trip]",
    ),
    (
        known(heat=HARM, advice={**ADVICE, "adds": "a pad", "extra_cents": 90}),
        "bars; Sure. 7 more are sure without signal.; heat; The bars may get dents (heed), 1 chance in 5.; "
        "Send it Monday: a pad, $0.90 more.; [wait for a cool spell]; [every day and packing, and the trip]",
    ),
    (
        known(heat=HARM, advice={**ADVICE, "extra_cents": 0}),
        "bars; Sure. 7 more are sure without signal.; heat; The bars may get dents (heed), 1 chance in 5.; Send it Monday.; "
        "[wait for a cool spell]; [every day and packing, and the trip]",
    ),
    (
        known(heat=HARM, half=True, advice=ADVICE),
        "bars; Sure. 7 more are sure without signal.; heat; The bars may get dents (heed), 1 chance in 5.; comparing days and packings …",
    ),
    (
        known(heat=HARM),
        "bars; Sure. 7 more are sure without signal.; heat; The bars may get dents (heed), 1 chance in 5.; "
        "[every day and packing, and the trip]",
    ),
    (known(cautions=["Glass."]), "bars; Sure. 7 more are sure without signal.; careful; Glass."),
    (
        known(of=(("jar", 1),), cautions=["Not under 12 months."]),
        "honey jars; Sure. 11 more are sure without signal.; careful; Not under 12 months.",
    ),
    (
        known(of=(("jar", 1),), cautions=["Glass."]),
        "honey jars; Sure. 11 more are sure without signal.; careful; Glass.; careful; "
        "Honey is not for babies under 12 months, not even a taste.",
    ),
    (
        known("pick_up", of=(("jar", 1),), cautions=["Not under 12 months."]),
        "honey jars; Sure. 11 more are sure without signal.; careful; Honey is not for babies under 12 months, not even a taste.",
    ),
]  # fmt: skip


def told_of(cases: list[tuple[Json, str]], drawn: str) -> list[str]:
    """All cases in one go: what each says, line by line, without its heading."""
    body = f"{NOW} return asked.map((one) => said({drawn}(nowOf(one))).slice(1).join('; '));"
    told: list[str] = drawn_in_page("rooms/counter/under.js", body, [case for case, _said in cases], ROWS)
    return told


def test_the_gist_of_a_call_in_tiles() -> None:
    assert told_of(TILES, "tilesOf") == [said for _case, said in TILES]


def test_what_stands_under_the_sentence() -> None:
    assert told_of(UNDER, "here.underSentence") == [said for _case, said in UNDER]


def test_what_the_keys_of_a_call_take() -> None:
    """The remedy as it was advised; where nothing is said of packing or the post office, the packing stays."""
    body = f"""{NOW}
      const touched = (template, words) => {{
        const screen = new Screen('', {{ template }});
        screen.said();
        screen.touch(words);
        return took.splice(0);
      }};
      const {{ choiceKeys }} = here;
      const short = {{ draft: {{ way: 'pick_up', lines: [{{ good: 'bar', units: 15 }}] }} }};
      return [
        ...asked.map((one) => touched(tilesOf(nowOf(one)), 'do that')),
        touched(tilesOf(nowOf({{ ...asked[0], call: {{ state: 'known', answer: {{ heat: asked[0].call.answer.heat,
            none_words: 'no day' }} }} }})), 'wait'),
        ...['take 12', 'take 15', 'they go without'].map((words) => touched(choiceKeys(short.draft.lines[0], nowOf(short)), words)),
        touched(here.underSentence(nowOf({{ draft: {{ lines: [], goes: asked[2] }}, who: 'ann' }})), 'use the new'),
      ].flat();"""
    plain = {**ADVICE, "dressing": None, "hold": None}
    named = {**GOES, "to_name": "Mia Berg"}
    cases = [known(heat=HARM, advice=ADVICE), known(heat=HARM, advice=plain, draft={"dressing": "chilled", "hold_at_counter": True})]
    duluth = {"goes_to": "own", "to_name": "Mia Berg", "to_street": DULUTH[0], "to_unit": "", "to_city": DULUTH[1], "to_state": DULUTH[2],
              "to_zip": DULUTH[3]}  # fmt: skip
    assert drawn_in_page("rooms/counter/under.js", body.replace("...asked.map", "...asked.slice(0, 2).map"), [*cases, named], ROWS) == [
        {"leave_on": "2027-07-26", "dressing": "lined", "hold_at_counter": True, "hold_for_cool": False},
        {"leave_on": "2027-07-26", "dressing": "chilled", "hold_at_counter": False, "hold_for_cool": False},
        {"hold_for_cool": True, "leave_on": None},
        ["bar", 12], ["bar", 15], ["bar", 15],
        {"goes": duluth},
    ]  # fmt: skip


def test_what_heat_does_on_each_day_and_when_no_mail_goes() -> None:
    """A cell is that of the packing chosen, held or not."""
    cells = [{"dressing": dressing, "hold": hold, "chance_words": f"{dressing} {hold}", "harmless": dressing == "chilled"}
             for dressing in ("lined", "plain", "chilled") for hold in (True, False)]  # fmt: skip
    days = [{"leave_on": "2027-07-26", "cells": cells}, {"leave_on": "2027-07-27", "closed": True, "cells": cells},
        {"leave_on": "2027-07-28"}]
    body = """
      const keys = (draft) => said(here.dayKeys({ draft: { way: 'post', ...draft }, view: known.view, today: '2027-07-24',
          chosen: '2027-07-26',
        answer: { days: asked }, take() {} })).find((line) => line.includes('[Monday')).match(/\\[.*?\\]/g).slice(0, 3);
      return [keys({ dressing: 'plain', hold_at_counter: false }), keys({ dressing: 'lined', hold_at_counter: true }),
        keys({ dressing: 'chilled', hold_at_counter: false })];"""
    rows = [*ROWS, {"table": "setting", "id": "posting_days", "value": ["Mon", "Tue", "Wed"]}]
    rest = ["[Tuesday no mail]", "[Wednesday Jul 28]"]
    assert drawn_in_page("rooms/counter/decks.js", body, days, rows) == [
        ["[Monday plain False]", *rest], ["[Monday lined True]", *rest], ["[Monday fine]", *rest],
    ]  # fmt: skip
