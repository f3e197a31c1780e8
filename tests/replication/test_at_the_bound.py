"""Where what a device may write turns, each met exactly and missed by the least there is."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from marshmallow import ValidationError

from honeyhold.operations import setting_shapes
from honeyhold.operations.canonical import LARGEST_EXACT, NotCanonical, canonical_json
from honeyhold.operations.errors import Refused
from honeyhold.operations.fields import TEXT_MAX, Plain, _count
from honeyhold.operations.kinds import own, shelf
from honeyhold.operations.kinds.money import change_given
from honeyhold.operations.schemas import WORDS_MAX, in_words
from honeyhold.operations.setting_shapes import PICTURE_MAX, PICTURES, PRICES_MAX
from honeyhold.operations.waiting_lines import ROWS_MAX, _shared_out


@pytest.mark.parametrize(("given_cents", "taken"), [(500, True), (499, False), (501, True)])
def test_as_much_cash_as_is_paid_may_be_handed_over(given_cents: int, taken: bool) -> None:
    row = {"how": "cash", "cents": 500, "given_cents": given_cents}
    if taken:
        change_given(row)
    else:
        with pytest.raises(Refused, match="499 cents for 500"):
            change_given(row)


def test_a_day_may_be_as_warm_as_it_is_cool() -> None:
    def of(low: int, high: int) -> Any:
        days = [{"day": "2026-07-20", "min_tenths": low, "max_tenths": high}]
        return SimpleNamespace(of=lambda _: [{"id": "548", "days": days}])

    own.foretell(of(210, 210))
    with pytest.raises(Refused, match="from 211 to 210"):
        own.foretell(of(211, 210))


@pytest.mark.parametrize(("here", "taken", "there"), [(5, -5, True), (5, -6, False), (0, 0, True), (0, 1, True)])
def test_the_last_of_it_may_be_taken_away_again(here: int, taken: int, there: bool) -> None:
    records: Any = SimpleNamespace(first=lambda _: {"on_hand": here, "units": here}, row=lambda *_: {"plural": "wax bars"})
    if there:
        shelf._still_there(SimpleNamespace(records=records), "bar", "", taken)  # type: ignore[arg-type]
    else:
        with pytest.raises(Refused, match="takes 6 of wax bars away; 5 of it is still there"):
            shelf._still_there(SimpleNamespace(records=records), "bar", "", taken)  # type: ignore[arg-type]


@pytest.mark.parametrize("sign", [1, -1])
def test_the_largest_whole_number_that_every_device_reads_alike_is_kept(sign: int) -> None:
    """2^53 - 1 (RFC 8259, section 6)."""
    assert str(sign * LARGEST_EXACT) in canonical_json({"a": sign * LARGEST_EXACT}) and _count([sign * LARGEST_EXACT]) == 2
    with pytest.raises(NotCanonical, match="too large"):
        canonical_json({"a": sign * (LARGEST_EXACT + 1)})
    with pytest.raises(ValidationError, match="Fractions"):
        _count([sign * (LARGEST_EXACT + 1)])


def test_so_many_values_and_no_more() -> None:
    field = Plain(list, entries_max=10)
    assert field.deserialize([0] * 9) == [0] * 9
    with pytest.raises(ValidationError, match="more than 10 values"):
        field.deserialize([0] * 10)


@pytest.mark.parametrize(("taken", "most", "begins"), [
    (setting_shapes._text, TEXT_MAX, ""), (setting_shapes._long_text, PRICES_MAX, ""), (setting_shapes._picture, PICTURE_MAX, PICTURES[0]),
])  # fmt: skip
def test_a_setting_is_so_long(taken: Any, most: int, begins: str) -> None:
    assert taken(begins.ljust(most, "x")) and not taken(begins.ljust(most + 1, "x"))


def test_words_on_labels_are_a_title_and_words() -> None:
    both = {"title": "a", "words": "b"}
    assert setting_shapes._label_words({"jar": both}) and setting_shapes._label_words({"jar": {"title": "a"}})
    assert not setting_shapes._label_words({"jar": {**both, "more": "c"}})


@pytest.mark.parametrize("letters", [WORDS_MAX, WORDS_MAX + 1])
def test_what_is_wrong_is_said_in_so_many_letters(letters: int) -> None:
    said = in_words({"a": ["x" * (letters - len("a: "))]})
    assert len(said) == WORDS_MAX and said.endswith("\u2026") == (letters > WORDS_MAX)


@pytest.mark.parametrize("more", [0, 1])
def test_of_a_long_queue_a_page_is_served_first(more: int) -> None:
    """Lines of a full page are all served; of one line more what was added after it waits."""
    lines = [{"id": f"l{at:03}", "queue": [[at, 1], [1000 + at, 1]]} for at in range(ROWS_MAX + more)]
    given = _shared_out(lines, 10**6)
    assert len(given) == ROWS_MAX and sum(given.values()) == (ROWS_MAX if more else 2 * ROWS_MAX)
