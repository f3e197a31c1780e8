"""Anything found from every screen: by its key and by the keyboard; a code of our own papers opens its order, and one of nobody's nothing."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device
from browser.every_screen import Hands
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from honeyhold.api.documents import code_rows

pytestmark = pytest.mark.browser

KEPT = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth', note: 'blue porch' });
  const { order } = await acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units: 10 }], way: 'post', note: 'ring the bell' });
  const { parcels } = await acts.pack(order, { parcels: [{ gross_g: 400 }] });
  await acts.track(parcels[0], 'AB123456789');
  return order;"""
FOUND = "const { findAll } = await import('/store/find-all.js'); return findAll(args[0]).map(({ kind, id }) => [kind, id])"
SQUARE = """
  const { readSquare } = await import('/parts/scan.js'); const [rows] = args; const size = (rows.length + 8) * 4;
  const picture = new OffscreenCanvas(size, size).getContext('2d');
  picture.fillStyle = '#fff'; picture.fillRect(0, 0, size, size); picture.fillStyle = '#000';
  rows.forEach((row, y) => [...row].forEach((module, x) => module === '1' && picture.fillRect((x + 4) * 4, (y + 4) * 4, 4, 4)));
  return readSquare(picture.getImageData(0, 0, size, size));"""
SCANNED = "const { findScanned } = await import('/store/find-all.js'); return findScanned(args[0]).map(({ kind, id }) => [kind, id])"


def test_anything_is_found_from_every_screen(chromium: Browser, house_server: HouseProcess) -> None:
    with lent(chromium, viewport={"width": 390, "height": 844}, has_touch=True) as context:
        device = Device(context.new_page(), house_server.address)
        device.enrol(house_server.code(), "Shed phone")
        device.hold(20)
        order = device.js(KEPT)
        hands, page = Hands(device), device.page
        lot = device.js("return [...house.view.lots.keys()][0]")
        assert device.js(FOUND, "ann")[0] == ["person", "ann"] and ["person", "ann"] in device.js(FOUND, "0142")
        for text in ("A-1", "a1", "ab1234", "bell ring"):
            assert ["order", order] in device.js(FOUND, text), text
        assert ["person", "ann"] in device.js(FOUND, "porch") and ["lot", lot] in device.js(FOUND, lot[:6].lower())
        assert device.js(FOUND, "zzzz") == [] and device.js(FOUND, " - ") == []
        assert device.js(SCANNED, f"HONEYHOLD:ORDER:{order}") == [["order", order]]
        assert device.js(SCANNED, f"HONEYHOLD:LOT:{lot}") == [["lot", lot]] and device.js(SCANNED, "HONEYHOLD:ORDER:nobodys") == []
        rows = code_rows(f"HONEYHOLD:ORDER:{order}")
        assert device.js(SQUARE, rows) == f"HONEYHOLD:ORDER:{order}", "another library reads what stands on the slip"
        for room in ("counter", "shelf", "bench", "melt", "book", "settings/house"):
            hands.go(room)
            page.locator("house-head").get_by_role("button", name="search").tap()
            sheet = page.get_by_role("dialog", name="Search")
            expect(sheet).to_be_visible()
            sheet.get_by_role("button", name="close").tap()
            expect(sheet).to_have_count(0)
        page.locator("main").focus()
        page.keyboard.press("/")
        page.wait_for_function("() => document.activeElement?.matches('search-sheet input')")
        page.keyboard.type("a-1")
        page.keyboard.press("Enter")
        expect(page.get_by_text("order A-1 · taken")).to_be_visible()
