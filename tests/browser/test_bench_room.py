"""The Bench: a parcel packed by touch with no signal, another lot in the hand, a bar short on the scale, another carton, a reload between."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from demo_seed import play
from honeyhold.house.house import House

pytestmark = pytest.mark.browser
SATURDAY = datetime(2027, 7, 24, 15, tzinfo=UTC)
BARS = 10


def season(house: House) -> None:
    """The demo's week, on its Saturday; the scale shows grams."""
    house.clock.set(SATURDAY)
    play(house)
    house.write("set_house", [{"table": "setting", "id": "scale_division_g", "value": 1}])


@pytest.fixture(scope="module")
def demo_house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    """The demo house, served."""
    house = HouseProcess(tmp_path_factory.mktemp("bench") / "data", season)
    house.start()
    yield house
    house.stop()


@pytest.fixture
def bench(chromium: Browser, demo_house: HouseProcess) -> Iterator[Device]:
    """An enrolled phone whose kernel is awake."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, service_workers="allow")
    context.set_default_timeout(15_000)
    device = Device(context.new_page(), demo_house.address)
    device.enrol(demo_house.code(), "Bench phone")
    device.wait_for("house.status.kernel.state === 'awake'", 90)
    device.exchange()
    device.wait_for_shell()
    yield device
    context.close()


def opened(device: Device, place: str) -> Page:
    """A place, loaded anew."""
    device.page.goto(f"{device.address}/#{place}")
    device.page.reload()
    device.load()
    return device.page


def parcel_of_bars(device: Device) -> str:
    """An open order by post of ten bars and nothing else."""
    found = device.js(
        """return house.view.openOrders().filter((o) => o.way === 'post' && o.state === 'promised').find((o) => {
             const lines = house.view.linesOf(o.id); return lines.length === 1 && lines[0].good === 'bar' && house.view.sure(lines[0]) === args[0]; }).id""",
        BARS,
    )
    return str(found)


def type_figures(page: Page, grams: int) -> None:
    """Grams by the large keys."""
    for figure in str(grams):
        page.locator("scale-deck number-pad").get_by_role("button", name=figure, exact=True).click()


def gone(house: House, order: str) -> dict[str, Any]:
    """What the records say of the order: lots left, carton, weight."""
    with house.records.read():
        sql = house.records.database.execute_sql
        lots = dict(sql("SELECT lot, -SUM(units) FROM movement WHERE \"order\" = ? AND reason = 'gone' GROUP BY lot", (order,)).fetchall())
        parcels = sql('SELECT carton, scale_g FROM parcel WHERE "order" = ?', (order,)).fetchall()
        (state,) = sql('SELECT state FROM "order" WHERE id = ?', (order,)).fetchone()
    return {"lots": lots, "parcels": parcels, "state": state}


def test_packed_without_signal_by_another_lot_in_another_carton(bench: Device, demo_house: HouseProcess) -> None:
    device = bench
    order = parcel_of_bars(device)
    device.page.context.set_offline(True)
    page = opened(device, f"bench/{order}")

    page.locator("details.otherwise summary").click()
    page.get_by_role("button", name="12×12×8").click()
    expect(page.locator("details.otherwise [role=status]")).to_contain_text("It goes in", timeout=30_000)
    expect(page.locator("h1.carton")).to_have_text("12×12×8")
    expect(page.locator("h1.carton + p")).to_contain_text("Chosen by hand.")  # and no proof claimed that nothing smaller does
    expect(page.locator("h1.carton + p")).not_to_contain_text("proved")

    page.get_by_role("button", name="another lot").first.click()
    expect(page.locator("lot-deck h2")).to_contain_text("was to take")
    page.locator("lot-deck").get_by_role("button", name="W27-203-1").click()
    expect(page.locator(".takes small.heed").first).to_contain_text("it was to be")

    page.get_by_role("button", name="empty carton on the scale").click()
    type_figures(page, 420)
    page.get_by_role("button", name="write it down").click()
    page = opened(device, f"bench/{order}")  # what was noted is still there
    expect(page.locator(".takes small.heed").first).to_contain_text("W27-203-1")
    expect(page.get_by_role("button", name="empty carton on the scale")).to_contain_text("15 oz")
    taken = device.js("return Object.values(JSON.parse(localStorage.getItem(`honeyhold.bench.${args[0]}`)).lots)[0]", order)

    for tick in page.locator('.take[aria-checked="false"]').all():
        tick.click()
    expect(page.locator("h1.carton")).to_have_text("12×12×8", timeout=30_000)
    page.get_by_role("button", name="Packed").click()
    page.get_by_role("button", name="on the scale").click()
    type_figures(page, 420 + 9 * 30)
    expect(page.locator("scale-deck [role=status]")).to_contain_text("one bar short", timeout=30_000)
    for _ in range(3):
        page.locator("scale-deck number-pad").get_by_role("button", name="take the last figure away").click()
    type_figures(page, 420 + BARS * 30)
    expect(page.locator("scale-deck [role=status]")).to_contain_text("s planned", timeout=30_000)
    page.get_by_role("button", name="write it down").click()
    page.get_by_role("button", name="Gone").click()
    device.wait_for(f"house.view.orders.get('{order}').state === 'gone'")

    device.page.context.set_offline(False)
    device.exchange()  # not waiting for the next time it would have asked by itself
    device.wait_for("house.status.inHand === 0", 30)
    found = demo_house.in_person(lambda house: gone(house, order))
    assert found["state"] == "gone" and found["parcels"] == [("carton_12x12x8", 420 + BARS * 30)]
    assert found["lots"] == {row["lot"]: row["units"] for row in taken} and found["lots"]["W27-203-1"] >= 5
    assert device.js("return localStorage.getItem(`honeyhold.bench.${args[0]}`)", order) is None


def test_a_carton_that_does_not_hold_it_says_why(bench: Device) -> None:
    device = bench
    order = device.js(
        "return house.view.openOrders().find((o) => o.way === 'post' && house.view.linesOf(o.id).some((l) => l.good === 'jar_16')).id"
    )
    page = opened(device, f"bench/{order}")
    page.locator("details.otherwise summary").click()
    page.get_by_role("button", name="6×4×4").click()
    expect(page.locator("details.otherwise [role=status]")).to_contain_text("It does not go in", timeout=30_000)
    expect(page.locator("details.otherwise [role=status]")).to_contain_text("> 101.6 mm")
    page.get_by_role("button", name="Packed").click()  # it was packed in it all the same: that is what is written down
    device.wait_for(f"house.view.orders.get('{order}').state === 'packed'")
    assert device.js("return house.view.parcelsOf(args[0]).map((p) => p.carton)", order) == ["carton_6x4x4"]
    expect(page.locator("h1.carton")).to_have_text("6×4×4", timeout=30_000)
    page.locator("undo-key button").first.click()
    device.wait_for(f"house.view.orders.get('{order}').state === 'promised'")
    page.get_by_role("button", name="as worked out").click()


def test_a_price_table_goes_in_and_prices_the_next_call(bench: Device, tmp_path: Path) -> None:
    device = bench
    page = opened(device, "keys/prices")
    page.get_by_role("button", name="begin with the example").click()
    expect(page.get_by_text("63 prices read.")).to_be_visible(timeout=30_000)
    table = tmp_path / "prices.csv"
    text = device.js("const { work } = await import('/kernel/work.js'); return (await work('answers.price_table', { csv: null })).csv")
    table.write_text(text + "price,ground,2,heavy,,,1,\n", encoding="utf-8")
    page.locator("input[type=file]").set_input_files(table)
    expect(page.get_by_text("is no number")).to_be_visible(timeout=30_000)
    page.get_by_role("button", name="use this table").click()
    expect(page.locator("table.prices tbody tr")).to_have_count(63)
    device.exchange()
    request = """const { callRequest } = await import('/rooms/counter/sureness.js'); const { work } = await import('/kernel/work.js');
      const asked = callRequest({ view: house.view, today: house.today(), now: house.now(), lines: [{ good: 'bar', units: 10 }],
        person: { zip: '55811' }, way: 'post', leave_on: house.today(), dressing: 'plain', hold_for_cool: false });
      return (await work('answers.parcel', asked)).parcel.posting_words;"""
    assert "by your table" in device.js(request) and "examples" in device.js(request)

    opened(device, "counter")
    draft = """const room = document.querySelector('counter-room'); const { emptyDraft } = await import('/rooms/counter/draft.js');
      room.draft = { ...emptyDraft(), ...args[0], started: Date.now(), lines: [{ good: 'bar', units: 10, settled: true }],
        fresh: { name: 'Nell Fenn', phone: '', street: '', unit: '', city: '', state: '', zip: args[1] } };"""
    posting = "document.querySelector('counter-room').draft.posting_cents"
    device.js(draft, {}, "55811")
    device.wait_for(f"{posting} > 0", 30)
    device.js(
        "const room = document.querySelector('counter-room'); room.draft = { ...room.draft, fresh: { ...room.draft.fresh, zip: '' } };"
    )
    device.wait_for(f"{posting} === 0", 30)  # a figure for another address does not stay
    device.js(draft, {"posting_typed": True, "posting_cents": 123}, "55811")
    expect(page.get_by_text("by your table").first).to_be_visible(timeout=30_000)
    assert device.js(f"return {posting}") == 123


def test_a_jar_is_measured_in_inches(bench: Device, demo_house: HouseProcess) -> None:
    device = bench
    page = opened(device, "keys/measures/jar_12")
    page.locator("input[name=L]").fill("three")
    page.get_by_role("button", name="write it down").click()
    expect(page.get_by_role("alert")).to_contain_text("no length")
    for name, text in {"L": "2 7/8 in", "W": "2 7/8 in", "H": "4 3/4", "weight": "548"}.items():
        page.locator(f"input[name={name}]").fill(text)
    page.get_by_role("button", name="write it down").click()
    device.wait_for("house.view.goods.get('jar_12').gross_g === 548")
    device.exchange()

    def measures(house: House) -> tuple[int, ...]:
        with house.records.read():
            return tuple(
                house.records.database.execute_sql(
                    "SELECT length_mm, width_mm, height_mm, gross_g FROM good WHERE id = 'jar_12'"
                ).fetchone()
            )

    assert demo_house.in_person(measures) == (74, 74, 121, 548)


LENGTHS_MM = {"15/16": 23.8125, "2 7/8 in": 73.025, "3-1/4": 82.55, "27/8": 85.725, '8.5"': 215.9, "83 mm": 83, "three": None, "1/0": None}


def test_lengths_are_read_as_they_are_written(bench: Device) -> None:
    for text, millimetres in LENGTHS_MM.items():
        found = bench.js("return (await import('/parts/lengths.js')).lengthMm(args[0])", text)
        assert found == (None if millimetres is None else pytest.approx(millimetres)), text


def test_a_weight_is_learnt_only_after_a_touch_and_can_be_taken_back(bench: Device) -> None:
    device = bench
    before = device.js("return house.view.goods.get('bar').gross_g")
    order = device.js(
        """return house.view.openOrders().find((o) => o.way === 'post' && o.state === 'promised'
             && house.view.linesOf(o.id).some((l) => l.good === 'bar' && house.view.sure(l) > 0)).id"""
    )
    weighings = [{"parcel": f"p{n}", "count": 10, "net_g": 10 * (before + 4) + n, "division_g": 1} for n in range(4)]
    device.js("localStorage.setItem('honeyhold.weighings', JSON.stringify({ bar: args[0] }))", weighings)
    page = opened(device, f"bench/{order}")
    expect(page.locator(".verdict, h1.carton").first).to_be_visible(timeout=30_000)
    page.get_by_role("button", name="Packed").click()
    offer = page.locator("learnt-weight").get_by_role("button", name="from now on")
    expect(offer).to_be_visible(timeout=30_000)
    assert device.js("return house.view.goods.get('bar').gross_g") == before
    offer.click()
    device.wait_for(f"house.view.goods.get('bar').gross_g > {before}")
    page.locator("learnt-weight undo-key button").first.click()
    device.wait_for(f"house.view.goods.get('bar').gross_g === {before}")
    expect(offer).to_be_visible(timeout=30_000)


def test_cartons_that_run_low_are_named_on_the_bench_and_the_shelf(bench: Device) -> None:
    device = bench
    left = device.js("return house.view.onHand('carton_12x12x8')")
    device.js("await acts.setHouse('carton_low', { carton_12x12x8: args[0] })", left)
    page = opened(device, "bench")
    expect(page.get_by_text(f"12×12×8: {left} left")).to_be_visible()
    page = opened(device, "shelf")
    expect(page.locator(".good-row", has_text="12×12×8")).to_contain_text("runs low")
    device.js("await acts.setHouse('carton_low', { carton_12x12x8: args[0] })", left - 1)
    expect(page.locator(".good-row", has_text="12×12×8")).not_to_contain_text("runs low")
