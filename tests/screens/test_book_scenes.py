"""What the book says by what the main computer answers: orders of long ago, seasons side by side, who has a lot, and who is forgotten."""

from __future__ import annotations

import json
from typing import Any

from screens.acts import touch
from screens.kinds_of_rows import TODAY, good, order
from screens.rows import HELPER, ROWS, YESTERDAY
from screens.scenes import played, says, scene

Json = dict[str, Any]
OUT_OF_REACH = "The main computer is out of reach"
ORDERS, BACK, FORGET = "GET /api/orders", "GET /api/looking-back", "POST /api/people/gus/forget"


def _old(id: str, state: str = "gone", way: str = "post", **more: Any) -> Json:
    return {"id": id, "number": f"N-{id}", "person": "ann", "way": way, "state": state, "gone_on": "2025-11-03", "leave_on": "2025-11-03",
            "taken_on": "2025-11-01", "posting_cents": 0, "tax_cents": 0, **more}  # fmt: skip


def _line(order: str, good: str, units: int, cents: int) -> Json:
    return {"id": f"{order}-{good}", "order": order, "good": good, "units": units, "price_cents": cents, "total_cents": cents}


FIRST_PAGE: Json = {
    "orders": [
        _old("a", posting_cents=900), _old("b", "let_go"), _old("c", way="pick_up"), _old("d", way="pick_up"), _old("o4"),
    ],
    "lines": [
        _line("a", "bar", 10, 2500), _line("a", "jar", 0, 1200), _line("b", "jar", 1, 1200), _line("c", "salve", 2, 600),
        _line("d", "jar", 1, 1200),
    ],
    "handed": [
        {"line": "a-bar", "units": 10}, {"line": "b-jar", "units": 1}, {"line": "c-salve", "units": 0}, {"line": "d-jar", "units": 1},
    ],
    "payments": [{"order": "a", "cents": 1500}, {"order": "a", "cents": 500}, {"order": "d", "cents": 1200}],
    "adjustments": [{"order": "a", "cents": -300}, {"order": "a", "cents": -50}, {"order": "c", "cents": -1}], "before": 41,
}  # fmt: skip
LAST_PAGE: Json = {"orders": [_old("e", way="pick_up")], "lines": [_line("e", "bar", 1, 300)], "handed": [{"line": "e-bar", "units": 1}],
                   "payments": [], "before": None}  # fmt: skip
NO_PAGE: Json = {"orders": [], "lines": [], "handed": [], "payments": [], "before": None}


def test_orders_of_long_ago_say_what_they_held_and_what_is_owed() -> None:
    older, refused, none, no_signal, elsewhere = played(
        [
            scene("older-orders", touch("older orders"), touch("still older"), person="ann",
                  doors={ORDERS: [says(FIRST_PAGE), says(LAST_PAGE)]}),
            scene("older-orders", touch("older orders"), person="ann", doors={ORDERS: [says({"detail": "Ask the owner."}, 403)]}),
            scene("older-orders", touch("older orders"), person="ann", doors={ORDERS: [says(NO_PAGE)]}),
            scene("older-orders", touch("older orders"), person="ann"),
            scene("older-orders", touch("older orders"), person="ann",
                  doors={ORDERS: [says({**NO_PAGE, "orders": [_old("o4")], "before": 7})]}),
        ],
        ROWS,
    )  # fmt: skip
    before, first, last = older["said"]
    assert before == "[older orders from the main computer]"
    page = [
        "# older, from the main computer",
        "N-a 10 wax bars (1 oz) mailed Mon Nov 3 · owes $10.50",
        "N-b 1 honey jar (1 lb) canceled",
        "N-c 2 salve picked up Mon Nov 3",
        "N-d 1 honey jar (1 lb) picked up Mon Nov 3",
    ]
    assert first.splitlines() == [*page, "[still older from the main computer]"]
    assert last.splitlines() == [*page, "N-e 1 wax bar (1 oz) picked up Mon Nov 3 · owes $3.00"]
    assert older["asked"] == ["GET /api/orders?person=ann&limit=20", "GET /api/orders?person=ann&limit=20&before=41"]
    assert "aloud: 4 older orders." in older["effects"] and "aloud: 5 older orders." in older["effects"]
    assert refused["said"][1].splitlines() == ["(heed):Ask the owner.", "[older orders from the main computer]"]
    assert none["said"][1] == "The main computer has no older orders."
    assert "aloud: The main computer has no older orders." in none["effects"]
    assert no_signal["said"][1].startswith("(heed):No signal: the older orders are on the main computer. Nothing is lost;")
    assert elsewhere["said"][1] == "[still older from the main computer]"


NOTHING: Json = {"calls": 0, "units": 0, "cents": 0}
SUMS: Json = {"orders": 0, "by_mail": 0, "sold_cents": 0, "mailing_cents": 0, "tax_cents": 0, "taken_off_cents": 0, "received_cents": 0,
              "owed_cents": 0, "waited": NOTHING, "given_up": NOTHING, "went_without": NOTHING, "held": 0, "again": [],
              "taken_off": []}  # fmt: skip
SOLD: Json = {"id": "bar", "name": "wax bars (1 oz)", "units": 10, "cents": 2500, "before_units": 0, "before_cents": 0}


def _week(monday: str, cents: int, before: int, units: list[Json]) -> Json:
    return {"week": 1, "monday": monday, "cents": cents, "before_cents": before, "units": units}


def _season(now: Json, weeks: list[Json], goods: list[Json]) -> Json:
    return {"season": 2027, "now": {**SUMS, **now}, "before": SUMS, "goods": goods, "weeks": weeks, "words": []}


def test_seasons_side_by_side_leave_out_what_came_to_nothing() -> None:
    quiet = [_week("2027-06-28", 0, 0, [])]
    weeks = [*quiet, _week("2027-07-05", 2500, 0, [{"good": "bar", "units": 10}]), _week("2027-07-12", 0, 900, []),
             _week("2027-07-19", 0, 0, [{"good": "salve", "units": 2}])]  # fmt: skip
    again, off = [{"why": "heat", "orders": 1, "cents": 3550}], [{"why": "mice", "orders": 2, "cents": 500}]
    bare, sold, sent_again, taken_off, before = (
        told["said"][0].splitlines()
        for told in played(
            [
                scene("looking-back-board", doors={BACK: [says(_season(*told))]}, season=season)
                for season, told in (
                    ("2027", ({}, quiet, [])),
                    ("", ({"orders": 1, "sold_cents": 2500, "held": 1}, weeks, [SOLD])),
                    ("2027", ({"again": again}, quiet, [])),
                    ("2027", ({"taken_off": off}, quiet, [])),
                    ("2027", ({}, [_week("2027-07-12", 0, 900, [])], [])),
                )
            ],
            ROWS,
        )
    )
    head, foot = bare[:3], bare[-1]
    assert head == ["[the book](#book)", "# Looking back: 2027",
                    "“Which season” : [2027](#book/back/2027) (here) [2026](#book/back/2026) [2025](#book/back/2025)"]  # fmt: skip
    assert foot == "[the season by weight](#book/season/2027)"
    assert [line for line in bare[3:-1] if "raw" not in line] == ["Nothing was sold in 2027 or 2026."]
    assert " ".join(sold[sold.index("“Two seasons side by side” :") :]) == (
        "“Two seasons side by side” : 2027 2026 orders that left 1 0 goods $25.00 $0.00 parcels kept for a cool spell 1 0 # What was sold "
        "“Sold by good” : 2027 2026 wax bars (1 oz) 10 for $25.00 – [week by week] “Sold by week” : week of 2027 2026 "
        "Mon Jul 5 10 wax bars (1 oz) $25.00 $0.00 Mon Jul 12 $0.00 $9.00 Mon Jul 19 2 salve $0.00 $0.00 "
        "[the season by weight](#book/season/2027)"
    )
    assert sent_again[-4:-1] == ["# Put right", "sent again", "1 order for heat, $35.50"]
    assert taken_off[-4:-1] == ["# Put right", "taken off", "2 orders mice, $5.00"]
    assert not any(line.startswith("Nothing was sold") for line in before)


def test_a_season_heard_of_before_is_shown_out_of_reach_and_no_other() -> None:
    kept = json.dumps({**_season({"orders": 3}, [], []), "on": YESTERDAY})
    heard, again, older, broken, never, refused = played(
        [
            scene("looking-back-board", doors={BACK: [says(_season({"orders": 3}, [], []))]}, season="2027"),
            scene("looking-back-board", keeps={"honeyhold.looking-back": kept}, season="2027"),
            scene("looking-back-board", keeps={"honeyhold.looking-back": kept}, season="2026"),
            scene("looking-back-board", keeps={"honeyhold.looking-back": "{"}, season="2027"),
            scene("looking-back-board", season="2027"),
            scene("looking-back-board", keeps={"honeyhold.looking-back": kept}, season="2027",
                  doors={BACK: [says({"detail": "Not for this device.", "remedy": "Ask the owner."}, 403)]}),
        ],
        ROWS,
    )  # fmt: skip
    assert heard["asked"] == ["GET /api/looking-back?season=2027"]
    assert [json.loads(words.split(": ", 1)[1]) for words in heard["effects"] if "keeps honeyhold.looking-back" in words] == [
        {**_season({"orders": 3}, [], []), "on": TODAY}
    ]
    assert "As the main computer said it" not in heard["said"][0]
    lines = again["said"][0].splitlines()
    assert "As the main computer said it yesterday." in lines and lines[lines.index("orders that left") + 1 :][:2] == ["3", "0"]
    for told in (older, broken, never):
        assert told["said"][0].endswith("The main computer adds this up; it is out of reach now.")
    assert refused["said"][0].endswith("(heed):Not for this device. Ask the owner.")


def test_who_has_a_lot_is_said_as_far_as_it_is_known() -> None:
    known = {"lots": [{"lot": "OLD-1", "good": "bar", "made_on": "2026-07-07"}], "made_from": [{"lot": "F1"}, {"lot": "F2"}],
             "who_has": [{"person": "ann", "name": "Ann Tollefson", "phone": "+12185550142", "units": 10}], "not_named": []}  # fmt: skip
    book = {"since": "2026-01-01", "gone": [], "took": []}
    nobody = {**known, "who_has": []}
    sheet = {"documents.recall": {"html": "<p>Recall</p>"}}
    print_it = touch("print the recall sheet")
    rows = [row for row in ROWS if row["id"] != "name"]
    used_up, missing, far, here, nameless, bare, no_sheet = played(
        [
            scene("lot-board", print_it, lot="OLD-1", doors={"GET /api/lots/OLD-1/trace": [says(known)]}, worked=sheet),
            scene("lot-board", lot="OLD-2", doors={"GET /api/lots/OLD-2/trace": [says(known)]}),
            scene("lot-board", lot="W27-190-1"),
            scene("lot-board", print_it, lot="W27-190-1", took=book, worked={"stock.trace": known, **sheet}),
            scene("lot-board", lot="W27-190-1", took=book, worked={"stock.trace": {**nobody, "not_named": [{"units": 3}, {"units": 2}]}}),
            scene("lot-board", lot="W27-190-1", took=book, worked={"stock.trace": nobody}),
            scene("lot-board", print_it, lot="W27-190-1",
                  worked={"stock.trace": known, "documents.recall": {"refused": "It is too long.", "remedy": "Print less."}}),
        ],
        rows,
    )  # fmt: skip
    said = used_up["said"][0].splitlines()
    assert said[1:3] == ["# OLD-1", "wax bars (1 oz), made Tue Jul 7"]
    assert said[said.index("left here") + 1] == "0 wax bars (1 oz)"
    assert said[said.index("made from") + 1] == "[F1](#book/lot/F1) , [F2](#book/lot/F2)"
    assert said[-1] == "[Ann Tollefson](#book/person/ann) , 10, [218-555-0142](tel:+12185550142)"
    assert used_up["given_to"]["documents.recall"]["since"] is None
    assert "(heed):No lot is called OLD-2." in missing["said"][0]
    assert "The main computer knows; it is out of reach now." in far["said"][0]
    partly = "Complete only with signal; from this device: orders since Thu Jan 1 2026."
    lines = here["said"][0].splitlines()
    assert lines[lines.index("who has it") + 1] == partly
    assert here["given_to"]["documents.recall"]["since"] == "2026-01-01"
    assert here["given_to"]["documents.recall"]["house"]["name"] == "Honey house"
    assert "Printed from this device." in here["said"][1]
    assert "5 to people who gave no name" in nameless["said"][0] and "Nobody yet." not in nameless["said"][0]
    lines = bare["said"][0].splitlines()
    assert lines[lines.index("who has it") + 1 :][:2] == ["Nobody yet.", partly]
    assert "(heed):No sheet: It is too long. Print less." in no_sheet["said"][1]


def test_a_person_is_forgotten_by_the_main_computer_alone() -> None:
    person = next(row for row in ROWS if row["id"] == "gus")
    forget, now = touch("forget them …"), touch("forget them now")
    saved, forgotten, refused = played(
        [
            scene("person-out", touch("save all that is kept"), person=person, doors={"GET /api/people/gus/export.zip": [says({})]}),
            scene("person-out", forget, now, person=person, doors={FORGET: [says({})]}),
            scene("person-out", forget, now, person=person, doors={FORGET: [says({"detail": "They still owe."}, 409)]}),
        ],
        ROWS,
    )
    assert saved["asked"] == ["GET /api/people/gus/export.zip"]
    assert saved["said"][1].endswith("Saved. Look among this device's downloads.")
    assert forgotten["asked"] == [FORGET, "GET /api/mirror"]
    assert "[forget them now]" in forgotten["said"][1] and "It cannot be undone." in forgotten["said"][1]
    assert forgotten["said"][2].splitlines()[-2:] == ["[save all that is kept of them] [forget them …]", "Forgotten."]
    assert refused["asked"] == [FORGET]
    assert "[forget them now]" in refused["said"][2] and refused["said"][2].endswith("(heed):They still owe.")


def test_a_receipt_is_shared_where_a_device_can() -> None:
    worked, send = {"documents.receipt": {"html": "<p>Receipt</p>"}}, touch("send the receipt")
    cannot, shared, not_after_all = played(
        [
            scene("order-board", order="o9", worked=worked),
            scene("order-board", send, order="o9", worked=worked, shares="yes"),
            scene("order-board", send, order="o9", worked=worked, shares="not after all"),
        ],
        ROWS,
    )
    assert "[print a receipt]" in cannot["said"][0] and "send the receipt" not in cannot["said"][0]
    assert "shares receipt: <p>Receipt</p>" in shared["effects"] and shared["given_to"]["documents.receipt"]["order"]["id"] == "o9"
    assert not_after_all["said"][1] == not_after_all["said"][0]
    assert not any("shares" in words or "Not" in words for words in not_after_all["effects"])


def _heard(shift: int, *, enough: bool = True, fits: bool = False) -> Json:
    return {"heat.calibration": {"heard": 0, "harmed": 0, "enough": enough, "fits": fits, "shift_permille": shift, "words": "Heard.",
                                 "enough_words": "Enough."}}  # fmt: skip


ARRIVED: list[Json] = [
    {"table": "setting", "id": "heat_offset", "value": {"shift_permille": -200, "since": "2027-06-01"}},
    *order("o1", "ann", "post", "gone", None, {"bar": (1, 300)}, handed=True, gone_on="2027-07-14"),
    *order("o2", "ann", "post", "gone", None, {"bar": (1, 300)}, handed=True, gone_on="2027-07-14"),
    {"table": "parcel", "id": "p1", "order": "o1", "part": 1, "arrived": "fine", "told_permille": 10, "packed_on": "2027-07-13"},
    {"table": "parcel", "id": "p2", "order": "o2", "part": 1, "arrived": "run", "packed_on": "2027-07-14"},
]
SHIFTED = "Since Tue Jun 1 the chances told are shifted {}, as learned from your arrivals."
PLAIN, LEARN = "[tell the plain ones again]", "[learn from these chances are told {} from now on]"


def test_chances_are_learned_from_arrivals_where_there_are_enough_and_they_do_not_fit() -> None:
    fits, few, opening, lower, higher = played(
        [
            scene("arrivals-board", worked=_heard(900, fits=True)),
            scene("arrivals-board", worked=_heard(900, enough=False)),
            scene("arrivals-board", status={"started": False}, worked=_heard(900)),
            scene("arrivals-board", touch("learn from these"), status={"started": True}, worked=_heard(-300)),
            scene("arrivals-board", touch("learn from these"), touch("tell the plain"), worked=_heard(900)),
        ],
        [*(row for row in ROWS if str(row.get("order", row["id"]))[:1] not in ("o", "p")), *ARRIVED],
    )
    lines = fits["said"][0].splitlines()
    assert lines[2:] == [
        "Heard. Enough.", f"{SHIFTED.format('down')} {PLAIN}", "# Not heard of yet: ask when they call",
        "All that was mailed was heard of.", "# Heard of", "[Ann Tollefson mailed Wed Jul 14 · melted](#book/order/o2)",
        "[Ann Tollefson mailed Wed Jul 14 · fine told 1 in 100 harmed](#book/order/o1)",
    ]  # fmt: skip
    assert few["said"] == fits["said"]
    assert fits["given_to"]["heat.calibration"] == {
        "parcels": [
            {"told_permille": 10, "arrived": "fine", "packed_on": "2027-07-13"},
            {"told_permille": None, "arrived": "run", "packed_on": "2027-07-14"},
        ],
        "since": "2027-06-01",
    }
    assert opening["given_to"] == {} and "Heard." not in opening["said"][0]
    assert LEARN.format("lower") in lower["said"][0].splitlines()
    assert [row["value"] for row in lower["wrote"]] == [{"shift_permille": -500, "since": TODAY}]
    assert LEARN.format("higher") in higher["said"][0].splitlines()
    assert [row["value"]["shift_permille"] for row in higher["wrote"]] == [400, 0]
    assert "are shifted up," in higher["said"][1] and "are shifted" not in higher["said"][2]


NOT_CLOSED: Json = {
    **{name: {"in_g": 0, "start_g": 0, "made_g": 0, "passed_g": 0, "fed_g": 0, "lost_g": 0, "other_g": 0, "counted_g": 0, "left_g": 0,
              "balances": [], "missing_g": missing} for name, missing in (("honey", 454), ("cappings", 0), ("wax", 1000))},
    "jars": {"units": 0, "giveaway_g": 0}, "bars": {"units": 0, "giveaway_g": 0}, "closes": False,
    "left_in_wax": {"honey_g": 0, "wax_lost_g": 0, "honey_cents": 0, "wax_lost_cents": 0},
}  # fmt: skip
NO_SUMS = "The sums do not close: 1 lb of honey, 2 lb 3 oz of wax. "


def test_a_helper_is_shown_what_is_wrong_and_no_key_that_is_the_owners() -> None:
    helper = played(
        [
            scene("arrivals-board", worked=_heard(-300)),
            scene("season-board", season="2027", worked={"stock.season_sums": NOT_CLOSED}),
            scene("person-out", person=next(row for row in ROWS if row["id"] == "gus")),
        ],
        [*ROWS, *ARRIVED[:1]],
        HELPER,
    )
    arrivals, season, out = (told["said"][0] for told in helper)
    assert SHIFTED.format("down") in arrivals.splitlines() and PLAIN not in arrivals and "learn from these" not in arrivals
    assert f"(heed):{NO_SUMS}Tell the owner." in season.splitlines()
    assert out == ""


YOUNG: list[Json] = [
    good("jar", ("honey jar", "honey jars", "jars"), 1, 1200, kind="honey", form="jar"),
    good("c6", ("carton 6×4×4", "cartons 6×4×4", "6×4×4"), 2, 0, kind="carton", sold=False),
    {"table": "movement", "id": "m1", "good": "jar", "units": 9, "reason": "opening", "on": TODAY, "lot": None},
    {"table": "movement", "id": "m2", "good": "c6", "units": 4, "reason": "opening", "on": TODAY, "lot": None},
    {"table": "till", "id": "t1", "on": YESTERDAY, "what": "opening", "cents": 500, "at": f"{YESTERDAY}T13:00:00Z", "note": ""},
]
WALK = "honeyhold.walk"


def test_a_house_of_yesterday() -> None:
    found = [{"good": "jar", "lot": None, "gap": 0, "reason": None, "op": None}]
    kept = [json.dumps({"on": on, "found": of}) for on, of in ((TODAY, found), (YESTERDAY, found), (TODAY, "all"))]
    book, shelf, walked, *walks, till, low, season, refused, unclosed, labels, no_labels, opening, opening_shelf = played(
        [
            scene("book-room", path=["till"]),
            scene("shelf-room", path=[]),
            scene("count-walk", touch("9 lie there"), touch("4 lie there"), touch("walk again")),
            *(scene("count-walk", keeps={WALK: one}) for one in (*kept, "{")),
            scene("till-board", day=""),
            scene("low-marks", good="c6"),
            scene("season-board", season="2027"),
            scene("season-board", season="2027", worked={"stock.season_sums": {"refused": "A sum is no number.", "remedy": "Tell us."}}),
            scene("season-board", season="2027", worked={"stock.season_sums": NOT_CLOSED}),
            *(scene("labels-board", touch("print 30 labels"), good="jar", made="", worked={"documents.jar_labels": told})
              for told in ({"html": "<p>Jar</p>", "notes": ["Look at the date."]}, {"refused": "It is too small.", "remedy": ""})),
            scene("book-room", path=[], status={"started": False}),
            scene("shelf-room", path=[]),
        ],
        YOUNG,
    )
    assert "“Days” : [Fri Jul 23](#book/till/2027-07-23)" in book["said"][0].splitlines()
    assert "“Days” : [Fri Jul 23](#book/till/2027-07-23)" in till["said"][0].splitlines()
    assert "Nothing here of" not in shelf["said"][0]
    assert [said.splitlines()[2] for said in walked["said"]] == [
        "0 counts done, 2 to go.", "1 count done, 1 to go.", "All counted.", "0 counts done, 2 to go.",
    ]  # fmt: skip
    assert walked["said"][2].splitlines()[3:] == ["So far as the book says.", "[walk again]"]
    assert f'the device keeps {WALK}: {{"on":"{TODAY}","found":[]}}' in walked["effects"]
    assert [told["said"][0].splitlines()[2] for told in walks] == ["1 count done, 1 to go.", *["0 counts done, 2 to go."] * 3]
    assert low["said"][0].startswith("0 used in the last day: too little to say how long they last.")
    assert "Which season" not in season["said"][0] and season["said"][0].endswith("Nobody can work it out now.")
    assert refused["said"][0].endswith("A sum is no number. Tell us.")
    owner = "An entry is missing or was written twice: look at this year’s weighings in the Book before you trust these sums."
    lines = unclosed["said"][0].splitlines()
    assert lines[-2:] == [f"(heed):{NO_SUMS}{owner}", "Nothing was extracted, melted or weighed this season."]
    assert list(unclosed["given_to"]) == ["stock.season_sums"]
    next_label = "{, inputmode numeric: %s}"
    assert "30 labels printed from this device. Look at the date." in labels["said"][1].splitlines()
    assert next_label % 1 in labels["said"][1].splitlines() and labels["printed"] == ["Jar"]
    assert "(heed):It is too small." in no_labels["said"][1].splitlines()
    assert not any("labels.next" in words for words in no_labels["effects"])
    assert opening["said"] == opening_shelf["said"] == ["Opening the book …"]
