"""Cartons, paddings, cold packs: usual sizes to touch, own sizes typed in inches, how many lie here; put away and brought back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, owners_phone, settled
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

ADD = """const { addCarton } = await import('/parts/cartons.js');
  try { const done = await addCarton(args[0]); return { ...done, row: house.view.cartons.get(done.carton), here: house.view.onHand(done.carton) }; }
  catch (error) { return { message: error.message, remedy: error.remedy }; }"""


@pytest.fixture(scope="module")
def keeper(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """A keeper's phone."""
    with owners_phone(chromium, house_of_the_file) as device:
        yield device


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


def test_a_usual_size_is_added_by_touch_and_found_by_the_counter(keeper: Device) -> None:
    """Two touches and a count; the next parcel is planned with it; put away it is not offered, brought back it is."""
    page = keeper.page
    page.goto(f"{keeper.address}/#settings/cartons")
    page.get_by_role("link", name="add a carton").click()
    page.get_by_role("button", name="10×8×6", exact=True).click()
    page.locator("input[name=count]").fill("14")
    page.locator("input[name=cost]").fill("0.84")
    page.get_by_role("button", name="add it").click()
    expect(page.get_by_role("status")).to_have_text("Written down.")
    page.get_by_role("link", name="all cartons").click()
    row = page.locator("cartons-board .good-row", has_text="10×8×6")
    expect(row).to_contain_text("14 here · $0.84 each")
    asked = """const { callRequest } = await import('/store/sureness.js');
      return callRequest({ view: house.view, today: house.today(), now: house.now(), lines: [{ good: 'bar', units: 10 }], way: 'post' }).cartons
        .filter(({ name }) => name === '10×8×6').map(({ in_stock, inner }) => [in_stock, inner]);"""
    keeper.load()
    assert keeper.js(asked) == [[14, ["10 in", "8 in", "6 in"]]]
    row.click()
    page.get_by_role("button", name="put it away").click()
    expect(page.get_by_role("button", name="bring it back")).to_be_visible()
    assert keeper.js(asked) == []
    page.get_by_role("link", name="all cartons").click()
    page.get_by_role("button", name="bring 10×8×6 back").click()
    expect(row).to_be_visible()
    assert len(keeper.js(asked)) == 1 and keeper.exchange() and keeper.status()["needsYou"] == []


def test_an_own_size_that_is_none_keeps_what_was_typed(keeper: Device) -> None:
    """The side that is no length is named with what was typed; the other fields stay; put right, it is added."""
    page = keeper.page
    page.goto(f"{keeper.address}/#settings/cartons/new")
    for name, text in (("L", "9 1/2"), ("W", "six"), ("H", "4")):
        page.locator(f"cartons-board input[name={name}]").fill(text)
    settled(page)  # the keyboard is put on the name of a place once it is drawn
    page.get_by_role("button", name="add it").press("Enter")  # the finger just was where it came up: there the place still rests
    expect(page.get_by_role("alert")).to_contain_text("The width is “six”")
    expect(page.locator("cartons-board input[name=L]")).to_have_value("9 1/2")
    page.locator("cartons-board input[name=W]").fill("6 3/16")
    page.get_by_role("button", name="add it").click()
    expect(page.get_by_role("status")).to_have_text("Written down.")
    keeper.load()
    assert keeper.js("return [...house.view.cartons.values()].find(({ name }) => name.startsWith('9 1/2')).inner") == ["9 1/2 in", "6 3/16 in", "4 in"]


def test_two_paddings_and_a_cold_pack_are_used_in_their_order(keeper: Device) -> None:
    """Added by hand, the first is used; counted down to none the next takes its place; put first it is used again; the plan follows."""
    page = keeper.page
    page.goto(f"{keeper.address}/#settings/padding")
    for name, thick, here in (("wool", "1", "3"), ("paper batt", "1/2", "")):
        page.get_by_role("button", name="add a padding").click()
        page.locator("padding-board input[name=name]").fill(name)
        page.locator("padding-board input[name=thickness_mm]").fill(thick)
        page.locator("padding-board form input[name=here]").fill(here)
        page.get_by_role("button", name="add the padding").click()
        expect(page.get_by_role("group", name=name)).to_be_visible()
    page.get_by_role("button", name="add a cold pack").click()
    for field, text in (("name", "gel"), ("length_mm", "6"), ("width_mm", "4"), ("height_mm", "1"), ("weight", "eight")):
        page.locator(f"padding-board input[name={field}]").fill(text)
    page.get_by_role("button", name="add the cold pack").click()
    expect(page.get_by_role("alert")).to_contain_text("“eight” is no weight")
    page.locator("padding-board input[name=weight]").fill("8")
    page.get_by_role("button", name="add the cold pack").click()
    expect(page.get_by_role("group", name="gel")).to_contain_text("153 × 102 × 26 mm, 8 oz")
    wool, paper = page.get_by_role("group", name="wool"), page.get_by_role("group", name="paper batt")
    expect(wool).to_contain_text("is used now")
    wool.locator("input").fill("0")
    page.get_by_role("button", name="add a padding").click()  # which leaves the field: the count is written down, and the form stays
    expect(wool).to_contain_text("is used up")
    page.locator("padding-board form input[name=name]").fill("straw")
    page.get_by_role("button", name="leave it").click()
    expect(paper).to_contain_text("is used now")
    paper.get_by_role("button", name="put it away").click()
    page.get_by_role("button", name="bring paper batt back").click()
    expect(paper).to_be_visible()
    keeper.load()
    kept = keeper.js("return [house.view.setting('paddings'), house.view.setting('cold_packs')]")
    assert [(row["name"], row["thickness_mm"], row["here"]) for row in kept[0]] == [("wool", 26, 0), ("paper batt", 13, None)]
    assert kept[1][0]["mass_g"] == 227 and keeper.exchange() and keeper.status()["needsYou"] == []
