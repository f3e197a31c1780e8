"""Fixtures for tests in a real Chromium: a house that is served, a gate before it, and devices to look at it."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, ViewportSize, expect, sync_playwright

from browser.devices import LAUNCH_ARGUMENTS, WINDOWLESS, Device
from browser.finger import look_first
from browser.house_process import Gate, HouseProcess
from browser.kept_phones import PATIENT_MS, lent, without_kernel
from browser.lanes import SOURCES
from browser.moments import demo_seed
from browser.packing import at_the_bench, season

expect.set_options(timeout=PATIENT_MS)
look_first()
HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PHONE_PX = (390, 844)
TABLET_PX = (1024, 768)


LONGEST_FIRST = [
    "test_every_field_has_a_screen.py", "test_first_morning.py", "test_every_state.py", "test_kernel.py", "test_bench_room.py", "test_bench_mixed.py",
    "test_everyday.py", "test_heat.py", "test_stream.py", "test_read_and_written.py", "test_log.py", "test_offline.py", "test_papers.py",
    "test_call_in_view.py", "test_story.py", "test_melt_room.py", "test_storage.py", "test_other_engines.py",
]  # fmt: skip
"""As measured: a long file that is begun last has one hand working and the other waiting at the end."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The files that take longest come first; within a file nothing moves."""
    ranks = {name: rank for rank, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: ranks.get(item.path.name, len(ranks)) if item.path.parent == HERE else -1)


def sized(size_px: tuple[int, int]) -> ViewportSize:
    """A window of that size."""
    return {"width": size_px[0], "height": size_px[1]}


@pytest.fixture(scope="session", autouse=True)
def built_shell() -> None:
    """What is tested is what ships: the app is built first, out of the sources as they are, unless these are asked for as they stand."""
    if os.environ.get(SOURCES):
        return
    node = shutil.which("node", path=f"{ROOT / '.venv/bin'}{os.pathsep}{os.environ.get('PATH', '')}") or "node"
    subprocess.run([node, ROOT / "scripts/build_shell"], check=True, stdout=subprocess.DEVNULL)


@pytest.fixture(scope="session")
def playwright_driver() -> Iterator[Playwright]:
    """One driver for the whole run."""
    with sync_playwright() as driver:
        yield driver


def launch(driver: Playwright) -> Browser:
    """The browser that all tests use."""
    return driver.chromium.launch(executable_path=WINDOWLESS, args=LAUNCH_ARGUMENTS)


@pytest.fixture(scope="session")
def chromium(playwright_driver: Playwright) -> Iterator[Browser]:
    """One browser for the whole run; each test has contexts of its own."""
    browser = launch(playwright_driver)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> HouseProcess:
    """The records of a house with two goods and four hundred bars, to be copied."""
    return HouseProcess(tmp_path_factory.mktemp("template") / "data")


@pytest.fixture(scope="session")
def demo_template(tmp_path_factory: pytest.TempPathFactory) -> HouseProcess:
    """The records of the demo house on its Saturday, to be copied."""
    return HouseProcess(tmp_path_factory.mktemp("demo-template") / "data", season)


@pytest.fixture
def house_server(template: HouseProcess, tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    """A served house with two goods and four hundred bars, this test's own; `.address`, `.code()`, `.stop()`, `.start()`."""
    with HouseProcess.copied(template, tmp_path_factory.mktemp("house") / "data").running() as house:
        yield house


@pytest.fixture(scope="module")
def house_of_the_file(template: HouseProcess, tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    """The same for a whole file: where one device, whose waking is the costly part, goes through all its tests."""
    with HouseProcess.copied(template, tmp_path_factory.mktemp("house") / "data").running() as house:
        yield house


@pytest.fixture(scope="module")
def device_of_the_file(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """An enrolled phone of that house, for tests of a file that write nothing: they ask what its code makes of what they bring along."""
    with lent(chromium, viewport=sized(PHONE_PX)) as context:
        device = Device(context.new_page(), house_of_the_file.address)
        device.enrol(house_of_the_file.code(), "Shed phone")
        yield device


@pytest.fixture
def demo_house(demo_template: HouseProcess, tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    """The demo house on its Saturday, served; this test's own, so that none waits for what another has not handed over yet."""
    with HouseProcess.copied(demo_template, tmp_path_factory.mktemp("demo") / "data").running() as house:
        yield house


@pytest.fixture(scope="module")
def shown_house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    """The demo house as it is photographed, for a whole file that only looks."""
    with HouseProcess(tmp_path_factory.mktemp("shown") / "data", demo_seed).running() as house:
        yield house


@pytest.fixture
def bench(chromium: Browser, demo_house: HouseProcess) -> Iterator[Device]:
    """An enrolled phone of the demo house, for which the house works everything out."""
    with at_the_bench(chromium, demo_house) as device:
        yield device


@pytest.fixture
def knowing_bench(chromium: Browser, demo_house: HouseProcess) -> Iterator[Device]:
    """The same phone with its kernel awake: it works everything out without signal."""
    with at_the_bench(chromium, demo_house, kernel=True) as device:
        yield device


@pytest.fixture
def gate(house_server: HouseProcess) -> Iterator[Gate]:
    """The line between the devices and the house, which a test may cut."""
    gate = Gate(house_server)
    yield gate
    gate.close()


@pytest.fixture
def phone_context(chromium: Browser) -> Iterator[BrowserContext]:
    """A phone that knows no house; it may have the app's pages from before."""
    with lent(chromium, viewport=sized(PHONE_PX)) as context:
        yield context


@pytest.fixture
def empty_phone_context(chromium: Browser) -> Iterator[BrowserContext]:
    """An empty phone: its own storage, nothing cached; the kernel left asleep."""
    context = without_kernel(chromium.new_context(viewport=sized(PHONE_PX), service_workers="allow"))
    context.set_default_timeout(PATIENT_MS)
    yield context
    context.close()


@pytest.fixture
def phone(phone_context: BrowserContext, house_server: HouseProcess) -> Page:
    """A page of phone size at the house's address, not yet enrolled."""
    page = phone_context.new_page()
    page.goto(house_server.address)
    return page


@pytest.fixture
def tablet(chromium: Browser, house_server: HouseProcess) -> Iterator[Page]:
    """A page of tablet size at the house's address, not yet enrolled; a device of its own."""
    with lent(chromium, viewport=sized(TABLET_PX)) as context:
        page = context.new_page()
        page.goto(house_server.address)
        yield page


@pytest.fixture
def device(phone_context: BrowserContext, house_server: HouseProcess, gate: Gate) -> Device:
    """An enrolled phone that speaks with the house through the gate."""
    device = Device(phone_context.new_page(), gate.address)
    device.enrol(house_server.code(), "Shed phone")
    return device


@pytest.fixture
def other_device(chromium: Browser, house_server: HouseProcess, gate: Gate) -> Iterator[Device]:
    """An enrolled tablet that speaks with the house through the same gate."""
    with lent(chromium, viewport=sized(TABLET_PX)) as context:
        device = Device(context.new_page(), gate.address)
        device.enrol(house_server.code(), "Wall tablet")
        yield device


@pytest.fixture
def profile(tmp_path: Path) -> Path:
    """A folder for a browser that is to be killed and opened again."""
    return tmp_path / "profile"
