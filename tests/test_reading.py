"""American spelling by a list of words that is not ours, and how hard the longest texts are to read.

Sources: codespell's lists (British beside American spelling; slips of the pen); Kincaid, Fishburne, Rogers and Chissom, Derivation of New
Readability Formulas for Navy Enlisted Personnel (1975): the grade. That a grade under nine is read with ease by most is common practice.
"""

from __future__ import annotations

import re
import sys
from importlib.resources import files

import pytest

from test_repository import ROOT
from test_words import the_script

sys.path.insert(0, str(ROOT / "scripts"))

from words_reading import grade, syllables  # noqa: E402

HARDEST_GRADE, MEAN_GRADE = 9.0, 5.0
NAMED = {"nd"}  # North Dakota, in the table of places


def words_of(list_name: str) -> dict[str, str]:
    """What should not be written, with what should."""
    lines = (files("codespell_lib") / "data" / list_name).read_text("utf-8").splitlines()
    return dict(line.split("->", 1) for line in lines if "->" in line)


@pytest.fixture(scope="module")
def wrong() -> dict[str, str]:
    return words_of("dictionary.txt") | words_of("dictionary_en-GB_to_en-US.txt")


def misspelled(text: str, wrong: dict[str, str]) -> list[str]:
    """Each word that the lists would write otherwise, with theirs."""
    found = (word.lower() for word in re.findall(r"[A-Za-z]+(?:'[a-z]+)?", text))
    return [f"{word}: {wrong[word]}" for word in found if word in wrong and word not in NAMED]


def test_every_word_is_spelled_as_americans_do(wrong: dict[str, str]) -> None:
    said = the_script().everything()
    assert len(said) > 3000
    found = [f"{one.file}:{one.line}: {slip}" for one in said for slip in misspelled(one.words, wrong)]
    assert found == []


def test_the_pages_for_owners_are_spelled_so_too(wrong: dict[str, str]) -> None:
    for page in (ROOT / "README.md", ROOT / "demo_seed/wall-card.html"):
        assert misspelled(page.read_text("utf-8"), wrong) == [], page.name


def test_the_lists_know_a_slip_when_they_see_one(wrong: dict[str, str]) -> None:
    assert len(misspelled("The neighbour's moulds are grey; she recieved a cheque.", wrong)) >= 3


@pytest.mark.parametrize(("word", "count"), [("bar", 1), ("honey", 2), ("parcel", 2), ("sale", 1), ("promised", 2), ("needed", 2),
                                             ("little", 2), ("wax", 1), ("certificate", 4), ("the", 1), ("gave", 1)])  # fmt: skip
def test_syllables_as_a_dictionary_divides_them(word: str, count: int) -> None:
    assert syllables(word) == count


def test_the_grade_is_the_formula_of_its_authors() -> None:
    """Three words of one syllable each in one sentence: 0.39 x 3 + 11.8 x 1 - 15.59."""
    assert grade("The wax cools.") == pytest.approx(0.39 * 3 + 11.8 - 15.59)
    assert grade("Notwithstanding considerable precipitation, transportation authorities authorized continuation.") > 20


def test_the_longest_hundred_are_easily_read() -> None:
    graded = the_script().longest()
    assert len(graded) == 100
    assert [f"{level:.1f} {said.words}" for level, said in graded if level > HARDEST_GRADE] == []
    assert sum(level for level, _ in graded) / len(graded) < MEAN_GRADE
