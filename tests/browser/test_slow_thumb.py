"""A short sample of the thumb that changes its mind over slow answers; `scripts/thumb` plays hundreds."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.slow_thumb import desk, play

pytestmark = pytest.mark.browser
SEEDS = (1, 2, 3)
MOST_S = 2.0


def test_what_was_read_is_what_was_written(chromium: Browser, tmp_path: Path) -> None:
    with desk(chromium, tmp_path) as (device, line):
        for seed in SEEDS:
            told = play(device, line, seed, MOST_S)
            assert told.wrong == [], told
