"""Goal: a house killed in the middle of its work keeps all it answered. Method: the real server, killed under load (`kills.py`).

A sample; a hundred times: `scripts/storm_kills --times 100`.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from quick_disk import QUICK_DISK
from records.kills import kill_many

KILLS = 8


def test_kills_under_load_lose_nothing_that_was_answered() -> None:
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        figures = kill_many(Path(folder), KILLS, seed=1)
    assert figures["kills"] == KILLS and figures["answers_heard"] > KILLS
    assert figures["answers_cut_off"] > 0 and figures["backups_made_meanwhile"] > 0
