"""Names are folded ahead of the first letter, a few hundred at a time, and then no more."""

from __future__ import annotations

import pytest

from goods.in_node import in_node

FOLDED = """(() => {
  let asked_for = 0;
  globalThis.requestIdleCallback = (work) => { if ((asked_for += 1) < 50) work(); };
  here.foldWhenIdle(Array.from({ length: asked }, (_, n) => ({ id: `p${n}`, name: `Ann ${n}`, phone: '' })));
  return asked_for;
})()"""


@pytest.mark.parametrize(("people", "turns"), [(0, 1), (1, 1), (250, 1), (251, 2), (750, 3)])
def test_it_comes_to_an_end(people: int, turns: int) -> None:
    assert in_node("store/find.js", FOLDED, people) == turns
