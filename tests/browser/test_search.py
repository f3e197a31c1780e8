"""Anything found from every screen: by its key and by the keyboard; a code of our own papers opens its order, and one of nobody's nothing."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess
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
    with owners_phone(chromium, house_server, has_touch=True) as device:
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


CAMERA = """
  window.inSight = [];
  window.BarcodeDetector = class {
    static async getSupportedFormats() { return ['qr_code']; }
    async detect() { return window.inSight.map((rawValue) => ({ rawValue })); }
  };
  const canvas = document.createElement('canvas');
  const drawn = canvas.getContext('2d');
  setInterval(() => drawn.fillRect(0, 0, 9, 9), 50); // a picture that stands still is none for a stream
  navigator.mediaDevices.getUserMedia = async () => (window.stream = canvas.captureStream(10));"""
DARK = "window.stream.getTracks().every(({ readyState }) => readyState === 'ended')"


def test_the_camera_is_stopped_and_tells_our_codes_from_a_carriers(chromium: Browser, house_server: HouseProcess) -> None:
    """Its key stops it; the search opens what our code names; a tracking number is never our own code, and the camera ends with the order."""
    with owners_phone(chromium, house_server) as device:
        device.hold(20)
        page, order = device.page, device.js(KEPT)
        page.evaluate(CAMERA)
        page.locator("house-head").get_by_role("button", name="search").click()
        sheet = page.get_by_role("dialog", name="Search")
        sheet.get_by_role("button", name="scan a code").click()
        expect(sheet.get_by_label("What the camera sees")).to_be_visible()
        device.wait_for("window.stream")
        sheet.get_by_role("button", name="stop the camera").click()
        expect(sheet.get_by_label("What the camera sees")).to_have_count(0)
        device.wait_for(DARK)
        page.evaluate("code => { window.inSight = [code]; }", "HONEYHOLD:ORDER:nobodys")
        sheet.get_by_role("button", name="scan a code").click()
        expect(sheet.get_by_role("status")).to_contain_text("Nothing here goes by that.")
        expect(sheet.get_by_role("textbox")).to_have_value("")
        page.evaluate("code => { window.inSight = [code]; }", f"HONEYHOLD:ORDER:{order}")
        sheet.get_by_role("button", name="scan a code").click()
        expect(page.get_by_text("order A-1 · taken")).to_be_visible()
        form = page.locator("tracking-form")
        form.get_by_role("button", name="scan it").click()
        expect(form.get_by_label("What the camera sees")).to_be_visible()
        page.evaluate("code => window.inSight.push(code)", "ZZ987654321")
        expect(form.get_by_role("textbox")).to_have_value("ZZ987654321")
        page.evaluate("() => { window.inSight = []; }")
        form.get_by_role("button", name="scan it").click()
        expect(form.get_by_label("What the camera sees")).to_be_visible()
        page.evaluate("() => { location.hash = 'book'; }")
        device.wait_for(DARK)
