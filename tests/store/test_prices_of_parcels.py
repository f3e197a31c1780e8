"""What mailing costs where a parcel becomes another: packed otherwise, parted, of a standing order; and what is asked about a call."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import good, order, person
from store.in_page import in_page

Json = dict[str, Any]
DULUTH, TEMPE = ("4 Heron Sill Rd", "Duluth", "MN", "55811"), ("90 Larkwater Ln", "Tempe", "AZ", "85281")
TO_DULUTH: Json = {"goes_to": "own", **dict(zip(("to_street", "to_city", "to_state", "to_zip"), DULUTH, strict=True))}
PRICES: Json = {"table": "setting", "id": "posting_prices", "value": "row,service"}
BAR = good("bar", ("wax bar", "wax bars", "bars"), 1, 250)
ROWS: list[Json] = [BAR, person("ann", "Ann Lind", "", DULUTH), person("gus", "Gus Amin", "", TEMPE)]
ANSWERING = """
  const { askAlso } = await module('kernel/work.js');
  const out = [];
  let answers = [];
  askAlso({ inReach: () => true, ask: async (name, request, wait_s) => {
    out.push([name, request, Math.round(wait_s)]);
    const answer = answers.shift() ?? null;
    if (answer === 'refused') throw Object.assign(new Error('no'), { unknown: false, remedy: '' });
    return answer && { answer };
  } });
  const { View } = await module('store/view.js'), { Board } = await module('store/board.js');
  const knows = (rows) => { const board = new Board(); for (const row of rows) board.apply(row); known.view = new View(board); };"""
ANEW = f"""(async () => {{{ANSWERING}
  const told = [];
  for (const {{ rows, answer, change = {{}}, carton = null }} of asked) {{
    knows(rows);
    answers = [answer];
    const said = await here.postingAnew(known.view.orders.get('o1'), change, carton);
    const [name, request, wait_s] = out.splice(0)[0] ?? [];
    told.push([said.change, said.words, name && [request.to.zip, request.dressing, request.carton ?? '',
      request.lines.map(({{ units }}) => units), wait_s]]);
  }}
  return told;
}})()"""


def mailed(id: str = "o1", units: int = 2, way: str = "post", **more: Any) -> list[Json]:
    return order(id, "ann", way, "promised", "2027-07-26", {"bar": (units, 250 * units)}, **TO_DULUTH | more)


def test_a_parcel_packed_otherwise_is_priced_anew_by_the_table() -> None:
    table: Json = {"posting_cents": 700, "posting_by": "table"}
    with_table, without = [*ROWS, PRICES, *mailed(**table)], [*ROWS, *mailed(**table)]
    free = [*ROWS, PRICES, *mailed(posting_cents=0)]
    asked: list[Json] = [
        {"rows": with_table, "answer": {"parcel": {"posting_cents": 950}}, "change": {"dressing": "lined"}, "carton": "c8"},
        {"rows": with_table, "answer": {"parcel": {"posting_cents": 700}}},
        {"rows": with_table, "answer": {"parcel": {"posting_cents": 0}}},
        {"rows": with_table, "answer": {"parcel": {"posting_cents": -1, "posting_words": "too heavy for the table"}}},
        {"rows": with_table, "answer": {"parcel": {"posting_cents": None}}}, {"rows": with_table, "answer": {}},
        {"rows": with_table, "answer": "refused"}, {"rows": without, "answer": None},
        {"rows": [*ROWS, *mailed(posting_cents=0)], "answer": None}, {"rows": free, "answer": {"parcel": {"posting_cents": 700}}},
        {"rows": [*ROWS, PRICES, *mailed(posting_cents=800, posting_by="hand")], "answer": None},
        {"rows": [*ROWS, PRICES, *mailed(posting_cents=0, posting_by="hand")], "answer": None},
        {"rows": [*ROWS, PRICES, *mailed(way="pick_up", **table)], "answer": None},
        {"rows": [*with_table, *mailed("o2", 5, goes_with="o1")], "answer": {}},
        {"rows": [*with_table, *mailed("o2", 5, goes_with="o1")], "answer": {},
         "change": {"goes_to": "other", "to_street": "5 Quarry Row", "to_zip": "78701"}},
    ]  # fmt: skip
    told = in_page("parts/posting-anew.js", ANEW, asked)
    assert [one[:2] for one in told] == [
        [{"posting_cents": 950, "posting_by": "table"}, "Mailing $7.00 → $9.50, by your table."], [{}, ""],
        [{"posting_cents": 0, "posting_by": "table"}, "Mailing $7.00 → $0.00, by your table."],
        [{}, "Mailing stays $7.00: too heavy for the table."], [{}, "Mailing stays $7.00: nothing here holds all of it that way."],
        [{}, "Mailing stays $7.00: nothing here holds all of it that way."],
        [{}, "Mailing stays $7.00: it could not be worked out now."], [{}, "Mailing stays $7.00: there is no price table now."], [{}, ""],
        [{"posting_cents": 700, "posting_by": "table"}, "Mailing $0.00 → $7.00, by your table."],
        [{}, "Mailing stays $8.00, as it was typed."], [{}, ""], [{}, ""],
        *[[{}, "Mailing stays $7.00: nothing here holds all of it that way."]] * 2,
    ]  # fmt: skip
    assert told[0][2] == ["55811", "lined", "c8", [2], 5] and told[1][2] == ["55811", "plain", "", [2], 5]
    assert [one[2] for one in told[7:]] == [None, None, ["55811", "plain", "", [2], 5], None, None, None,
                                            ["55811", "plain", "", [2, 5], 5], ["78701", "plain", "", [2], 5]]  # fmt: skip


APART = f"""(async () => {{{ANSWERING}
  await (await module('store/phones.js')).phonesReady();
  const told = [];
  for (const {{ parted, ops = ['e0'], given }} of asked) {{
    answers = given ?? [];
    const before = new Set(known.entries.keys());
    const done = await here.pricedApart({{ parted, ops, more: 1 }});
    const fresh = [...known.entries.values()].filter(({{ id }}) => !before.has(id));
    told.push([done.posting, done.ops.map((op) => fresh.findIndex(({{ id }}) => id === op)),
      fresh.map(({{ operation: {{ rows: [row] }} }}) => [row.id, row.posting_cents, row.posting_by]), done.more]);
  }}
  return told;
}})()"""


def test_what_goes_in_another_parcel_is_priced_right_after() -> None:
    """Each that goes alone is told of and priced, then the one that is left; what was written last is undone first."""
    rows = [
        *ROWS, PRICES, *mailed("o1", posting_cents=900, posting_by="table"), *mailed("o2", posting_cents=0), *mailed("o3", posting_cents=0),
        *order("o4", "ann", "pick_up", "promised", None, {"bar": (1, 250)}),
        *mailed("o5", posting_cents=0, posting_by="hand"),
    ]  # fmt: skip
    asked: list[Json] = [
        {"parted": {"alone": ["o2"], "left": "o1"}, "given": [{"parcel": {"posting_cents": 700}}, {"parcel": {"posting_cents": 800}}]},
        {"parted": {"alone": ["o3"], "left": None}, "given": [{}]},
        {"parted": {"alone": ["o4", "nowhere"], "left": None}}, {"parted": {"alone": ["o5"], "left": None}},
        {"parted": {"alone": [], "left": "o1"}, "given": [{"parcel": {"posting_cents": 850}}]},
        {"parted": {"alone": [], "left": "o3"}, "given": [{}]}, {"parted": {"alone": [], "left": None}},
    ]  # fmt: skip
    priced, unknown, picked_up, free, left, left_unknown, none = in_page("parts/apart.js", APART, asked, rows)
    assert priced == ["A-2 has a parcel of its own. Mailing $0.00 → $7.00, by your table. A-1: Mailing $9.00 → $8.00, by your table.",
                      [1, 0, -1], [["o2", 700, "table"], ["o1", 800, None]], 1]  # fmt: skip
    assert unknown == ["A-3 has a parcel of its own. The price of mailing is not known yet.", [-1], [], 1]
    assert picked_up == ["", [-1], [], 1] and free == ["A-5 has a parcel of its own.", [-1], [], 1]
    assert left == ["A-1: Mailing $8.00 → $8.50, by your table.", [0, -1], [["o1", 850, None]], 1]
    assert left_unknown == ["", [-1], [], 1] and none == ["", [-1], [], 1]


MAILED = f"""(async () => {{{ANSWERING}
  const told = [];
  for (const {{ rows, standing, on, answer }} of asked) {{
    knows(rows);
    answers = [answer];
    const said = await here.mailedWith({{ goes_to: '', ...standing }}, on);
    const [, request, wait_s] = out.splice(0)[0] ?? [];
    told.push([said, request && [request.to.zip, request.leave_on, request.lines[0].units, request.dressing, wait_s]]);
  }}
  return told;
}})()"""


def test_a_standing_order_by_mail_leaves_on_a_mailing_day_at_the_tables_price() -> None:
    wanted = {"wanted": [{"good": "bar", "units": 4}]}
    by_mail: Json = {"way": "post", "person": "ann", **wanted}
    elsewhere = {**by_mail, "goes_to": "other", "to_name": "Mia", "to_street": "5 Quarry Row", "to_zip": "78701"}
    days = {"table": "setting", "id": "posting_days", "value": ["Wed"]}
    rows, found = [*ROWS, PRICES, days], {"parcel": {"posting_cents": 700}}
    told = in_page("parts/standing-words.js", MAILED, [
        {"rows": rows, "standing": by_mail, "on": "2027-07-29", "answer": found},
        {"rows": rows, "standing": elsewhere, "on": "2027-07-28", "answer": found},
        {"rows": rows, "standing": by_mail, "on": "2027-07-01", "answer": {"parcel": {"posting_cents": 0}}},
        {"rows": rows, "standing": by_mail, "on": "2027-07-29", "answer": {}}, {"rows": rows, "standing": by_mail, "on": "2027-07-29"},
        {"rows": [*ROWS, days], "standing": by_mail, "on": "2027-07-29", "answer": found},
        {"rows": rows, "standing": {**by_mail, "way": "pick_up"}, "on": "2027-07-01", "answer": found},
        {"rows": rows, "standing": {**by_mail, "way": "pick_up"}, "on": "2027-07-24", "answer": found},
    ])  # fmt: skip
    unknown = {"posting_cents": 0, "posting_by": ""}
    asked = ["55811", "2027-08-04", 4, "plain", 4]
    assert told == [
        [{"leave_on": "2027-08-04", "posting_cents": 700, "posting_by": "table"}, asked],
        [{"leave_on": "2027-07-28", "posting_cents": 700, "posting_by": "table"}, ["78701", "2027-07-28", 4, "plain", 4]],
        [{"leave_on": "2027-07-28", **unknown}, ["55811", "2027-07-28", 4, "plain", 4]],
        [{"leave_on": "2027-08-04", **unknown}, asked], [{"leave_on": "2027-08-04", **unknown}, asked],
        [{"leave_on": "2027-08-04", **unknown}, None], [{"leave_on": "2027-07-24"}, None], [{"leave_on": "2027-07-24"}, None],
    ]  # fmt: skip


CALLED = f"""(async () => {{{ANSWERING}
  const told = [];
  for (const {{ way, given }} of asked) {{
    answers = [...given];
    const states = [];
    const host = {{ requestUpdate() {{}}, addController() {{}} }};
    const call = here.callQuestion(host, () => states.push([call.state, call.answer?.is ?? null]));
    call.about({{ way, lines: [] }});
    for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setTimeout(later, 0));
    told.push([out.splice(0).map(([name, {{ only }}]) => `${{name}}${{only ? ' ' + only : ''}}`), states]);
    call.dispose();
  }}
  return told;
}})()"""


def test_a_call_is_asked_about_in_three_steps() -> None:
    """Heat only of what is mailed and holds; a verdict that is there stands though days and packings took too long to compare."""
    holds, full = {"is": "parcel", "parcel": {"ok": True}}, {"is": "parcel", "parcel": {"ok": False}}
    verdict, half, whole = {"is": "verdict", "heat": {"verdict": "firm"}}, {"is": "half"}, {"is": "whole"}
    told = in_page("parts/call-answer.js", CALLED, [
        {"way": "post", "given": [holds, verdict, whole]}, {"way": "pick_up", "given": [holds, whole]},
        {"way": "post", "given": [full, whole]}, {"way": "post", "given": [{"is": "parcel"}, whole]},
        {"way": "post", "given": [holds, half, whole]}, {"way": "post", "given": [holds, verdict, None]},
        {"way": "post", "given": [holds, half, None]}, {"way": "post", "given": [holds, verdict, "refused"]},
        {"way": "pick_up", "given": [holds, None]},
    ])  # fmt: skip
    parcel, asked, call = "quoting.parcel", "quoting.call asked", "quoting.call"
    assert [one[0] for one in told[:5]] == [[parcel, asked, call], [parcel, call], [parcel, call], [parcel, call], [parcel, asked, call]]
    assert [one[1] for one in told] == [
        [["half", "parcel"], ["known", "verdict"], ["known", "whole"]], *[[["half", "parcel"], ["known", "whole"]]] * 3,
        [["half", "parcel"], ["half", "half"], ["known", "whole"]], [["half", "parcel"], ["known", "verdict"], ["known", "verdict"]],
        [["half", "parcel"], ["half", "half"], ["unknown", "half"]], [["half", "parcel"], ["known", "verdict"], ["refused", "verdict"]],
        [["half", "parcel"], ["unknown", "parcel"]],
    ]  # fmt: skip
