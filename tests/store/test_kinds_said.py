"""Every entry that a device may write is called by its own words where it is spoken of."""

from __future__ import annotations

from goods.in_node import in_node
from honeyhold.operations.kinds import KINDS


def test_every_kind_a_device_may_write_has_words() -> None:
    words: dict[str, str] = in_node("rooms/settings/kinds.js", "here.KINDS")
    written = {kind.name for kind in KINDS.values() if kind.who in {"all", "keeper"}}
    assert len(written) > 20 and written - set(words) == set()
    assert all(said.strip() for said in words.values())
