"""Who took which lot, from what a device knows: what the main computer told, what left since, and what still lies here."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import good, moved, order, person
from store.in_page import in_page

Json = dict[str, Any]
TRACED = """(async () => {
  await db.write(["keep"], async (tx) => {
    for (const [key, value] of Object.entries(asked.keep)) tx.objectStore("keep").put(value, key);
  });
  return here.traceRequest(asked.lot);
})()"""
ROWS: list[Json] = [
    good("bar", ("bar", "bars", "bars"), 1, 300), good("wax", ("wax", "wax", "wax"), 2, 0), person("ann", "Ann", "+12185550142"),
    {"table": "lot", "id": "F1", "good": "wax", "made_on": "2027-07-01", "sources": []},
    {"table": "lot", "id": "W1", "good": "bar", "made_on": "2027-07-02", "sources": ["F1"]},
    {"table": "lot", "id": "W2", "good": "bar", "made_on": "2027-07-03", "sources": ["F9"]},
    moved("wax", 500, "opening", "2027-07-01", "F1"), moved("bar", 30, "poured", "2027-07-02", "W1"),
    moved("bar", 20, "poured", "2027-07-03", "W2"), moved("bar", -2, "broken", "2027-07-04", "W1"),
    *order("o1", "ann", "pick_up", "gone", None, {"bar": (5, 1500)}, gone_on="2027-07-05"),
    moved("bar", -5, "gone", "2027-07-05", "W1", order="o1", line="o1-bar"),
    moved("bar", -4, "packed", "2027-07-06", "W1", order="o1", line="o1-bar"),
]  # fmt: skip
TOOK: Json = {
    "since": "2025-07-24", "gone": [{"id": "old", "number": "B-3", "person": "ben", "gone_on": "2026-01-02"}],
    "took": [{"lot": "W1", "order": "old", "good": "bar", "units": 3}, {"lot": "W1", "order": "o1", "good": "bar", "units": 1},
             {"lot": "W2", "order": "old", "good": "bar", "units": 9}, {"lot": "W1", "order": "away", "good": "bar", "units": 2}],
}  # fmt: skip
AWAY = [{"id": "away", "number": "A-9", "person": "cy", "gone_on": "2027-01-09"}]


def traced(lot: str, keep: Json) -> Json:
    told: Json = in_page("store/recall.js", TRACED, {"lot": lot, "keep": keep}, ROWS)
    return told


def test_what_each_order_took_and_what_was_made() -> None:
    """Of the lot and of all that was made of it; what was made is what is here and what they took."""
    told = traced("F1", {"took": TOOK, "forgotten": AWAY})
    assert told["since"] == "2025-07-24" and told["request"]["lot"] == "F1"
    taken = [one for one in told["request"]["movements"] if one["order"]]
    assert sorted((one["lot"], one["order"], one["units"], one["reason"], one["on"]) for one in taken) == [
        ("W1", "away", -2, "gone", "2027-01-09"), ("W1", "o1", -6, "gone", "2027-07-05"), ("W1", "old", -3, "gone", "2026-01-02"),
    ]  # fmt: skip
    assert sorted((one["lot"], one["units"], one["on"]) for one in told["request"]["movements"] if one["reason"] == "made") == [
        ("F1", 500, None), ("W1", 19 + 11, None),
    ]  # fmt: skip
    assert told["request"]["orders"] == [
        {"id": "old", "number": "B-3", "person": "ben"}, {"id": "o1", "number": "A-1", "person": "ann"},
        {"id": "away", "number": "A-9", "person": "cy"},
    ]  # fmt: skip
    assert [one["id"] for one in told["request"]["people"]] == ["ann"]
    assert [one["id"] for one in told["request"]["lots"]] == ["F1", "W1", "W2"]


def test_a_device_that_never_heard_the_house_says_so() -> None:
    told = traced("W2", {})
    assert told["since"] is None and told["request"]["orders"] == []
    assert [(one["lot"], one["units"]) for one in told["request"]["movements"]] == [("W2", 20)]
