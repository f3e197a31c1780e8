"""The kernel in the browser gives the house's answers, also without the house; and when it cannot start it says so."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Worker

from browser.conftest import PHONE_PX, sized
from browser.devices import Device
from browser.house_process import GOODS, Gate, HouseProcess
from browser.kept_phones import lent
from honeyhold.kernel import work

pytestmark = pytest.mark.browser

MELT_BY = {
    "good": {"name": "wax bar", "plural": "wax bars"}, "today": "2026-07-20", "free_units": 23, "waiting_units": 3,
    "sales": [{"on": f"2026-07-{day:02d}", "units": units} for day, units in ((2, 5), (5, 10), (9, 5), (13, 5), (17, 10))],
}  # fmt: skip
SENTENCE = {
    "person": {"name": "Ruth Amsel"}, "lines": [{"good": "bar", "units": 10}], "today": "2026-07-20",
    "goods": {"bar": {"name": "wax bar", "plural": "wax bars", "short": "bars"}}, "way": "post", "owed_cents": 3140, "pays": "check",
}  # fmt: skip
CALL = {
    "goods": [{key: value for key, value in good.items() if key != "table"} for good in GOODS],
    "cartons": [{"id": "small", "name": "small carton", "inner": ["8 in", "6 in", "4 in"], "outer": ["8 1/4 in", "6 1/4 in", "4 1/4 in"],
                 "tare_g": 110, "max_gross_g": 9000, "cost_cents": 60, "in_stock": 5}],
    "house": {"zip": "54843"}, "lines": [{"good": "bar", "units": 10}], "to": {"zip": "74103", "state": "OK", "city": "Tulsa"}, "way": "post",
    "leave_on": "2026-07-20", "today": "2026-07-20", "dressing": "plain", "posting": None, "forecast": None,
}  # fmt: skip
ROOT = Path(__file__).resolve().parents[2]
WAKING_WAIT_S = 90
DEATHS = 3


@pytest.fixture
def phone_context(chromium: Browser) -> Iterator[BrowserContext]:
    """A phone with the kernel in its pages."""
    with lent(chromium, viewport=sized(PHONE_PX), kernel=True) as context:
        yield context


@pytest.fixture(scope="module")
def open_gate(house_of_the_file: HouseProcess) -> Iterator[Gate]:
    """A gate that lets the kernel's files through, built from the Python as it is now."""
    subprocess.run([ROOT / "scripts/build_kernel"], check=True, capture_output=True, timeout=120)
    gate = Gate(house_of_the_file)
    gate.kernel = True
    yield gate
    gate.close()


@pytest.fixture(scope="module")
def awake(chromium: Browser, house_of_the_file: HouseProcess, open_gate: Gate) -> Iterator[Device]:
    """A device whose kernel has woken; one for all tests here, since waking is the costly part."""
    context = chromium.new_context(service_workers="allow")
    device = Device(context.new_page(), open_gate.address)
    device.enrol(house_of_the_file.code(), "Laptop")
    device.js("kernel.wakeKernel()")
    device.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    yield device
    context.close()


def kernel_of(page: Page) -> Worker:
    """The worker that the kernel runs in; the test may be told of it later than it speaks in the page."""
    return page.workers[-1] if page.workers else page.wait_for_event("worker")


def same(here: Any, there: Any) -> None:
    """Equal; fractions to the door's stated precision of four places (a rounding may fall either way in the last)."""
    if isinstance(here, dict):
        assert here.keys() == there.keys()
        for key, value in here.items():
            same(value, there[key])
    elif isinstance(here, list):
        assert len(here) == len(there)
        for one, other in zip(here, there, strict=True):
            same(one, other)
    elif isinstance(here, float) or isinstance(there, float):
        assert here == pytest.approx(there, abs=1.01e-4)
    else:
        assert here == there


# Where heat is judged from few draws, by a held parcel too, and where it lies near the limit and is judged from many.
HOT, NEAR = {**CALL, "to": {"zip": "85281"}}, {**CALL, "to": {"zip": "59801"}}


@pytest.mark.parametrize(
    ("name", "request_"),
    [("stock.melt_by", MELT_BY), ("stock.order_sentence", SENTENCE), ("quoting.call", CALL), ("quoting.call", HOT), ("quoting.call", NEAR)],
)
def test_the_kernel_answers_as_the_house_does(awake: Device, open_gate: Gate, name: str, request_: dict[str, Any]) -> None:
    """The same question at the house's door, in the browser (the house out of reach) and in Python here: one answer."""
    from_house = awake.js("return house.call(`/api/work/${args[0]}`, { body: args[1] })", name, request_)
    open_gate.mishap = lambda _path: "shut"
    from_kernel = awake.js("return kernel.work(args[0], args[1], { wait_s: 30 })", name, request_)
    open_gate.mishap = lambda _path: None
    same(from_kernel, from_house)
    same(from_kernel, work(name, request_))


def test_a_refusal_by_the_work_is_no_unknown(awake: Device) -> None:
    """The kernel's own errors come with message and remedy; only silence is `unknown`."""
    error = awake.js("return kernel.work('stock.melt_by', {}).catch((error) => [error.unknown, error.message, error.remedy])")
    assert error[0] is False and error[1] and error[2]


def test_it_wakes_without_the_house_once_its_files_are_here(awake: Device, open_gate: Gate) -> None:
    """The files were fetched and checked once; the next start needs no line."""
    awake.wait_for_shell()
    open_gate.mishap = lambda _path: "shut"
    awake.page.reload()
    awake.load()
    awake.js("kernel.wakeKernel()")
    awake.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    assert awake.js("return house.status.kernel.start_s") > 0
    open_gate.mishap = lambda _path: None


MEANWHILE = """window.meanwhile = (async () => {
    const until = performance.now() + 60_000;
    while (!kernel.means().startsWith('false')) {
      if (performance.now() > until) throw new Error('its death was not noticed');
      await new Promise((later) => setTimeout(later, 20));
    }
    return kernel.work('stock.melt_by', args[0]);
  })();"""
"""Asked in the very moment in which there is no kernel: a second later there is the next one."""


@pytest.mark.parametrize("death", ["self.close()", "setTimeout(() => { throw new Error('out of memory') })"])
def test_a_kernel_that_died_is_started_again_and_the_house_is_asked_meanwhile(awake: Device, open_gate: Gate, death: str) -> None:
    """It goes without a word, or with an error: the next questions are answered by the house, and soon by a new kernel."""
    awake.page.reload()  # each death in a page of its own
    awake.load()
    awake.js("kernel.wakeKernel()")
    awake.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    asked: list[str] = []
    open_gate.mishap = asked.append
    awake.js(MEANWHILE, MELT_BY)
    kernel_of(awake.page).evaluate(f"() => {{ {death} }}")
    awake.js("await kernel.work('stock.melt_by', args[0], { wait_s: 0.5 }).catch(() => {})", MELT_BY)  # nobody could know yet
    same(awake.js("return window.meanwhile"), work("stock.melt_by", MELT_BY))
    assert "/api/work/stock.melt_by" in asked
    open_gate.mishap = lambda _path: None
    awake.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    same(awake.js("return kernel.work('stock.melt_by', args[0])", MELT_BY), work("stock.melt_by", MELT_BY))


DYING = """([state, times]) => {
  window.seen = [];
  house.subscribe(() => { if (window.seen.at(-1) !== house.status.kernel.state) window.seen.push(house.status.kernel.state); });
  const Plain = window.Worker;
  window.Worker = class extends Plain {  // one that ends without a word when it has said that it is so far, a few times
    constructor(...given) {
      super(...given);
      this.addEventListener("message", ({ data }) => { if (data.state === state && times-- > 0) this.terminate(); });
    }
  };
}"""


def test_a_kernel_that_dies_without_a_word_again_and_again_is_started_each_time(awake: Device) -> None:
    """Three deaths in one page while it starts: none has to wait for a question that nobody answers. Once it is there: the test before,
    and `tests/store/test_kernel_page.py`."""
    awake.page.reload()
    awake.load()
    awake.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)  # by itself; what dies is started anew
    awake.page.evaluate(DYING, ["waking", DEATHS])
    kernel_of(awake.page).evaluate("() => { self.close() }")
    awake.wait_for(f"window.seen.filter((state) => state === 'unavailable').length === {DEATHS + 1}", 2 * WAKING_WAIT_S)
    awake.wait_for("window.seen.at(-1) === 'awake'", WAKING_WAIT_S)
    assert awake.js("return window.seen.filter((one) => one === 'fetching').length") == DEATHS + 1
    same(awake.js("return kernel.work('stock.melt_by', args[0], { wait_s: 60 })", MELT_BY), work("stock.melt_by", MELT_BY))


def test_without_kernel_and_house_it_is_unknown(device: Device, gate: Gate) -> None:
    """Neither can be asked: it says so soon, and an order is taken all the same."""
    gate.mishap = lambda _path: "shut"
    device.exchange()
    error = device.js("return kernel.work('stock.melt_by', {}, {wait_s: 0.5}).catch((error) => [error.unknown, error.remedy])")
    assert error == [True, "Go on without it; it is worked out when the main computer is in reach again."]
    assert device.promise(1)["order"]


def test_a_damaged_file_is_not_run(phone_context: BrowserContext, house_server: HouseProcess, gate: Gate) -> None:
    """A file that is not what the manifest says is not kept, and the state says that nothing can be worked out here."""
    gate.kernel = True  # before the page is there: it wakes its kernel by itself
    gate.mishap = lambda path: "half an answer" if path.endswith("/pyodide.mjs") else None
    device = Device(phone_context.new_page(), gate.address)
    device.enrol(house_server.code(), "Shed phone")
    device.js("kernel.wakeKernel()")
    device.wait_for("house.status.kernel.state === 'unavailable'")
    assert "half an answer" in gate.fired
    assert "not available on this device" in device.status()["kernel"]["why"]


def test_taking_an_order_never_waits_for_the_kernel(phone: Page) -> None:
    """The store loads no kernel file by itself before the page is idle."""
    loaded = phone.evaluate("performance.getEntriesByType('resource').map((entry) => entry.name)")
    assert not [name for name in loaded if "/kernel/built/" in name]
