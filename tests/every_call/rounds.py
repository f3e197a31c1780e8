"""Rounds of the browser's store with a main computer that answers this or that, `rounds.mjs`: whatever is in an answer, and however the
device stood, then each with one thing otherwise. What the device asks, keeps and says is held by a digest each, `rounds.json`.

    PYTHONPATH=tests .venv/bin/python -m every_call.rounds                            writes them anew
    PYTHONPATH=tests .venv/bin/python -m every_call.rounds "heard: doors"             prints all of one, as it is called in the file
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Final

from screens.chapters import OWNED
from screens.in_node import played_in_node
from screens.rows import NOW, entry

Json = dict[str, Any]
HERE: Final = Path(__file__).resolve().parent
KEPT: Final = HERE / "rounds.json"
LONGEST_S: Final = 240
EXCHANGE, MIRROR, LATE = "POST /api/exchange", "GET /api/mirror", "POST /api/late"
STANDS: Json = {"shape": 5, "covered_to": 2, "house": "alder"}


def _log() -> list[Json]:
    """Of every state one, in the order in which they were written."""
    old = entry(1, "landed", "set_house", table="setting", id="fan", value=True)
    old["position"], old["operation"]["made_at"] = 2, "2027-04-01T14:00:00Z"
    taken = {**entry(6, "in_hand", "promise", table="order", id="o1", note="twice"), "sentence": "o1"}
    return [
        old, {**entry(2, "landed", "set_house", table="setting", id="fan", value=False), "position": 3},
        entry(3, "refused", "amend", "The order is gone by now.", table="order", id="o4", note="x"),
        {**entry(4, "in_hand", "note_person", table="person", id="ben", note="late"), "dealt_with": True},
        entry(5, "in_hand", "set_house", table="setting", id="fan", value=True), taken,
        entry(7, "set_aside", "set_house", table="setting", id="fan", value=False),
        {**entry(8, "earlier", "note_person", table="person", id="ann", note="of an earlier name"), "device": "phone-z"},
        {**entry(9, "kept_apart", "note_person", table="person", id="ann", note="apart"), "device": "phone-z"},
    ]  # fmt: skip


def _answer(**more: Any) -> Json:
    return {
        "protocol": 1, "request": "the same", "epoch": "screens", "landed": [{"id": "e5", "position": 7}],
        "refused": [{"id": "e6", "why": "Already promised.", "remedy": "Nothing."}, {"id": "e4", "why": "It is gone.", "remedy": "Look."}],
        "changes": [
            {"position": 1, "device": "phone-b", "id": "f1", "rows": [{"table": "setting", "id": "zip", "value": "00501"}]},
            {"position": 6, "device": "phone-b", "id": "f2", "rows": [{"table": "order", "id": "o1", "note": "by the barn"}]},
            {"position": 7, "device": "phone-a", "id": "e5", "rows": [{"table": "setting", "id": "fan", "value": True}]},
        ],
        "cursor": 7, "more": False, "granted": {"bar": 14, "jar": 4}, "spent": {"bar": 1}, "pool": {"bar": 30}, "short": {"jar": 2},
        "ask_back": {"bar": 3}, "last_seq": 7, "expects": None, "covered_to": 4, "house_time": "2027-07-24T15:00:05Z",
        "keep_since": "2027-06-01", **more,
    }  # fmt: skip


CALM: Final = _answer(landed=[], refused=[], changes=[], ask_back={})
WHOLE: Final[Json] = {
    "protocol": 1, "epoch": "anew", "house": "alder", "cursor": 40, "rows": OWNED["rows"][:20],
    "balances": [{"good": "bar", "lot": None, "units": 9}], "sure": [{"line": "l1", "good": "bar", "units": 5}],
    "handed": [{"line": "l1", "good": "bar", "units": 1}], "paid": [{"order": "o1", "cents": 500}],
    "ledgers": [{"table": "payment", "id": "y9", "order": "o1", "cents": 500, "how": "cash", "on": "2027-07-23"}],
    "money": [{"on": "2027-07-23", "how": "cash", "cents": 500}], "moved": [{"good": "bar", "reason": "gone", "year": 2027, "units": -4}],
    "took": [{"order": "o4", "lot": "W27-190-1", "good": "bar", "units": 2}], "took_since": "2027-01-01",
    "gone": [{"id": "o0", "number": "A-0", "person": "ann", "gone_on": "2027-05-01"}], "granted": {"bar": 20}, "spent": {"bar": 2},
    "last_seq": 5, "last_hash": "x5", "house_time": "2027-07-24T15:00:05Z",
}  # fmt: skip
LOST: Final[Json] = {"type": "urn:honeyhold:device-lost", "title": "Removed", "detail": "This device was removed.", "remedy": "Ask.",
                     "kept": ["e4", "e5"], "forget": False, "epoch": "screens"}  # fmt: skip


def _said(*answers: Json) -> list[Json]:
    return [{"says": one} for one in answers]


def _turned_away(**more: Any) -> Json:
    return {"status": 403, "type": "application/problem+json", "says": {**LOST, **more}}


def _situation(name: str, most: int, doors: Json, does: tuple[str, ...] = ("exchange",), **marks: Any) -> Json:
    return {
        "name": name,
        "most": most,
        "does": does,
        "device": {"log": _log(), "marks": {**STANDS, **marks}},
        "doors": {LATE: _said({}), **doors},
    }


SITUATIONS: Final = [
    _situation("heard", 120, {EXCHANGE: _said(_answer(), CALM)}),
    _situation("more of it", 8, {EXCHANGE: _said(_answer(more=True), CALM)}),
    _situation("a hole", 12, {EXCHANGE: _said(_answer(expects={"seq": 5, "why": "Entry 5 is not there."}), CALM)}),
    _situation("an earlier one is missing", 12, {EXCHANGE: _said(_answer(expects={"seq": 2, "why": "Entry 2 is not there."}), CALM)}),
    _situation("another history", 16, {EXCHANGE: _said(_answer(epoch="anew"), {**CALM, "epoch": "anew"}), MIRROR: _said(WHOLE)}),
    _situation("from the beginning", 90, {EXCHANGE: _said({**CALM, "epoch": "anew"}), MIRROR: _said(WHOLE)}, cursor=None),
    _situation("an older form of the mirror", 8, {EXCHANGE: _said({**CALM, "epoch": "anew"}), MIRROR: _said(WHOLE)}, shape=1),
    _situation("turned away", 40, {EXCHANGE: [_turned_away(), _turned_away(kept=["e6"]), _turned_away(kept=[], forget=True)]}),
    _situation("turned away before", 30, {EXCHANGE: [_turned_away(kept=[], epoch="anew"), _turned_away(kept=[], epoch="anew")]},
               removed_at="2027-07-20T10:00:00Z", offered_in="screens"),
    _situation("refused", 12, {EXCHANGE: [{**_turned_away(), "status": 401, "says": {"title": "Not now", "remedy": "Later."}}]}),
    _situation("broken", 6, {EXCHANGE: [{"status": 502, "type": "text/html", "says": "<p>no</p>"}]}),
    _situation("out of reach", 6, {}),
    _situation("added", 24, {"POST /api/enrol": _said({"device": "phone-n", "token": "t", "name": "New", "mark": "N", "role": "helper"}),
                             EXCHANGE: _said({**CALM, "epoch": "anew"}), MIRROR: _said(WHOLE)}, ("enrol", " ABCD ", " New phone ")),
    _situation("put aside", 4, {}, ("dismiss", "e3")),
]  # fmt: skip


def rounds(whole: str = "") -> Json:
    """A digest of each round, by its name; of one all that became of it."""
    told: Json = played_in_node(HERE / "rounds.mjs", {"now": NOW, "kept": OWNED, "situations": SITUATIONS, "whole": whole}, LONGEST_S)
    return told


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print("\n".join(rounds(sys.argv[1])[sys.argv[1]]))
    else:
        KEPT.write_text(json.dumps(rounds(), indent=0, ensure_ascii=False) + "\n", "utf-8")
