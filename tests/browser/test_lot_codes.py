"""Two devices pour on one day, neither in reach of the house: two lots, each under the code that is on its labels already."""

from __future__ import annotations

import re

import pytest

from browser.devices import Device

pytestmark = pytest.mark.browser


def test_two_devices_pour_on_one_day_without_signal(device: Device, other_device: Device) -> None:
    codes = []
    for one in (device, other_device):
        assert one.exchange()  # each has heard of the other
    for one in (device, other_device):
        one.page.context.set_offline(True)
        made = one.js("return acts.make({ lots: [{ good: 'bar', units: 10 }], made_on: '2026-08-10' })")
        codes += made["lots"]
    marks = [one.status()["device"]["mark"] for one in (device, other_device)]
    assert [re.sub(r"\d+$", "", code)[-1] for code in codes] == marks and len(set(codes)) == 2
    for one in (device, other_device):
        one.page.context.set_offline(False)
        assert one.exchange() and one.status()["needsYou"] == []
    assert device.exchange()
    for code in codes:
        assert device.js("return house.view.lotBalance('bar').find(({ lot }) => lot === args[0])?.units", code) == 10
