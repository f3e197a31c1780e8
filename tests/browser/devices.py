"""A device under test: a page and the words to make it do what a keeper does, through the store's own functions."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Browser, Error, Page, expect

from browser.house_process import HouseProcess
from browser.kept_phones import PATIENT_S, lent

LEFT_OUT = (
    "WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup", "HttpsUpgrades", "HttpsFirstBalancedModeAutoEnable", "LensOverlay",
    "MediaRouter", "PaintHolding", "ThirdPartyStoragePartitioning", "AvoidCorsURLLoaderRestartOnRedirect", "OptimizationHints",
    "AvoidUnnecessaryBeforeUnloadCheckSync", "DestroyProfileOnBrowserClose", "NetworkTimeServiceQuerying", "PreconnectToSearch",
)  # fmt: skip
"""What the browser does not need here. The first three draw suggestions under an address line that nobody sees, in a process of their own for every
window: three quarters of what a new phone cost. The others are left out by the driver, whose own list is not heard beside this one."""
LAUNCH_ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", f"--disable-features={','.join(LEFT_OUT)}",
]  # fmt: skip
CHROMIUM = "/usr/bin/chromium"
"""Chromium as a person has it, windows and all: for a certificate that it trusts."""
WINDOWLESS = shutil.which("chromium-headless-shell") or CHROMIUM
"""The same engine without windows of its own, where the system has it: a fifth less work for everything else."""
WAIT_S = PATIENT_S

LOADED = """async () => {
  const [{ house }, acts, { find }, { known }, kernel] = await Promise.all([import('/store/house.js'), import('/store/acts.js'),
    import('/store/find.js'), import('/store/known.js'), import('/kernel/work.js')]);
  Object.assign(window, { house, acts, find, known, kernel });
  await house.start();
}"""


LOOKED = """const until = performance.now() + 400;
  for (;;) {{
    if (await ({condition})) return true;
    if (performance.now() > until) return false;
    await new Promise((later) => {{ setTimeout(later, 20); }});
  }}"""
"""Looks for a while in the page itself, in place of many questions to it; short enough for a page that loads itself anew."""
STILL = """() => {
  const ring = window.setTimeout;
  window.setTimeout = (work, wait_ms = 0, ...rest) => ring(() => { if (!(window.still && wait_ms >= 10_000)) work(...rest); }, wait_ms);
}"""
"""Once `still` is set no timer of ten seconds or more rings in this page: what comes then comes by itself, not by a later look."""
SETTLED = """async () => {
  const seen = () => new Promise((later) => requestAnimationFrame(() => requestAnimationFrame(later)));
  const ends = (one) => Number.isFinite(one.effect?.getComputedTiming().endTime);
  for (;;) {
    const parts = [...document.querySelectorAll('*')].filter((one) => one.updateComplete);
    await Promise.all(parts.map((one) => one.updateComplete));
    await Promise.all(document.getAnimations().filter(ends).map((one) => one.finished.catch(() => {})));
    await seen();
    if (!parts.some((one) => one.isUpdatePending) && !document.getAnimations().some(ends)) return;
  }
}"""


def settled(page: Page) -> None:
    """Until every part of the page is drawn as it is to be, and nothing moves."""
    page.evaluate(SETTLED)


def close_what_opens(page: Page) -> None:
    """Whatever this page opens in a window of its own is closed, as by a person who has seen it: behind another window a page is drawn once a
    second, and each touch takes five."""
    page.on("popup", lambda opened: opened.close())


class Device:
    """One window of one device."""

    def __init__(self, page: Page, address: str, load: bool = True) -> None:
        self.page = page
        self.address = address
        if load:
            page.goto(address)
            self.load()

    def load(self) -> None:
        """Makes the store's functions known to the test."""
        self.page.evaluate(LOADED)

    def js(self, script: str, *arguments: Any) -> Any:
        """Runs an async function body with `args`; gives what it returns."""
        return self.page.evaluate(f"async (args) => {{ {script} }}", list(arguments))

    def enrol(self, code: str, name: str) -> None:
        """Makes it a device of the house."""
        self.js("await house.enrol(...args)", code, name)

    def status(self) -> dict[str, Any]:
        """How it stands."""
        return dict(self.js("return JSON.parse(JSON.stringify(house.status))"))

    def promise(self, units: int, name: str = "Ruth Amsel", **rest: Any) -> dict[str, Any]:
        """An order for bars; what the act resolved with, or `{"error": kind, "text", "remedy", "message"}`."""
        draft = {"person": {"name": name, "phone": ""}, "lines": [{"good": "bar", "units": units}], "way": "post", **rest}
        return dict(self.js(
            """try { return await acts.promise(args[0]); } catch (error) {
                 if (!error.kind) throw error;
                 return { error: error.kind, text: error.text, remedy: error.remedy, message: error.message };
               }""", draft))  # fmt: skip

    def hold(self, units: int) -> int:
        """Asks for a share of bars; what it holds then."""
        return int(self.js("return house.ask('bar', args[0], 5)", units))

    def exchange(self) -> bool:
        """Says and hears everything; whether the house was heard."""
        return bool(self.js("return house.exchange()"))

    def cut_off(self) -> None:
        """No signal from here on, and nothing on its way any more: what an exchange had heard in that moment is laid, and known here."""
        self.page.context.set_offline(True)
        self.exchange()  # its turn comes after that of whatever was under way, in whichever window
        self.js("await (await import('/store/known.js')).load()")

    def wait_for(self, condition: str, wait_s: float = WAIT_S) -> None:
        """Waits until a condition over `house` holds; fails with how the device stands."""
        until = time.monotonic() + wait_s
        while not self._looked(condition):
            if time.monotonic() > until:
                raise AssertionError(f"Not within {wait_s} s: {condition}\n{self.status()}")

    def _looked(self, condition: str) -> bool:
        """Whether it came to hold within a moment; a page that loaded itself anew meanwhile is looked at again."""
        try:
            return bool(self.js(LOOKED.format(condition=condition)))
        except Error as trouble:
            if "context was destroyed" not in trouble.message:
                raise
            return False

    def wait_for_shell(self) -> None:
        """Until the service worker serves this page, so that it can start without the house."""
        self.wait_for("navigator.serviceWorker.controller !== null")


def open_anew(page: Page, address: str, place: str) -> None:
    """Opens a board as nobody has touched it; two addresses on the heels of each other would be one change to the page, and the board that stood kept."""
    page.goto(f"{address}/#settings/needs")
    expect(page.locator("needs-board h1")).to_be_visible()
    page.goto(f"{address}/#{place}")


@contextmanager
def owners_phone(chromium: Browser, house: HouseProcess, has_touch: bool = False, kernel: bool = False) -> Iterator[Device]:
    """An owner's phone, enrolled and with the pages kept; closed at the end. `kernel`: one that works things out by itself."""
    with lent(chromium, viewport={"width": 390, "height": 844}, has_touch=has_touch, kernel=kernel) as context:
        device = Device(context.new_page(), house.address)
        device.enrol(house.code(), "Shed phone")
        yield device
