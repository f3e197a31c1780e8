"""Goal: what a device makes of any answer of the main computer, and however it stands when the answer comes; method: see `rounds`."""

from __future__ import annotations

import json

from every_call.rounds import KEPT, SITUATIONS, rounds


def test_a_round_ends_as_before() -> None:
    told = rounds()
    assert all(situation["name"] in told for situation in SITUATIONS)
    assert told == json.loads(KEPT.read_text("utf-8"))
