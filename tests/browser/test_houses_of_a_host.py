"""Two houses of one server in one browser: each under an address of its own, and neither sees what the other keeps there."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext

from browser.devices import Device
from honeyhold.house.clock import machine_time
from hosting.many import database, houses
from hosting.processes import running

pytestmark = pytest.mark.browser

NAME = "return house.view.setting('name')"


def test_a_browser_is_a_device_of_two_houses_of_one_server(empty_phone_context: BrowserContext, tmp_path: Path) -> None:
    with database() as address:
        with houses(address, tmp_path, "willow", "maple", now=machine_time) as many:
            codes = {}
            for name in ("willow", "maple"):
                with many.lent(name) as house:
                    codes[name] = house.new_code()["code"]
        with running(address, tmp_path) as server:
            for name, code in codes.items():
                device = Device(empty_phone_context.new_page(), f"http://{name}.localhost:{server.port}")
                device.enrol(code, f"Phone of {name}")
                assert device.exchange()
                device.page.reload()
                device.load()
                assert device.js(NAME) == f"House of {name}"
            assert len(empty_phone_context.pages) == 2
