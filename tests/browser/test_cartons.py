"""Cartons: usual sizes to touch, own sizes typed in inches with fractions, how many lie here; retired and brought back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.devices import Device
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

ADD = """const { addCarton } = await import('/parts/cartons.js');
  try { const done = await addCarton(args[0]); return { ...done, row: house.view.cartons.get(done.carton), here: house.view.onHand(done.carton) }; }
  catch (error) { return { message: error.message, remedy: error.remedy }; }"""


@pytest.fixture(scope="module")
def keeper(chromium: Browser, house_server: HouseProcess) -> Iterator[Device]:
    """A keeper's phone."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, service_workers="allow")
    context.set_default_timeout(15_000)
    device = Device(context.new_page(), house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    yield device
    context.close()


def test_a_carton_is_written_down_with_its_count(keeper: Device) -> None:
    """Inches stay exact, with their fractions; the outside is reckoned from the board; what lies here is a ledger of its own."""
    added = keeper.js(ADD, {"sides": ["8 5/8", "5-3/8 in", "1 5/8\""], "count": 12, "cost_cents": 61})
    assert added["row"]["inner"] == ["8 5/8 in", "5 3/8 in", "1 5/8 in"]
    assert added["row"]["outer"] == ["8 15/16 in", "5 11/16 in", "2 1/4 in"]
    assert (added["row"]["name"], added["row"]["cost_cents"], added["here"]) == ("8 5/8×5 3/8×1 5/8", 61, 12)
    assert keeper.exchange() and keeper.status()["needsYou"] == []


def test_the_usual_cartons_weigh_what_such_cartons_weigh(keeper: Device) -> None:
    """The reckoned empty weight lies within what makers' boards give: 6x4x4 in 61 to 69 g, 12x12x12 in 408 to 464 g (common practice)."""
    weights = keeper.js("""const [{ USUAL_CARTONS }, { typicalTare }] = await Promise.all([import('/parts/usual-cartons.js'), import('/parts/cartons.js')]);
      return Object.fromEntries(USUAL_CARTONS.map(({ name, sides }) => [name, typicalTare(sides)]));""")
    assert 61 <= weights["6×4×4"] <= 69 and 103 <= weights["8×6×4"] <= 118 and 182 <= weights["10×8×6"] <= 207
    assert 341 <= weights["12×12×8"] <= 388 and 408 <= weights["12×12×12"] <= 464


def test_the_same_size_twice_is_two_cartons(keeper: Device) -> None:
    """A double wall of the same size has a row of its own."""
    first, second = (keeper.js(ADD, {"sides": ["4 in", "4 in", "4 in"], "name": name}) for name in ("single wall", "double wall"))
    assert first["carton"] != second["carton"]
    assert second["row"]["name"] == "double wall"


@pytest.mark.parametrize(("asked", "said"), [
    ({"sides": ["8", "wide", "4"]}, "The width is “wide”"),
    ({"sides": ["8", "6", "0"]}, "The height is “0”"),
    ({"sides": ["8", "6", "4"], "count": -1}, "-1 cartons"),
])  # fmt: skip
def test_what_is_no_carton_is_said(keeper: Device, asked: dict[str, object], said: str) -> None:
    """A word for a length, nothing at all, fewer than none: the value seen and what to do, nothing written."""
    before = keeper.js("return house.view.cartons.size")
    answer = keeper.js(ADD, asked)
    assert said in answer["message"] and answer["remedy"]
    assert keeper.js("return house.view.cartons.size") == before
