"""What every work of the kernel answers to a well-formed request, and to the same request with one thing in it otherwise: a digest each.

The works are pure: the same question has the same answer on a phone and on the main computer, today and next year. So a line that changes
is an answer that changed: a sum, a word, an edge of a picture, a refusal. Where that is meant, look at the answer before and after, then
write the lines anew:

    .venv/bin/python -m tests.works.as_before                                            all of them
    .venv/bin/python -m tests.works.as_before stock.melt_by "today nine days later"       prints the request and what it is answered
"""

from __future__ import annotations

import json
import sys
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Final

from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows
from tests.digests import digest
from tests.heat.asking import BARS, JARS, ask
from tests.otherwise import Path as Place
from tests.otherwise import Ways, changed, drawn, instead_of, otherwise
from tests.packing.as_before import orders
from tests.quoting.test_call import MONDAY_IN_JULY, asked
from tests.quoting.test_recheck import NOW, TUESDAY, row, told

from honeyhold.errors import HoneyholdError
from honeyhold.heat.stops import MAILBOXES
from honeyhold.kernel import TABLE, work

Json = dict[str, Any]
FILE: Final = Path(__file__).with_suffix(".json")
REQUESTS: Final[Json] = json.loads((Path(__file__).parents[1] / "api" / "work_requests.json").read_text("utf-8"))
MOST: Final = 24
FEWER: Final = {
    "documents.heat": 1, "quoting.days_picture": 1, "quoting.recheck": 0, "quoting.trip_picture": 6, "heat.advise": 1, "heat.trip": 1,
    "heat.draw": 1, "quoting.call": 1, "quoting.parcel": 4, "packing.plan": 6, "stock.melt_by": 9,
    "quoting.label": 12, "quoting.order_papers": 12, "quoting.parcel_picture": 12, "quoting.slip": 12,
}  # fmt: skip
"""Of works that take their time, so many of each request."""
WRONG: Final = frozenset(("as a text", "as a figure", "as a list", "and a half"))
REFUSED_MOSTLY: Final = frozenset(("gone", "below nothing", "beyond all", "empty"))
"""What is otherwise in a way that few works answer takes little time to ask."""
CHOICES: Final = (
    ("label", "letter", "a4", "a5"), ("post", "pick_up", "walk_in"), ("plain", "lined", "chilled"), ("F", "C"), tuple(MAILBOXES),
    ("jar", "tub", "bar", "block"), ("honey", "wax"),
)  # fmt: skip
CHOSEN: Final = "chosen: "
"""Where one of a few may be said, each of the others is."""


def questions(name: str) -> dict[str, Json]:
    """The requests of a work, each as it is and with one thing in it otherwise, drawn evenly over all that could be."""
    found: dict[str, Json] = {}
    for about, request in {"": REQUESTS.get(name, {}), **MORE.get(name, {})}.items():
        found[about] = request
        every = list(otherwise(request, ways=_ways))
        most = FEWER.get(name, MOST)
        asked = drawn([one for one in every if one[1].startswith(CHOSEN)], MOST if most > 8 else 2 * most)
        asked += drawn([one for one in every if one[1] in WRONG], MOST if most > 8 else 2 * most)
        asked += drawn([one for one in every if one[1] in REFUSED_MOSTLY], min(MOST, 2 + 2 * most))
        asked += drawn([one for one in every if not one[1].startswith(CHOSEN) and one[1] not in WRONG | REFUSED_MOSTLY], most)
        for path, how, value in asked:
            found[f"{about}: {'/'.join(map(str, path))} {how}".removeprefix(": ")] = changed(request, path, value)
    return found


def _ways(path: Place, value: Any) -> Ways:
    """Each of the others where one of a few may be said, besides what can be otherwise with anything."""
    for family in CHOICES:
        yield from ((f"{CHOSEN}{other}", other) for other in family if value in family and other != value)
    yield from instead_of(path, value)


def _sales(days: int, until: str, every: int) -> list[Json]:
    last = date.fromisoformat(until)
    return [{"on": (last - timedelta(days=at)).isoformat(), "units": (5, 10, 5, 20, 2)[at % 5]} for at in range(0, days, every)]


BAR: Final = {"name": "wax bar", "plural": "wax bars"}
MELT: Final[Json] = {"good": BAR, "today": "2026-07-21", "free_units": 45, "sales": _sales(120, "2026-07-21", 2)}
TO_THE_DESERT: Final[Json] = ask("85281", "2026-07-20", days=2)
TO_FLORIDA: Final[Json] = ask("33101", "2026-06-08", [JARS, BARS], days=2, unit="C")
FORESEEN: Final[Json] = {**ask("55811", "2026-07-20", days=1), "forecast": {
    "issued": "2026-07-20T11:00", "from": None,
    "to": [{"day": f"2026-07-{day}", "max_c": 33.5, "min_c": 19.0, "sky_percent": 20} for day in range(20, 27)],
}}  # fmt: skip
HOT: Final = {"to the desert": TO_THE_DESERT, "to Florida": TO_FLORIDA, "with a forecast": FORESEEN}
ARRIVED: Final[Json] = {"parcels": [
    {"told_permille": told, "arrived": ("dented", "run")[at % 2] if at < harmed else "fine", "packed_on": f"2026-07-{1 + at % 28:02d}"}
    for told, count, harmed in ((10, 40, 1), (200, 12, 2), (500, 9, 8), (900, 4, 4)) for at in range(count)
]}  # fmt: skip
HOUSE: Final[Json] = {
    "goods": good_rows(), "cartons": [{**row, "in_stock": 9} for row in carton_rows()[1]], "house": SETTINGS, "way": "post",
    "dressing": "plain", "to": {"zip": "55811", "state": "MN", "city": "Duluth"}, "leave_on": "2027-07-26", "today": "2027-07-24",
    "lines": [{"good": "bar", "units": 10}, {"good": "jar_12", "units": 3}],
}  # fmt: skip
CALLS: Final = {
    "bars and jars": HOUSE,
    "far and hot": {**HOUSE, "to": {"zip": "85281"}, "dressing": "chilled", "lines": [{"good": "bar", "units": 30}]},
}
OWN_PRICES: Final = "row,service,zone,up_to_oz,what,over,cents,example\n" + "".join(
    f"price,{service},{zone},{ounces},,,{cents + int(zone)},\n"
    for zone in "12345678" for service, cents in (("air", 4000), ("ground", 900)) for ounces in (64, 400)
)  # fmt: skip
ASKED_FIRST: Final = {
    **CALLS,
    "honey that may not be mailed yet": {**HOUSE, "house": {**SETTINGS, "posting_honey_asked": False}},
    "picked up": {**HOUSE, "house": {**SETTINGS, "posting_honey_asked": False}, "way": "pick_up"},
    "by prices of its own": {**HOUSE, "house": {**SETTINGS, "posting_prices": OWN_PRICES}},
}
KEPT: Final[Json] = {"parcels": [
    {"part": parcel["part"], "plan": parcel["kept"]} for parcel in work("quoting.parcel", HOUSE)["parcel"]["parcels"]
]}  # fmt: skip
def _again(high: int, told: Json, zip_code: str = "55811", **more: Any) -> Json:
    """An order asked again in the morning, under a forecast of so many tenths of a degree."""
    forecasts = {prefix: row(high, prefix) for prefix in ("548", "558", "557")}
    return {**asked({"bar": 10}, zip_code, TUESDAY), "today": MONDAY_IN_JULY, "now": NOW, "forecasts": forecasts, "who": "Ruth Hale",
            "told": told, **more}  # fmt: skip


AGAIN: Final = {
    "hot by now": _again(350, told(True, 12)),
    "known to be hot": _again(350, told(False, 300)),
    "cooler, and padded": _again(150, told(True, 4, "lined"), dressing="lined"),
    "to the desert": _again(350, told(True, 3), "85281"),
    "waits for cool": _again(160, {}, leave_on=None, hold_for_cool=True),
    "held": _again(150, told(True, 3, hold=True), hold_at_counter=True),
}
SAID: Final[Json] = {
    "goods": {"bar": BAR, "pint": {"name": "pint jar", "plural": "pint jars"}}, "today": "2026-07-21", "way": "post",
    "person": {"name": "Ruth Amsel", "called": "she"}, "lines": [{"good": "bar", "units": 10}, {"good": "pint", "units": 1}],
    "place": {"city": "Tulsa", "state": "OK"}, "leave_on": "2026-07-27", "owed_cents": 3140, "pays": "check",
}  # fmt: skip
MORE: Final[dict[str, dict[str, Json]]] = {
    "documents.jar_labels": {"by a printer that is off": {
        **REQUESTS["documents.jar_labels"],
        "sheet": {**REQUESTS["documents.jar_labels"]["sheet"], "nudge_x": "-0.8 mm", "nudge_y": "1.3 mm"},
    }},
    "heat.advise": {
        **HOT, "in winter": ask("55811", "2026-01-12", days=2),
        "at the door alone": {**ask("85001", "2026-07-20", days=2), "hold_allowed": False},
        "to Alaska": {**ask("99501", "2026-07-20", [JARS, BARS], days=2), "hold_allowed": False, "offset_permille": 4000},
    },
    "heat.trip": HOT,
    "heat.draw": HOT,
    "heat.calibration": {"arrived": ARRIVED},
    "heat.calibration_picture": {"arrived": ARRIVED},
    "packing.plan": {name: orders()[name] for name in ("bars and jars with postage", "cold", "too heavy")},
    "quoting.call": CALLS,
    "quoting.parcel": ASKED_FIRST,
    "quoting.label": {"on a label": {**REQUESTS["quoting.label"], "label_size": "label"}},
    "quoting.packed_picture": {"kept": KEPT},
    "quoting.recheck": AGAIN,
    "stock.order_sentence": {"by mail": SAID, "picked up": {**SAID, "way": "pick_up", "owed_cents": 0}},
    "stock.melt_by": {
        "a long record": MELT, "waited for": {**MELT, "free_units": 0, "waiting_units": 20}, "full": {**MELT, "free_units": 2000},
        "on Thursdays": {**MELT, "free_units": 90, "melt_weekdays": [3]}, "wax ready": {**MELT, "free_units": 90, "wax_ready_g": 2452},
        "a short record": {**MELT, "sales": _sales(24, "2026-07-21", 3), "order_sizes": {"20": 1.0}},
        "two seasons": {**MELT, "sales": _sales(700, "2026-07-21", 3), "today": "2026-11-20"}, "liked": {**MELT, "like_units": 60},
    },
}


def answered(name: str, request: Json) -> str:
    """A digest of the answer, or what was refused."""
    try:
        return digest(work(name, request))
    except HoneyholdError as trouble:
        return f"{trouble.code} {digest([str(trouble), trouble.remedy])}"


def lines(name: str) -> dict[str, str]:
    """All of one work."""
    return {asked: answered(name, request) for asked, request in questions(name).items()}


if __name__ == "__main__":
    if len(sys.argv) > 2:
        print(json.dumps(questions(sys.argv[1])[sys.argv[2]], indent=1))
        print(json.dumps(work(sys.argv[1], questions(sys.argv[1])[sys.argv[2]]), indent=1))
    else:
        FILE.write_text(json.dumps({name: lines(name) for name in sorted(TABLE)}, indent=0, ensure_ascii=False) + "\n", "utf-8")
