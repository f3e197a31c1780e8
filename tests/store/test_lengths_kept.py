"""How much of a text is kept: as much as the house takes (`operations/fields.py`), and not a letter more."""

from __future__ import annotations

import pytest

from honeyhold.operations.fields import TEXT_MAX
from store.in_page import in_page

SHORT_MAX = 200
OTHERS = ("name", "street", "unit", "city", "state", "zip")


@pytest.mark.parametrize("letters", [1, SHORT_MAX - 1, SHORT_MAX, SHORT_MAX + 1, TEXT_MAX - 1, TEXT_MAX, TEXT_MAX + 1])
def test_a_note_is_kept_as_long_as_the_house_takes_it_and_other_texts_as_a_line_is(letters: int) -> None:
    person = dict.fromkeys((*OTHERS, "note"), "a" * letters)
    kept = in_page("store/drafts.js", "(async () => here.personRows(asked, 'new').rows[0])()", person)
    assert {name: len(kept[name]) for name in OTHERS} == dict.fromkeys(OTHERS, min(letters, SHORT_MAX))
    assert len(kept["note"]) == min(letters, TEXT_MAX)
