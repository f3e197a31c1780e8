"""A small storm in real browsers, with a fixed seed; more seeds: `scripts/storm_browsers --seeds N`."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from browser.house_process import HouseProcess
from browser.storm_of_browsers import storm

pytestmark = pytest.mark.browser


def test_two_browsers_on_a_line_that_fails_in_every_way_lose_nothing_and_agree(chromium: Browser, house_server: HouseProcess) -> None:
    figures = storm(chromium, house_server, seed=3, steps=110)
    assert figures["entries"] > 30 and sum(figures["faults"].values()) > 30 and len(figures["faults"]) >= 8, figures
