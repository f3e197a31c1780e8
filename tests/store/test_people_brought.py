"""People of a list that is brought in: who is written down, how much of what is said of them, in how many entries, and back again."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.fields import TEXT_MAX
from store.acted import Json, acted, rows_of

SHORT_MAX = 200
TEXTS = ("name", "phone", "street", "unit", "city", "state", "zip")


def somebody(id: str, **more: Any) -> Json:
    return {"id": id, **dict.fromkeys((*TEXTS, "note"), ""), "name": id.title(), **more}


def test_of_each_all_that_the_list_says_is_kept_as_long_as_the_house_takes_it() -> None:
    person = {"id": "p1", **dict.fromkeys((*TEXTS, "note"), " " + "a" * (TEXT_MAX + 1)), "hidden": True, "same_as": "p2"}
    [told] = acted([["bringPeople", [person]]], [], name="people")
    [row] = told["wrote"][0]["rows"]
    assert {name: len(row.pop(name)) for name in (*TEXTS, "note")} == {**dict.fromkeys(TEXTS, SHORT_MAX), "note": TEXT_MAX}
    assert row == {"table": "person", "id": "p1", "hidden": False}


def test_who_is_here_is_not_written_again_and_who_was_taken_back_is() -> None:
    """Of two with one name for an id the later is written; where nobody is new it is said."""
    here = [{"table": "person", "hidden": False, **somebody("ann")}, {"table": "person", "hidden": True, **somebody("bo")}]
    people = [somebody("ann"), somebody("bo"), somebody("cy", name="Old"), somebody("cy", name="New")]
    told = acted([["bringPeople", people], ["bringPeople", people], ["bringPeople", []], ["takeBackPeople", "$0.people"],
                  ["bringPeople", people[:2]]], here, name="people")  # fmt: skip
    nobody = "Everybody of this list is in your book already. There is nothing to write down."
    assert [step["said"] for step in told] == ["", nobody, nobody, "", ""]
    assert rows_of(told[0], "person", "id", "name", "hidden") == [["bo", "Bo", False], ["cy", "New", False]]
    assert told[0]["answer"] == {"people": ["bo", "cy"]} and told[3]["wrote"] == [
        {"kind": "note_people", "spent": {}, "rows": [{"table": "person", "id": id, "hidden": True} for id in ("bo", "cy")]}
    ]  # fmt: skip
    assert told[4]["answer"] == {"people": ["bo"]}


def test_a_long_list_is_written_in_entries_of_two_hundred_all_of_them_or_none() -> None:
    for many, entries in ((200, [200]), (201, [200, 1]), (401, [200, 200, 1])):
        ids = [f"p{at}" for at in range(many)]
        there, back = acted([["bringPeople", [somebody(id) for id in ids]], ["takeBackPeople", ids]], [], name="people")
        for step, hidden in ((there, False), (back, True)):
            assert [(entry["kind"], len(entry["rows"])) for entry in step["wrote"]] == [("note_people", length) for length in entries]
            assert rows_of(step, "person", "id", "hidden") == [[id, hidden] for id in ids]
        assert there["answer"] == {"people": ids}
