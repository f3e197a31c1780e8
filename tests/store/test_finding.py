"""People and things by a few letters: who comes first, what is marked, and what is not found."""

from __future__ import annotations

from typing import Any

import pytest

from screens.kinds_of_rows import good, order, person
from store.in_page import in_page

Json = dict[str, Any]
FOUND = "asked.map(([text, options]) => here.find(text, options).map(({ person, by, from, to }) => [person.id, by, from, to]))"
PEOPLE: list[Json] = [
    person("mann", "Paul Mann", "+12185550163"), person("ann", "Ann Lind", "(218) 555-0142"), person("otto", "Mary Ann Otto", ""),
    person("anna", "Anna Berg", "+17155550177"), person("joan", "Joanna Ferro", ""),
    person("away", "Ann Away", "+12185550199", hidden=True),
    person("abel", "Abel Cole", "555-0142 ext. 9"), person("zola", "Émile Zóla", ""), person("apart", "É́ric Noe\u0301l Ek", ""),
    person("old", "Anna Old", "+15075550108", same_as="anna"), person("alone", "Gus Alone", "", same_as="gone"),
    person("twice", "Rudi Twice", "+15555550155"),
]  # fmt: skip


def found(*texts: str, rows: list[Json] = PEOPLE, **options: int) -> list[list[tuple[str, str, int, int]]]:
    told = in_page("store/find.js", FOUND, [[text, options] for text in texts], rows)
    return [[(one[0], one[1], one[2], one[3]) for one in of_text] for of_text in told]


def test_the_start_of_the_name_then_of_a_word_then_anywhere() -> None:
    """Of one rank by name; one who is hidden never, one who was joined to another who is found not beside them."""
    (told,) = found("ann")
    assert told == [
        ("ann", "name", 0, 3), ("anna", "name", 0, 3), ("otto", "name", 5, 8), ("joan", "name", 2, 5), ("mann", "name", 6, 9),
    ]  # fmt: skip


def test_every_word_is_to_be_there_and_the_first_is_marked() -> None:
    told = found("ann l", "ann  OTTO", "otto ann", "ann x", "an m", "o ann")
    assert [[one[0] for one in of_text] for of_text in told] == [
        ["ann", "old", "mann"], ["otto"], ["otto"], [], ["otto", "mann"], ["old", "otto", "joan"],
    ]  # fmt: skip
    assert told[1][0][2:] == (5, 8) and told[2][0][2:] == (9, 13)


def test_letters_are_marked_where_they_stand_whatever_is_over_them() -> None:
    told = found("emile", "zola", "ola", "eric", "noel", "ek", "ÉMILE")
    assert told[0] == told[6] == [("zola", "name", 0, 5)]
    assert told[1:3] == [[("zola", "name", 6, 10)], [("zola", "name", 7, 10)]]
    assert told[3:6] == [[("apart", "name", 0, 5)], [("apart", "name", 6, 11)], [("apart", "name", 12, 14)]]


def test_the_end_of_a_number_comes_before_its_middle() -> None:
    """The last four figures, or all that were typed as its end; an extension is its end, too."""
    told = found("01", "550142", "5550", "0142", "5014")
    assert [one[0] for one in told[0]] == ["ann", "anna", "mann", "twice", "abel"]
    assert [one[0] for one in told[4]] == ["abel", "ann"]
    assert told[1] == [("ann", "number", 7, 14), ("abel", "number", 1, 8)]
    assert [one[0] for one in told[3]] == ["ann", "abel"] and told[3][0][1:] == ("number", 10, 14)


def test_figures_are_looked_for_from_the_end() -> None:
    (told,) = found("555")
    assert ("twice", "number", 5, 8) in told and [one[0] for one in told] == ["abel", "ann", "anna", "mann", "twice"]


def test_figures_and_letters_together_find_who_has_both() -> None:
    told = found("218 ann", "(218) ann l", "715 ann", "999", "999 ann", "ann 999")
    assert [[one[0] for one in of_text] for of_text in told] == [["ann", "mann"], ["ann", "mann"], ["anna"], [], [], []]
    assert told[0][0][1:] == ("name", 0, 3)


@pytest.mark.parametrize("text", ["", "  ", "-", "(.)+"])
def test_nothing_is_typed_and_nobody_found(text: str) -> None:
    assert found(text) == [[]]


def test_who_was_joined_to_nobody_here_is_shown() -> None:
    assert [one[0] for one in found("gus")[0]] == ["alone"] and [one[0] for one in found("old")[0]] == ["old"]


def test_the_best_few_of_many() -> None:
    """In whatever order they are kept; eight, where nothing else is said."""
    many = [person(f"p{n}", f"Kim {n}", "") for n in (4, 9, 1, 7, 3, 8, 2, 6, 5)] + [person("q", "Ada Kim", "")]
    assert [one[0] for one in found("kim", rows=many)[0]] == [f"p{n}" for n in range(1, 9)]
    assert [one[0] for one in found("kim", rows=many, most=3)[0]] == ["p1", "p2", "p3"]
    assert [one[0] for one in found("kim", rows=many, most=10)[0]][-2:] == ["p9", "q"]


@pytest.mark.parametrize(("many", "turns"), [(1, 1), (250, 1), (251, 2), (500, 2), (501, 3)])
def test_names_are_made_ready_a_few_hundred_at_a_time(many: int, turns: int) -> None:
    ready = """(async () => {
      let turns = 0;
      globalThis.requestIdleCallback = (work) => { turns += 1; queueMicrotask(work); };
      const people = Array.from({ length: asked }, (_, n) => ({ id: `p${n}`, name: `Kim ${n}`, phone: '' }));
      here.foldWhenIdle(people);
      await new Promise((later) => setTimeout(later, 5));
      return [turns, people.length]; })()"""
    assert in_page("store/find.js", ready, many) == [turns, 0]


ALL: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 250), good("odd", ("odd piece", "", "odd"), 2, 100),
    person("ann", "Ann Lind", "(218) 555-0142", ("", "Duluth", "", ""), note="by the red barn"), person("bo", "", "+17155550177"),
    person("hid", "Hidden Hand", "", note="the red barn, too", hidden=True), person("ann2", "A. Lind", "", same_as="ann", note="old bell"),
    *order("o1", "ann", "pick_up", "promised", None, {"bar": (5, 1250)}, note="leave at the gate"),
    *order("o14", "ann", "post", "promised", None, {"bar": (5, 1250)}, gift_note="happy birthday", taken_on="2027-07-18"),
    *order("o15", None, "post", "promised", None, {"bar": (1, 250)}, to_name="Cy Berg of the gate", taken_on="2027-07-20"),
    {"table": "parcel", "id": "k", "order": "o1", "part": 1, "packed_on": "2027-07-19", "tracking": "9400 1111 22"},
    {"table": "parcel", "id": "k2", "order": "o14", "part": 1, "packed_on": "2027-07-19"},
    {"table": "lot", "id": "W27-190-1", "good": "bar", "made_on": "2027-07-09", "sources": [], "note": "pale, of the gate"},
    {"table": "lot", "id": "W27-190-10", "good": "odd", "made_on": "2027-07-09", "sources": []},
    {"table": "lot", "id": "W26-190-1", "good": "gone", "made_on": "2026-07-09", "sources": []},
]  # fmt: skip
HITS = "asked.map((text) => here[text[0]](text[1]).map(({ kind, id, words, more }) => [kind, id, words, more]))"


def hits(*texts: str, by: str = "findAll", rows: list[Json] = ALL) -> list[list[str]]:
    told = in_page("store/find-all.js", HITS, [[by, text] for text in texts], rows)
    return [[one[1] for one in of_text] for of_text in told]


def test_what_each_is_called_and_what_stands_beside_it() -> None:
    ((ann,), (bo,), (one, *_), (lot,), (odd,), (gone,)) = in_page("store/find-all.js", HITS, [
        ["findAll", "ann lind 218"], ["findAll", "0177"], ["findAll", "A-1"], ["findAll", "pale"], ["findAll", "w2719010"],
        ["findAll", "w26"],
    ], ALL)  # fmt: skip
    assert ann == ["person", "ann", "Ann Lind", "Duluth · by the red barn"]
    assert bo == ["person", "bo", "+17155550177", ""]
    assert one == ["order", "o1", "order A-1", "Ann Lind · leave at the gate"]
    assert lot == ["lot", "W27-190-1", "lot W27-190-1", "wax bars · pale, of the gate"]
    assert odd == ["lot", "W27-190-10", "lot W27-190-10", "odd piece"]
    assert gone == ["lot", "W26-190-1", "lot W26-190-1", ""]


def test_what_is_called_just_so_comes_first_and_once() -> None:
    """Orders by how their number begins, the last taken first, and by any part of a tracking number; lots by any part, the last first."""
    assert hits("a1", "A-14", "a", "w27-190-1", "190", "w26-190-1") == [
        ["o1", "ann", "o15", "o14"], ["o14", "ann"], ["ann", "o15", "o1", "o14"], ["W27-190-1", "W27-190-10"],
        ["W27-190-10", "W27-190-1", "W26-190-1"],
        ["W26-190-1"],
    ]  # fmt: skip
    assert hits("11 11", "2", "94001111229") == [["o1"], ["ann", "o1", "W27-190-10", "W27-190-1", "W26-190-1"], []]


def test_words_of_notes() -> None:
    """Every word of it in one note, whatever its case; not by one letter; who is hidden is not found, who was joined is whom they are."""
    assert hits("RED barn", "barn by", "barn bell", "gate", "birthday", "old bell", "p") == [
        ["ann"], ["ann"], [], ["o15", "o1", "W27-190-1"], ["o14"], ["ann"], [],
    ]  # fmt: skip
    assert hits("", " - ", "nothing of it") == [[], [], []]


def test_so_many_of_a_kind() -> None:
    """Five of each, and ten by their notes."""
    lots = [{"table": "lot", "id": f"X-{n}", "good": "bar", "made_on": f"2027-07-{n:02}", "sources": []} for n in range(1, 9)]
    some = [*(person(f"p{n}", f"Xim {n}", "") for n in range(1, 9)), *lots]
    assert hits("x", rows=some) == [["p1", "p2", "p3", "p4", "p5", "X-8", "X-7", "X-6", "X-5", "X-4"]]
    noted = [row for n in range(1, 13) for row in order(f"o{n}", None, "pick_up", "promised", None, {}, note="zinnia")]
    assert hits("zinnia", rows=noted) == [[f"o{n}" for n in range(12, 2, -1)]]
    assert hits("a", rows=noted) == [[f"o{n}" for n in range(12, 7, -1)]]


def test_a_code_of_our_own_papers_is_that_and_nothing_else() -> None:
    codes = ("ORDER:o14", "LOT:W27-190-1\n", "ORDER:W27-190-1", "LOT:o14", "LOT:")
    told = hits(*(f" HONEYHOLD:{code}" for code in codes), "A-14", by="findScanned")
    assert told == [["o14"], ["W27-190-1"], [], [], [], ["o14", "ann"]]
    ours = in_page("store/find-all.js", "asked.map(here.isOurs)", [" HONEYHOLD:x", "A HONEYHOLD:ORDER:1", "9400"])
    assert ours == [True, False, False]
