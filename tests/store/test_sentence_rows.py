"""Half-made sentences of several windows: whose they are, and which of them a window has left that is gone."""

from __future__ import annotations

import pytest

from goods.in_node import WEB
from store.in_page import in_page

ASK = """(async () => {
  const { WINDOW } = await (await import(asked.turn));
  navigator.locks.query = async () => ({ held: asked.held.map((name) => ({ name: `honeyhold-${name}` })), pending: [] });
  const owners = { ours: WINDOW, theirs: 'window-b', gone: 'window-c', parked: null };
  known.sentences = new Map(asked.there.map((id, at) => [id, { id, owner: owners[id], changed_at: `2027-07-2${at}`, draft: {} }]));
  return [(await here.leftBehind()).sort(), [...(await here.writtenElsewhere())].sort(), here.latestFirst().map(({ id }) => id)];
})()"""


@pytest.mark.parametrize(("there", "held", "left", "elsewhere"), [
    (["ours", "theirs", "gone", "parked"], ["sentence-ours", "sentence-theirs"], ["gone"], ["theirs"]),
    (["ours", "theirs"], ["sentence-ours", "sentence-theirs", "log"], [], ["theirs"]),
    (["theirs", "gone"], [], ["gone", "theirs"], []),
    (["ours"], ["sentence-ours"], [], []), (["parked"], [], [], []), ([], [], [], []),
])  # fmt: skip
def test_whose_a_sentence_is(there: list[str], held: list[str], left: list[str], elsewhere: list[str]) -> None:
    asked = {"there": there, "held": held, "turn": (WEB / "store/turn.js").as_uri()}
    assert in_page("store/sentence-rows.js", ASK, asked) == [left, elsewhere, there[::-1]]
