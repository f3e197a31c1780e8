"""Everyday tasks (twenty and more), each done by a thumb on a phone within twelve touches besides typing; `scripts/everyday` tells the figures."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.devices import close_what_opens, owners_phone
from browser.everyday import MOST_TOUCHES, TASKS, Hand, Task
from browser.house_process import HouseProcess
from browser.moments import own_seed

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def hand(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hand]:
    """An owner's phone in a house of one's own; each task has people and orders of its own."""
    with HouseProcess(tmp_path_factory.mktemp("everyday") / "data", own_seed).running() as house, owners_phone(chromium, house, True, kernel=True) as device:
        device.wait_for("house.status.kernel.state === 'awake'", 90)
        device.hold(200)
        close_what_opens(device.page)
        yield Hand(device)


@pytest.mark.parametrize("task", TASKS, ids=[task.name for task in TASKS])
def test_a_task_takes_twelve_touches_at_most(hand: Hand, task: Task) -> None:
    task.does(hand)
    assert hand.thumb.touches <= MOST_TOUCHES, f"{task.name}: {hand.thumb.touches} touches"
    assert hand.device.status()["needsYou"] == []
