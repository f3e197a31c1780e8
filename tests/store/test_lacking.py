"""What still lacks before an order can be promised or sold: the blank that the Counter opens."""

from __future__ import annotations

from typing import Any

import pytest

from screens.rows import ROWS
from store.in_page import in_page

BARS = [{"good": "bar", "units": 5}]
NAMED, NUMBERED, ADDRESSED = {"name": "Somebody"}, {"phone": "+17155550109"}, {"name": "Somebody", "street": "1 Elm", "city": "Duluth"}


@pytest.mark.parametrize(("draft", "lacks"), [
    ({"way": "walk_in"}, "what"), ({"way": "walk_in", "lines": BARS}, None), ({"way": "walk_in", "lines": BARS, "pays": "check"}, None),
    ({"way": "walk_in", "lines": BARS, "pays": "later"}, "who"), ({"way": "walk_in", "lines": BARS, "pays": "later", "fresh": {}}, "who"),
    ({"way": "walk_in", "lines": BARS, "pays": "later", "fresh": NAMED}, None),
    ({"way": "walk_in", "lines": BARS, "pays": "later", "fresh": NUMBERED}, None),
    ({"way": "walk_in", "lines": BARS, "pays": "later", "person": "ann"}, None),
    ({"way": "pick_up", "lines": BARS}, "who"), ({"way": "pick_up", "lines": BARS, "fresh": NUMBERED}, "who"),
    ({"way": "pick_up", "fresh": NAMED}, "what"), ({"way": "pick_up", "lines": BARS, "fresh": NAMED}, None),
    ({"way": "post", "lines": BARS, "fresh": NAMED}, "where"), ({"way": "post", "lines": BARS, "fresh": ADDRESSED}, None),
])  # fmt: skip
def test_what_lacks(draft: dict[str, Any], lacks: str | None) -> None:
    """Nobody need be named who takes it along and pays; whoever owes it is asked for as they are by everybody else."""
    ann = [{"table": "person", "id": "ann", "name": "Ann Lark", "phone": "", "street": "", "city": "", "hidden": False}]
    body = "here.lacking({ ...here.emptyDraft(), ...asked }, known.view)"
    assert in_page("rooms/counter/draft.js", body, draft, [*ROWS, *ann]) == lacks
