"""What should lie in the till on a day: what was counted last before it and all that came and went between."""

from __future__ import annotations

from typing import Any

from goods.in_node import in_node

Json = dict[str, Any]


def entry(id: str, on: str, what: str, cents: int, at: str = "", **more: Any) -> Json:
    return {"id": id, "on": on, "what": what, "cents": cents, "at": at or f"{on}T12:00:00Z", "note": id, **more}


def came(on: str, cents: int, how: str = "cash") -> Json:
    return {"on": on, "how": how, "cents": cents}


def till(day: str, money: list[Json], entries: list[Json]) -> list[Any]:
    told = in_node("store/till.js", "here.tillOf(asked.day, asked.money, asked.entries)", {"day": day, "money": money, "entries": entries})
    return [told[f"{name}_cents"] for name in ("carried", "opening", "taken", "expected", "counted", "difference")] + [told["note"]]


MONEY = [came("07-01", 1), came("07-02", 20), came("07-03", 300), came("07-03", 9, "check"), came("07-04", 4000), came("07-05", 50000)]


def test_what_is_carried_over_begins_with_the_last_count_and_goes_on_with_the_cash_and_the_entries_since() -> None:
    counts = [entry("a", "07-02", "counted", 7), entry("b", "07-01", "counted", 5)]
    between = [
        entry("c", "07-02", "opening", 100_000), entry("d", "07-03", "opening", 1_000_000), entry("e", "07-03", "taken", 200_000),
        entry("f", "07-04", "taken", 30), entry("g", "07-04", "opening", 600), entry("h", "07-05", "taken", 8),
    ]  # fmt: skip
    assert till("07-04", MONEY, [*between, *counts]) == [800_307, 600, 30, 804_877, None, None, ""]
    assert till("07-04", MONEY, [*counts[::-1], entry("i", "07-04", "counted", 804_900)]) == [307, 0, 0, 4307, 804_900, 800_593, "i"]
    assert till("07-04", MONEY, between) == [900_321, 600, 30, 904_891, None, None, ""]
    assert till("07-02", MONEY, counts[:1]) == [1, 0, 0, 21, 7, -14, "a"]


def test_of_a_days_counts_the_last_is_taken_and_of_one_moment_the_same_on_every_device() -> None:
    morning, noon = "2027-07-04T08:00:00Z", "2027-07-04T12:00:00Z"
    three = [entry("b", "07-04", "counted", 2, noon), entry("a", "07-04", "counted", 1, noon), entry("c", "07-04", "counted", 3, morning)]
    for entries in (three, three[::-1], [three[1], three[0], three[2]], [three[2], three[0], three[1]]):
        assert till("07-04", [], entries)[4:] == [2, 2, "b"]
        assert till("07-05", [], entries)[0] == 2
    undone = entry("z", "07-04", "counted", 2, noon, undoes="b")
    assert till("07-04", [], [*three, undone])[4:] == [1, 1, "a"]


def test_who_counts_again_stands_after_the_first_count() -> None:
    counts = [{"at": f"2027-07-04T12:00:{second:02d}Z"} for second in (3, 5, 4)]
    moments = ["2027-07-04T12:00:04.900Z", "2027-07-04T12:00:05.000Z", "2027-07-04T12:00:06.000Z", "2027-07-04T12:00:07.999Z"]
    after_both = "asked[1].map((now) => [asked[0], []].map((counts) => here.momentAfter(counts, new Date(now))))"
    told = in_node("store/till.js", after_both, [counts, moments])
    assert told == [[f"2027-07-04T12:00:0{after}Z", f"2027-07-04T12:00:0{alone}Z"] for after, alone in ((6, 4), (6, 5), (6, 6), (7, 7))]
