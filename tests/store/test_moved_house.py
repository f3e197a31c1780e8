"""The main computer is at another address: what stands in the way of going there, what is handed over, and when nothing is written here
any more."""

from __future__ import annotations

from typing import Any

from store.with_house import Json, entry, states, talked

THERE = "https://new.local"
OTHER = "other.local/#enrol=CODE"
STANDS = "It begins with https:// and stands under the code, on an owner's device."
HEALTH = {"house": "h"}
LOG = [entry(1, "landed", position=1), entry(2), entry(3)]


def moved(*cases: Json, address: str = THERE) -> list[Json]:
    marks: Json = {"house": "h"}
    return talked("store/moved.js", f"here.handOver({address!r})", [{**case, "marks": {**marks, **case.get("marks",
        {})}} for case in cases])


def sentence(units: list[int]) -> Json:
    lines = [{"good": "bar", "units": many} for many in units]
    return {"id": "s1", "owner": None, "changed_at": "", "draft": {"person": None, "lines": lines, "amends": None}}


def test_what_stands_in_the_way_is_said_and_nobody_is_asked() -> None:
    [home] = moved({"answers": [HEALTH]}, address="https://honey.local/x")
    [far] = moved({"answers": [HEALTH]}, address="https://example.org")
    told = [home, far, *moved(
        {"answers": [HEALTH], "nobody": True}, {"answers": [HEALTH], "sentences": [sentence([2])]}, {"answers": [HEALTH],
            "marks": {"house": None}},
    )]  # fmt: skip
    assert [one["said"] for one in told] == [
        "This device is at that address already. Give the new address.",
        f"This is no address of a main computer on your own network. {STANDS}",
        "This device is not added yet. Open the new address and add it there with a code.",
        "An order is half written on this device. Finish it at the Counter, or start over; then come back here.",
        "This device does not know yet which records are its own. Let it hear the main computer once at this address.",
    ]
    assert [one["asks"] for one in told] == [[]] * 5


def test_another_business_and_nobody_at_all_get_nothing() -> None:
    other, none = moved({"answers": [{"house": "k"}, {}], "log": LOG}, {"answers": [], "log": LOG})
    assert other["said"].startswith(f"At {THERE} are the records of another business. Nothing was sent. Look at the address again")
    assert none["said"] == "The main computer is out of reach. Try again once there is signal."
    for one in (other, none):
        assert (one["asks"], one["marks"]["moved_to"]) == ([[f"{THERE}/api/health", None, None]], None)
        assert states(one) == [(1, "landed"), (2, "in_hand"), (3, "in_hand")]


def test_all_is_handed_over_and_the_share_given_back_and_nothing_is_written_here_any_more() -> None:
    """A sentence in which nothing stands does not matter; of goods that were spent nothing goes back, and a frozen device gives nothing
    back."""
    share = {"share": {"granted": {"bar": 5, "jar": 3, "comb": 2}, "spent": {"jar": 2, "comb": 2}}}
    given = {"jar": 3, "bar": 5, "comb": 2}
    heard = {"granted": given, "spent": share["share"]["spent"]}
    whole: Json = {"answers": [HEALTH, {"last_seq": 3, **heard}, {"last_seq": 4}], "log": LOG, "keep": share, "sentences": [sentence([])]}
    spent = {**whole, "keep": {"share": {"granted": {"jar": 2}, "spent": {"jar": 2}}}, "answers": [HEALTH, {"last_seq": 3},
        {"last_seq": 3}]}
    frozen = {**whole, "marks": {"frozen": "A fork."}, "answers": [HEALTH, {"last_seq": 3}, {"last_seq": 3}]}
    done, none_left, held = moved(whole, spent, frozen)
    exchange = f"{THERE}/api/exchange"
    assert (done["said"], done["value"]) == ("", {"address": THERE, "link": f"{THERE}/", "sent": 2})
    assert [[path, operations] for path, operations, _ in done["asks"]] == [
        [f"{THERE}/api/health", None], [exchange, [2, 3]], [exchange, [4, 2, 3]]
    ]  # fmt: skip
    assert (done["asks"][2][2][0], done["log"][-1][2:]) == ("give_back", ["give_back", {"bar": 5, "jar": 1}])
    assert [one["marks"]["moved_to"] for one in (done, none_left, held)] == [THERE] * 3
    assert [[operations for _, operations, _ in one["asks"]] for one in (none_left, held)] == [[None, [2, 3], [2, 3]]] * 2
    assert [len(one["log"]) for one in (none_left, held)] == [3, 3]
    [linked] = moved({"answers": [HEALTH, {"last_seq": 0}, {"last_seq": 0}]}, address=OTHER)
    assert linked["value"] == {"address": "https://other.local", "link": "https://other.local/#enrol=CODE", "sent": 0}


def test_what_is_left_behind_is_counted_and_the_device_stays_where_it_was() -> None:
    """Nor is it at home again because the main computer was heard at another address; entries of another device are not this one's."""
    foreign = entry(9, device="phone-z")
    one, two = moved(*({"answers": [HEALTH, {"last_seq": read}, {"last_seq": read}], "log": [*LOG, foreign], "marks": {"moved_to": "https://old.local"}}
                       for read in (2, 1)))  # fmt: skip
    assert [told["said"] for told in (one, two)] == [
        "1 entry is still only here. Do it again; nothing is lost.", "2 entries are still only here. Do it again; nothing is lost."
    ]  # fmt: skip
    assert [told["marks"]["moved_to"] for told in (one, two)] == ["https://old.local"] * 2
    work: list[Any] = talked("store/exchange.js", "here.exchangeAll(() => ({ wants: {}, callers: {} }))",
                             [{"answers": [{}], "marks": {"moved_to": "https://old.local"}}])  # fmt: skip
    assert work[0]["marks"]["moved_to"] is None


def test_what_was_written_under_an_earlier_name_goes_along_and_is_counted() -> None:
    earlier = entry(7, "earlier", device="phone-z")
    gone, kept = moved({"answers": [HEALTH, {"last_seq": 3}, {}, {"last_seq": 3}], "log": [*LOG, earlier]},
                       {"answers": [HEALTH, {"last_seq": 3}], "log": [*LOG, earlier]})  # fmt: skip
    assert (gone["said"], gone["value"]["sent"], gone["asks"][2][:2]) == ("", 3, [f"{THERE}/api/late", [7]])
    assert (kept["said"][:34], kept["marks"]["moved_to"]) == ("The main computer is out of reach.", None)
