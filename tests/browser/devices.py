"""A device under test: a page and the words to make it do what a keeper does, through the store's own functions."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from playwright.sync_api import Browser, Page, expect

if TYPE_CHECKING:
    from browser.house_process import HouseProcess

LAUNCH_ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
WAIT_S = 30

LOADED = """async () => {
  const [{ house }, acts, { find }, { known }, kernel] = await Promise.all([import('/store/house.js'), import('/store/acts.js'),
    import('/store/find.js'), import('/store/known.js'), import('/kernel/work.js')]);
  Object.assign(window, { house, acts, find, known, kernel });
  await house.start();
}"""


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

    def wait_for(self, condition: str, wait_s: float = WAIT_S) -> None:
        """Waits until a condition over `house` holds; fails with how the device stands."""
        until = time.monotonic() + wait_s
        while not self.js(f"return Boolean({condition})"):
            if time.monotonic() > until:
                raise AssertionError(f"Not within {wait_s} s: {condition}\n{self.status()}")
            self.page.wait_for_timeout(50)

    def wait_for_shell(self) -> None:
        """Until the service worker serves this page, so that it can start without the house."""
        self.wait_for("navigator.serviceWorker.controller !== null", 30)


def open_anew(page: Page, address: str, place: str) -> None:
    """Opens a board as nobody has touched it; two addresses on the heels of each other would be one change to the page, and the board that stood kept."""
    page.goto(f"{address}/#settings/needs")
    expect(page.locator("needs-board h1")).to_be_visible()
    page.goto(f"{address}/#{place}")


@contextmanager
def owners_phone(chromium: Browser, house: HouseProcess, has_touch: bool = False) -> Iterator[Device]:
    """An owner's phone, enrolled and with the pages kept; closed at the end."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=has_touch, service_workers="allow")
    context.set_default_timeout(15_000)
    device = Device(context.new_page(), house.address)
    device.enrol(house.code(), "Shed phone")
    yield device
    context.close()
