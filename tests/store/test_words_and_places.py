"""An order in words for whoever has to copy it, the town of a ZIP from the list this device keeps, and what a number or a row may be."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB, in_node
from screens.kinds_of_rows import good
from screens.rows import ROWS
from store.in_page import in_page

EACH = """Promise.all(asked.map(async ([name, ...given]) => {
  try { return await here[name](...given); } catch (error) { return `${error.message} ${error.remedy ?? error.stack}`; }
}))"""
BAR = "1 wax bar (1 oz) at $3.00 each, 5 for $12.50, 10 for $23.00"


def test_an_order_in_words_says_who_where_what_and_for_how_much() -> None:
    bar = {"lines": [{"good": "bar", "units": 1}]}
    units = [("bar", 1), ("bar", 12), ("jar", 2), ("wick", 2), ("none", 3)]
    whole = {
        "person": {"id": "fay"}, "lines": [{"good": name, "units": many} for name, many in units], "way": "post", "leave_on": "2027-07-28",
        "dressing": "lined", "pays": "check", "paid_cents": 500, "posting_cents": 900, "note": "ring", "gift_note": "For Mia",
            "heat": "fine",
        "goes_to": "other", "to_name": "Mia", "to_street": "5 Quarry Row", "to_city": "Hayward", "to_state": "WI", "to_zip": "54843",
    }  # fmt: skip
    drafts = [
        {**bar, "person": {"name": "Nora"}}, {"person": {"name": "Nora"}}, {**bar, "person": {"id": "ben"}, "leave_on": "2027-07-28"},
            whole,
        {**bar, "person": {"id": "cy"}, "way": "walk_in", "pays": "cash"},
    ]  # fmt: skip
    told = in_page("store/words.js", EACH, [["inWords", draft] for draft in drafts], [*ROWS, good("wick", ("wick", "", ""), 9, 100)])
    assert [text.split("\n") for text in told] == [
        ["Nora", "", BAR, "", "to be picked up", "Pays: later", "Comes to $3.00"],
        ["Nora", "", "to be picked up", "Pays: later", "Comes to $0.00"],
        ["Ben Okada, 715-555-0177", "", BAR, "", "to be picked up, on Wed Jul 28", "Pays: later", "Comes to $3.00"],
        ["Fay Castellane, 512-555-0125", "for Mia", "5 Quarry Row", "Hayward WI 54843", "",
         BAR, BAR.replace("1 wax bar ", "12 wax bars "), "2 honey jars (1 lb) at $12.00", "2 wick at $1.00", "3 none at $0.00", "",
         "by mail, leaving Wed Jul 28, padded", "Pays: check, paid $5.00, mailing $9.00", "Comes to $68.82, $1.82 of it sales tax",
         "ring", "For Mia", "fine"],
        ["No name, +493055501234", "", BAR, "", "at the counter", "Pays: cash", "Comes to $3.00"],
    ]  # fmt: skip


TAKEN = """{
  const fetched = [], kept = new Map();
  const list = await new Response(new Blob([asked.list]).stream().pipeThrough(new CompressionStream('gzip'))).arrayBuffer();
  let there = asked.there;
  globalThis.fetch = async (address) => {
    fetched.push(address.split('/').at(-1));
    if (!there) throw new TypeError('nobody answers');
    if (address.endsWith('manifest.json')) return new Response('{"zips": "zips-1.gz"}');
    return asked.missing ? new Response('', { status: 404 }) : new Response(list);
  };
  if (asked.caches) globalThis.caches = { open: async (name) => ({
    match: async (address) => kept.get(`${name} ${address}`)?.clone(), put: async (address, answer) => kept.set(`${name} ${address}`,
      answer),
  }) };
  if (asked.kept) kept.set(`kernel ${new URL('../kernel/built/zips-1.gz', asked.here).href}`, new Response(list));
  const places = [];
  for (const zip of asked.zips) { places.push(await here.placeOfZip(zip)); there = true; }
  const changed = places.find(Boolean);
  if (changed) changed.city = 'Nowhere';
  return [places.map((place) => place && [place.city === 'Nowhere' ? '' : place.city, place.state]), fetched,
    (await here.placeOfZip(asked.zips[places.findIndex(Boolean)]))?.city ?? null];
}"""
LIST = "601\tAdjuntas\tPR\n1\tAguada\t\n54241\tHayward\tWI\n1\t\t\n2\t\tMN\n40000\tEly\t"


def test_the_list_of_towns_says_only_what_is_otherwise_than_the_line_before() -> None:
    told = in_node("store/zip.js", "[...here.unpacked(asked)].map(([zip, { city, state }]) => [zip, city, state])", LIST)
    assert told == [
        ["00601", "Adjuntas", "PR"], ["00602", "Aguada", "PR"], ["54843", "Hayward", "WI"], ["54844", "Hayward", "WI"],
        ["54846", "Hayward", "MN"], ["94846", "Ely", "MN"],
    ]  # fmt: skip


def places(zips: list[str], **more: Any) -> Any:
    return in_page("store/zip.js", TAKEN, {"zips": zips, "list": LIST, "there": True, "here": (WEB / "store/zip.js").as_uri(), **more})


def test_the_town_of_a_zip_is_looked_up_in_a_list_that_is_fetched_once() -> None:
    zips = ["x", "5484", " 54843 ", "54843-1234", "12345", "00699", "00802", "00999", "54846", "00602"]
    found = [None, None, ["", "WI"], ["Hayward", "WI"], None, ["", "PR"], ["", "VI"], ["", "PR"], ["Hayward", "MN"], ["Aguada", "PR"]]
    assert places(zips) == [found, ["manifest.json", "zips-1.gz"], "Hayward"]
    assert places(zips, caches=True)[:2] == [found, ["manifest.json", "zips-1.gz"]]
    assert places(zips, caches=True, kept=True)[:2] == [found, ["manifest.json"]]


def test_a_list_that_did_not_come_is_asked_for_again_and_an_island_is_known_without_it() -> None:
    assert places(["54843", "54843"], there=False)[:2] == [[None, ["", "WI"]], ["manifest.json", "manifest.json", "zips-1.gz"]]
    assert places(["54843", "00999"], missing=True, caches=True)[:2] == [[None, ["", "PR"]], ["manifest.json", "zips-1.gz"] * 3]


AREA = {"table": "setting", "id": "area_code", "value": "715"}
ASK = "Ask for it again with its area code, or leave it empty; an extension goes into the note."
NONE = f"is no number that anyone can be reached at. {ASK}"


def test_a_number_is_kept_where_anyone_can_be_reached_at_it() -> None:
    """Of the home plan it has to be given out, from abroad it has to be long enough; seven digits are a neighbor's."""
    said = {
        "555-0177": "+17155550177", "+5550177": None, "55-0177": None, "212 555 0123": "+12125550123", "(999) 555-0123": None, " ": "",
        "tel:7155550177": "+17155550177", "+49 30 55501234": "+493055501234", "+49 3": None, "+49 100 123456": "+49100123456", "ask": None,
    }  # fmt: skip
    assert in_page("store/phones.js", EACH, [["phoneOf", text] for text in said], [AREA]) == list(said.values())
    asked = [["phoneOf", "555-0177"], ["phoneOf", "715-555-0177"]]
    for value in ("", "71", "7150", "a15"):
        assert in_page("store/phones.js", EACH, asked, [{**AREA, "value": value}]) == [None, "+17155550177"]


def test_a_number_that_stood_there_is_not_judged_again() -> None:
    read: dict[tuple[str, ...], tuple[str, str]] = {
        ("999-555-0177", "+19995550177"): ("+19995550177", ""), ("+49 1", "+49 1"): ("+49 1", ""), ("", "+17155550177"): ("", ""),
        ("999-555-0178", "+19995550177"): ("", f"“999-555-0178” {NONE}"), ("", ""): ("", ""), ("715 555 0177", ""): ("+17155550177", ""),
    }  # fmt: skip
    told = in_page("store/phones.js", EACH, [["readPhone", *given] for given in read])
    assert told == [{"phone": phone, "trouble": trouble} for phone, trouble in read.values()]
    people: list[Any] = [{"phone": "999-555-0177"}, {"phone": " 715 555 0177", "name": "x"}, {"phone": "+19995550177"}, None,
        {"phone": " "}]
    told = in_page("store/phones.js", EACH, [["withPhoneRead", person] for person in people])
    assert told == [f"“999-555-0177” {NONE}", {"phone": "+17155550177", "name": "x"}, *people[2:]]


def test_what_is_written_down_is_whole_numbers_and_whole_letters() -> None:
    """Both sides must write the same bytes."""
    values = """[1.5, NaN, 2 ** 53, 2 ** 53 - 1, -0, 'a\\ud800', '\\udc00', '\\ud83c\\udf6f', { '\\ud83c\\udf6f': 1 }, 5n,
      { a: undefined, c: 1, b: [true, null] }, { rows: [1, { units: 0.5 }] }]"""
    told = in_page("store/canonical.js", f"""{values}.map((value) => {{
      try {{ return here.canonical(value); }} catch ({{ message, remedy, field }}) {{ return `${{field}} | ${{message}} ${{remedy}}`;
        }} }})""")
    whole, correct = "whole numbers only. Correct that value.", "Correct that value."
    assert [text.replace("\ud800", "~").replace("\udc00", "~") for text in told] == [
        f"operation | operation is 1.5: {whole}", f"operation | operation is NaN: {whole}", f"operation | operation is {2**53}: {whole}",
        str(2**53 - 1), "0", f"operation | operation is a~: text with half a character in it. {correct}",
        f"operation | operation is ~: text with half a character in it. {correct}", '"🍯"',
        f"operation | operation is 🍯: a name that cannot be sorted alike everywhere. {correct}",
        f"operation | operation is 5: a bigint cannot be written down. {correct}", '{"b":[true,null],"c":1}',
        f"operation.rows[1].units | operation.rows[1].units is 0.5: {whole}",
    ]  # fmt: skip
