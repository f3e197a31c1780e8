"""Small rules of the parts that screens share: how a device stands, forms, labels, notes at the bench, and where an address leads."""

from __future__ import annotations

import re
from typing import Any

import pytest

from goods.in_node import in_node
from store.in_page import in_page

Json = dict[str, Any]
FLAT = """const flat = (one) => Array.isArray(one) ? one.map(flat).join('') : typeof one === 'symbol' ? ''
    : one?.strings ? one.strings.map((text, at) => text + flat(one.values[at] ?? '')).join('') : String(one);
  const said = (drawn) => flat(drawn).replace(/<[^>]*>/g, ' ').replace(/\\s+/g, ' ').trim();"""
STANDS = f"""(() => {{
  {FLAT}
  const status = {{ started: true, removed: null, enrolled: true, movedTo: null, turnedAway: null, tooOld: null,
    inHand: 0, signal: 'shared' }};
  return asked.map(({{ ago_min = 3, ...given }}) => {{
    const since = ago_min === null ? null : new Date(Date.now() - ago_min * 60_000);
    return said(here.statusSaid({{ ...status, since, ...given }}));
  }});
}})()"""


def stands(*given: Json) -> list[str]:
    told: list[str] = in_page("parts/house-head.js", STANDS, given)
    return told


def test_how_a_device_stands_in_few_words() -> None:
    none, sending = {"signal": "none"}, {"signal": "working"}
    away: Json = {"turnedAway": "Nobody knows this device."}
    assert stands(
        {"started": False}, {"removed": {"left": 2}}, {"enrolled": False}, {"movedTo": "https://192.168.1.9"}, {}, {"inHand": 3}, sending,
        sending | {"inHand": 2}, none | {"ago_min": None}, none | {"ago_min": None, "inHand": 1}, away, away | {"inHand": 4},
        {"tooOld": "x"}, {"ago_min": 61},
    ) == [
        "opening the book …", "this device was removed", "this device is not added yet", "the main computer moved: so did this device",
        "all sent, 3 min ago", "3 not sent yet", "sending …", "sending … 2 not sent yet", "no signal", "no signal · 1 not sent yet",
        "all sent", "4 not sent yet", "all sent", "all sent, an hour ago",
    ]  # fmt: skip


def test_a_long_silence_is_told_with_its_day() -> None:
    none = {"signal": "none"}
    lately, still_today, longer, days = stands(*({**none, "ago_min": minutes} for minutes in (5, 1200, 1201, 4000)))
    assert all(words.startswith("no signal since ") for words in (lately, still_today, longer, days))
    assert [words.removeprefix("no signal since ").count(" ") for words in (lately, still_today, longer, days)] == [1, 1, 2, 2]
    assert longer.split()[3] == "Fri" and days.split()[3] == "Wed"


def test_where_an_address_leads() -> None:
    asked = ["#enrol=AB%20CD-2345", "#settings/enrol/AB", "#book/person/a%2Fb", "#nowhere/x", "", "#enrolment=1"]
    assert in_node("parts/route.js", "asked.map((hash) => here.whereNow(hash))", asked) == [
        {"room": "settings", "path": ["enrol", "AB CD-2345"]}, {"room": "settings", "path": ["enrol", "AB"]},
        {"room": "book", "path": ["person", "a/b"]}, *[{"room": "counter", "path": []}] * 3,
    ]  # fmt: skip


def test_how_wet_honey_may_be() -> None:
    told = in_node("parts/safety.js", "asked.map((one) => here.wetHoney(one))", [None, 0, 186, 187, 200, 201])
    assert told[:3] == ["", "", ""] and [words.split(":")[0] for words in told[3:]] == ["18.7 % water", "20 % water", "20.1 % water"]
    assert ["do not bottle it" in words for words in told[3:]] == [False, False, True]


def test_a_payment_in_words() -> None:
    """Change is told where more was handed over than the sum, and only then."""
    paid: Json = {"on": "2027-07-24", "cents": 2000, "how": "cash"}
    asked = [
        paid, paid | {"given_cents": 2000}, paid | {"given_cents": 2001}, paid | {"given_cents": 5000, "note": "by two"},
        paid | {"cents": -500}, paid | {"cents": -500, "corrects": "y1"}, paid | {"how": "check", "check_number": "77"},
    ]  # fmt: skip
    told = in_node("parts/sums.js", "asked.map((one) => here.paymentSaid(one))", asked)
    assert [words.split(": ")[1] for words in told] == [
        "$20.00 in cash", "$20.00 in cash", "$20.00 in cash, $0.01 back from $20.01", "$20.00 in cash, $30.00 back from $50.00, by two",
        "$5.00 paid back in cash", "−$5.00 in cash, put right", "$20.00 by check, number 77",
    ]  # fmt: skip


FORMS = f"""(() => {{
  {FLAT}
  return asked.map((good) => [here.formOf(good), /d="([^"]*)"/.exec(flat(here.goodPicture(good)))[1],
    flat(here.goodPicture(good)).split('wick').length - 1]);
}})()"""


def test_what_a_good_looks_like_where_nobody_said() -> None:
    asked = [{"kind": "wax", "net_g": 100}, {"kind": "wax", "net_g": 101}, {"kind": "wax"}, {"kind": "honey", "glass": True},
             {"kind": "honey", "glass": False}, {"kind": "wax", "form": "candle", "glass": True}]  # fmt: skip
    assert [form for form, *_ in in_node("parts/good-picture.js", FORMS, asked)] == ["bar", "block", "bar", "jar", "tub", "candle"]


def test_tapers_stand_as_a_pair() -> None:
    """A candle that lies longer than twice its height stands, and one less than a third as wide as high is one of two."""
    lying = {"form": "candle", "length_mm": 200, "width_mm": 40, "height_mm": 20}
    standing = {"form": "candle", "length_mm": 25, "width_mm": 25}
    as_high = {"form": "candle", "length_mm": 80, "width_mm": 40, "height_mm": 40}
    asked = [
        lying, {**as_high, "length_mm": 81}, as_high, {**standing, "height_mm": 74}, {**standing, "height_mm": 75},
        {**standing, "height_mm": 76}, {"form": "candle"},
    ]  # fmt: skip
    told = in_node("parts/good-picture.js", FORMS, asked)
    assert [wicks for *_, wicks in told] == [2, 1, 1, 1, 1, 2, 1]
    stood, lay = (re.findall(r"[\d.]+", path) for _, path, _ in told[1:3])
    assert float(stood[3]) - float(stood[1]) == pytest.approx(45.4) and float(lay[3]) - float(lay[1]) == pytest.approx(15.6)


LABELS = """(() => {
  const told = asked.kept.map((kept) => {
    if (kept === null) localStorage.removeItem('honeyhold.labels.next'); else localStorage.setItem('honeyhold.labels.next', kept);
    return here.nextLabel();
  });
  const used = asked.used.map(([first, count]) => { here.labelsUsed(first, count); return here.nextLabel(); });
  return { told, used, words: asked.goods.map((good) => here.labelWords(good)), sheet: here.onASheet(here.labelSheet()) };
})()"""


OF_FOURTEEN: Json = {"table": "setting", "id": "label_sheet", "value": {"columns": 2, "rows": 7}}


@pytest.mark.parametrize(("rows", "most"), [([], 30), ([OF_FOURTEEN], 14)])
def test_the_first_label_of_a_sheet_that_was_begun(rows: list[Json], most: int) -> None:
    kept = [None, "0", "1", "7", str(most), str(most + 1), "2.5", "x"]
    used = [[1, 1], [1, most - 1], [1, most], [most, 1], [3, 2 * most]]
    words = {"table": "setting", "id": "label_words", "value": {"jar": {"title": "Clover"}}}
    told = in_page("parts/label-sheet.js", LABELS, {"kept": kept, "used": used, "goods": ["jar"]}, [*rows, words])
    assert (told["told"], told["used"]) == ([1, 1, 1, 7, most, 1, 1, 1], [2, most, 1, 1, 3])
    assert (told["words"], told["sheet"]) == ([{"title": "Clover", "words": ""}], most)


NOTES = """(() => {
  const { Storage } = asked, told = {};
  told.none = [here.weighingsOf('bar'), here.noteOf('o1')];
  for (const [parcel, net_g] of asked.weighed) here.keepWeighing('bar', { parcel, count: 1, net_g, division_g: 1 });
  here.keepWeighing('jar', { parcel: 'p1', count: 2, net_g: 900, division_g: 1 });
  told.weighed = here.weighingsOf('bar').map(({ parcel, net_g }) => `${parcel} ${net_g}`);
  told.other = here.weighingsOf('jar').length;
  here.keepWeighings('bar', []);
  told.learnt = [here.weighingsOf('bar').length, here.weighingsOf('jar').length];
  for (const order of ['o1', 'o2', 'o3']) here.note(order, { carton: 'c8' });
  told.changed = here.note('o1', { empty_g: 120 });
  const looked = [];
  here.dropOldNotes((order) => { looked.push(order); return order === 'o2'; });
  told.looked = looked;
  told.left = ['o1', 'o2', 'o3'].map((order) => here.noteOf(order).carton);
  return told;
})()"""


def test_what_is_noted_at_the_bench() -> None:
    """A parcel weighed again counts once, the latest thirty are kept, and notes of what has gone elsewhere are dropped."""
    weighed = [*([f"p{n}", n] for n in range(1, 32)), ["p5", 500]]
    told = in_page("parts/bench-notes.js", NOTES, {"weighed": weighed})
    blank: Json = {"counts": {}, "lots": {}, "carton": None, "empty_g": None}
    assert told["none"] == [[], blank] and told["other"] == 1 and told["learnt"] == [0, 1]
    assert told["weighed"] == [f"p{n} {n}" for n in range(2, 32) if n != 5] + ["p5 500"]
    assert told["changed"] == {**blank, "carton": "c8", "empty_g": 120}
    assert sorted(told["looked"]) == ["o1", "o2", "o3"] and told["left"] == ["c8", None, "c8"]
