"""What the main computer answers where a screen asks it and it is in reach, by the door's way and method."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]


def _sums(orders: int, cents: int) -> Json:
    calls = {"calls": 2, "units": 15, "cents": 3400}
    return {
        "orders": orders, "by_mail": orders // 2, "sold_cents": cents, "mailing_cents": 4200, "tax_cents": 310, "taken_off_cents": 500,
        "received_cents": cents - 1200, "owed_cents": 1200, "waited": calls, "given_up": {"calls": 1, "units": 5, "cents": 1250},
        "went_without": {"calls": 0, "units": 0, "cents": 0}, "held": orders % 3, "again": [{"why": "heat", "orders": 1, "cents": 3550}],
        "taken_off": [{"why": "heat", "orders": 1, "cents": 500}],
    }  # fmt: skip


def _week(number: int, monday: str, cents: int) -> Json:
    return {"week": number, "monday": monday, "cents": cents, "before_cents": cents // 2, "units": [{"good": "bar", "units": cents // 250}]}


def _read(line: int, state: str, name: str, **more: Any) -> Json:
    person = {"id": f"read-{line}", "name": name, "phone": f"+1715555014{line}", "street": "5 Quarry Row", "unit": "", "city": "Hayward",
              "state": "WI", "zip": "54843", "note": "", "hidden": False}  # fmt: skip
    return {"line": line, "state": state, "person": {**person, **more.pop("person", {})}, "says": "", "doubts": [], **more}


def _late(seq: int, kind: str, **more: Any) -> Json:
    return {"device": "phone-c", "seq": seq, "hash": f"hash-{seq}", "kind": kind, "name": "Old phone", "why": "The device was removed.",
            "number": "", "person": "", "phone": "", "goods": [], "cents": 0, "made_at": f"2027-07-2{seq}T14:00:00Z",
            "nothing_to_do": False, **more}  # fmt: skip


OLD_ORDER: Json = {
    "id": "old1", "number": "A-0", "person": "ann", "way": "post", "state": "gone", "taken_on": "2025-11-01", "gone_on": "2025-11-03",
    "leave_on": "2025-11-03", "posting_cents": 900, "tax_cents": 0,
}  # fmt: skip
ANSWERS: Json = {
    "GET /api/health": {"backup": {"made_at": "2027-07-22T15:00:00Z", "failing": True}},
    "GET /api/trust": {"next": {"day": "2027-09-01", "letters": "abcd efgh", "address": "https://192.168.1.9:8471/trust"}},
    "GET /api/late": {"entries": [
        _late(1, "promise", number="C-7", person="Ann Tollefson", phone="+12185550142", goods=[{"good": "bar", "units": 5}], cents=1250),
        _late(2, "pay", cents=1200), _late(3, "note_person", nothing_to_do=True), _late(4, "something of tomorrow"),
    ], "waiting": 6, "silent": []},
    "POST /api/late/settle": {},
    "POST /api/codes": {"code": "ABCD-2345", "expires_at": "2027-07-24T16:00:00Z", "address": "https://192.168.1.9:8471",
                        "introduction": "http://192.168.1.9:8470", "letters": "abcd", "qr_svg": "<svg></svg>",
                        "earlier": [{"address": "https://10.0.0.4", "qr_svg": "<svg></svg>"}]},
    "POST /api/devices/phone-b/lost": {},
    "GET /api/calendar": {"address": "https://192.168.1.9:8471/calendar/abc.ics"},
    "POST /api/calendar/renew": {"address": "https://192.168.1.9:8471/calendar/def.ics"},
    "GET /api/looking-back": {"season": 2027, "now": _sums(12, 61200), "before": _sums(7, 33000), "goods": [
        {"id": "bar", "name": "wax bars (1 oz)", "units": 160, "cents": 40000, "before_units": 90, "before_cents": 22000},
        {"id": "gone", "name": "old soaps", "units": 0, "cents": 0, "before_units": 4, "before_cents": 2000},
    ], "weeks": [_week(1, "2027-06-28", 12500), _week(2, "2027-07-05", 0), _week(3, "2027-07-12", 26000)],
        "words": ["More was sold than in the season before."]},
    "GET /api/orders": {"orders": [OLD_ORDER, {**OLD_ORDER, "id": "old2", "number": "A-00", "way": "pick_up", "state": "let_go"}],
                        "lines": [{"id": "l1", "order": "old1", "good": "bar", "units": 10, "price_cents": 250, "total_cents": 2500},
                                  {"id": "l2", "order": "old2", "good": "gone", "units": 0, "price_cents": 500}],
                        "handed": [{"line": "l1", "units": 10}], "payments": [{"order": "old1", "cents": 2000}],
                        "adjustments": [{"order": "old1", "cents": -300}], "before": "2025-11-01 A-00"},
    "GET /api/lots": {"lots": [{"lot": "F27-188-1", "good": "wax_fine", "made_on": "2027-07-07"}], "made_from": [{"lot": "F27-188-1"}],
                      "who_has": [{"person": "ann", "name": "Ann Tollefson", "phone": "+12185550142", "units": 10},
                                  {"person": "dora", "name": "Dora Lindqvist", "phone": None, "units": 1}],
                      "not_named": [{"units": 3}, {"units": 2}]},
    "GET /api/years": {"year": 2027, "partial": False, "goods": [{"good": "bar", "units": 40}, {"good": "gone", "units": 3}],
                       "months": [{"mailed": n, "picked_up": 1, "income_cents": 100 * n} for n in range(12)],
                       "replaced": [{"why": "heat", "count": 1}], "taken_off": [{"why": "heat", "cents": 500}]},
    "POST /api/people/read": {"encoding": "windows-1252", "counts": {"new": 3, "double": 1, "known": 1, "left_out": 1}, "columns": [
        {"title": "Name", "field": "name", "samples": ["Ole Berg"]}, {"title": "What", "field": "", "samples": []},
    ], "lines": [
        _read(1, "new", "Ole Berg"), _read(2, "new", "", doubts=["No name."], person={"note": "by the barn", "unit": "Apt 3"}),
        _read(3, "double", "Ole Berg", says="The same as line 1."), _read(4, "known", "Ann Tollefson", says="In your book already."),
        {"line": 5, "state": "left_out", "person": None, "says": "Nothing of a person.", "doubts": []},
        _read(6, "new", "Ida Moen", person={"street": "", "city": "", "state": "", "zip": "", "phone": ""}),
    ]},
    "POST /api/people/gus/forget": {},
}  # fmt: skip
