"""The Bench: a parcel packed by touch with no signal, another lot in the hand, a bar short on the scale, another carton, a reload between."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.packing import gone, opened, shown, tick_the_rest, type_figures
from browser.thumb import until_nothing_rests
from honeyhold.house.house import House

pytestmark = pytest.mark.browser
BARS = 10


def parcel_of_bars(device: Device) -> str:
    """An open order by post of ten bars and nothing else."""
    found = device.js(
        """return house.view.openOrders().filter((o) => o.way === 'post' && o.state === 'promised').find((o) => {
             const lines = house.view.linesOf(o.id); return lines.length === 1 && lines[0].good === 'bar' && house.view.sure(lines[0]) === args[0]; }).id""",
        BARS,
    )
    return str(found)


def test_packed_without_signal_by_another_lot_in_another_carton(knowing_bench: Device, demo_house: HouseProcess) -> None:
    device = knowing_bench
    order = parcel_of_bars(device)
    device.page.context.set_offline(True)
    page = shown(device, f"bench/{order}")

    page.locator("details.otherwise summary").click()
    page.get_by_role("button", name="12×12×8").click()
    expect(page.locator("details.otherwise [role=status]")).to_contain_text("It goes in")
    expect(page.locator("h1.carton")).to_have_text("12×12×8")
    expect(page.locator("h1.carton + p")).to_contain_text("Chosen by hand.")  # and no proof claimed that nothing smaller does
    expect(page.locator("h1.carton + p")).not_to_contain_text("proved")

    page.get_by_role("button", name="another lot").first.click()
    expect(page.locator("lot-deck h2")).to_contain_text("was to take")
    page.locator("lot-deck").get_by_role("button", name="W27-203-1").click()
    expect(page.locator("tick-list small.heed").first).to_contain_text("it was to be")

    page.get_by_role("button", name="empty carton on the scale").click()
    type_figures(page, 420)
    page.get_by_role("button", name="write it down").click()
    page = opened(device, f"bench/{order}")  # what was noted is still there
    expect(page.locator("tick-list small.heed").first).to_contain_text("W27-203-1")
    expect(page.get_by_role("button", name="empty carton on the scale")).to_contain_text("15 oz")
    expect(page.locator(".part-of p").first).to_have_text("5 of 10")  # once the plan is there again: those of the other lot went in
    taken = device.js("return Object.values(JSON.parse(localStorage.getItem(`honeyhold.packing.${args[0]}`)).lots)[0]", order)

    tick_the_rest(page)
    expect(page.locator("h1.carton")).to_have_text("12×12×8")
    page.get_by_role("button", name="Packed").click()
    page.get_by_role("button", name="on the scale").click()
    type_figures(page, 420 + 9 * 30)
    expect(page.locator("scale-deck [role=status]")).to_contain_text("one bar short")
    type_figures(page, 420 + BARS * 30)
    expect(page.locator("scale-deck [role=status]")).to_contain_text("s planned")
    page.get_by_role("button", name="write it down").click()
    page.get_by_role("button", name="Mailed").click()
    device.wait_for(f"house.view.orders.get('{order}').state === 'gone'")

    device.page.context.set_offline(False)
    device.exchange()  # not waiting for the next time it would have asked by itself
    device.wait_for("house.status.inHand === 0")
    found = demo_house.in_person(lambda house: gone(house, order))
    assert found["state"] == "gone" and found["parcels"] == [("carton_12x12x8", 420 + BARS * 30)]
    assert found["lots"] == {row["lot"]: row["units"] for row in taken} and found["lots"]["W27-203-1"] >= 5
    kept = device.js("return Object.values(JSON.parse(localStorage.getItem(`honeyhold.packing.${args[0]}`)).lots)[0]", order)
    assert kept == taken, "undone, it would leave by the same lots"


def test_a_carton_that_does_not_hold_it_says_why(bench: Device) -> None:
    device = bench
    order = device.js(
        "return house.view.openOrders().find((o) => o.way === 'post' && house.view.linesOf(o.id).some((l) => l.good === 'jar_16')).id"
    )
    page = shown(device, f"bench/{order}")
    page.locator("details.otherwise summary").click()
    page.get_by_role("button", name="6×4×4").click()
    expect(page.locator("details.otherwise [role=status]")).to_contain_text("It does not go in")
    expect(page.locator("details.otherwise [role=status]")).to_contain_text("and there are 4 in")
    page.get_by_role("button", name="Packed").click()  # it was packed in it all the same: that is what is written down
    device.wait_for(f"house.view.orders.get('{order}').state === 'packed'")
    assert device.js("return house.view.parcelsOf(args[0]).map((p) => p.carton)", order) == ["carton_6x4x4"]
    expect(page.locator("h1.carton")).to_have_text("6×4×4")
    until_nothing_rests(page)
    page.locator("undo-key button").first.click()
    device.wait_for(f"house.view.orders.get('{order}').state === 'promised'")
    page.get_by_role("button", name="as worked out").click()


WATCHED = """const found = () => [...document.querySelectorAll('details.otherwise button')].find((key) => key.textContent === 'cold pack');
  const top = (part) => part.getBoundingClientRect().top;
  const place = () => Math.round(top(found()) - top(document.querySelector('parcel-board .column')));
  window.places = [place()];
  const look = () => {
    if (document.querySelector('h1.faint, .picture-words')) window.places.push(place());
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);"""
"""Where the key lies in the board before, and in every frame in which the carton or its drawing is still to come."""


def test_keys_keep_their_place_while_a_parcel_is_worked_out_anew(bench: Device) -> None:
    page = shown(bench, f"bench/{parcel_of_bars(bench)}")
    expect(page.locator("parcel-board figure.picture").first).to_be_visible()
    page.locator("details.otherwise summary").click()
    settled(page)
    bench.js(WATCHED)
    page.locator("details.otherwise").get_by_role("button", name="padded").click()
    page.wait_for_function("() => window.places.length > 1")
    expect(page.locator("parcel-board figure.picture").first).to_be_visible()
    first, *meanwhile = page.evaluate("window.places")
    assert meanwhile and min(meanwhile) >= first - 2, "what is to be drawn anew leaves its room behind"


def test_another_order_keeps_no_place_of_the_one_before(bench: Device) -> None:
    page = shown(bench, f"bench/{parcel_of_bars(bench)}")
    expect(page.locator("parcel-board figure.picture").first).to_be_visible()
    bench.js(
        """const other = house.view.openOrders().find((o) => o.way === 'post' && o.state === 'promised' && !location.hash.endsWith(o.id));
           window.kept = [];
           const look = () => {
             if (document.querySelector('parcel-board h1.faint')) window.kept.push(...[...document.querySelectorAll('[data-held]')].map((part) => part.offsetHeight));
             requestAnimationFrame(look);
           };
           requestAnimationFrame(look);
           location.hash = `#bench/${other.id}`;"""
    )
    page.wait_for_function("() => window.kept.length > 0")
    assert max(page.evaluate("window.kept")) < 100, "a drawing's room is left for another order"


def test_a_price_table_goes_in_and_prices_the_next_call(bench: Device, tmp_path: Path) -> None:
    device = bench
    page = shown(device, "settings/prices")
    page.get_by_role("button", name="take the table away").click()
    page.get_by_role("button", name="begin with the example").click()
    expect(page.get_by_text("63 prices read.")).to_be_visible()
    page.get_by_role("button", name="leave it").click()
    table = tmp_path / "prices.csv"
    text = device.js("const { work } = await import('/kernel/work.js'); return (await work('quoting.price_table', { csv: null })).csv")
    table.write_text(text + "price,ground,2,heavy,,,1,\n", encoding="utf-8")
    page.locator("input[type=file]").set_input_files(table)
    expect(page.get_by_text("is no number")).to_be_visible()
    page.get_by_role("button", name="use this table").click()
    expect(page.locator("table.prices tbody tr")).to_have_count(63)
    device.exchange()
    request = """const { callRequest } = await import('/store/sureness.js'); const { work } = await import('/kernel/work.js');
      const asked = callRequest({ view: house.view, today: house.today(), now: house.now(), lines: [{ good: 'bar', units: 10 }],
        person: { zip: '55811' }, way: 'post', leave_on: house.today(), dressing: 'plain', hold_for_cool: false });
      return (await work('quoting.parcel', asked)).parcel.posting_words;"""
    assert "by your table" in device.js(request) and "examples" in device.js(request)

    opened(device, "counter")
    draft = """const room = document.querySelector('counter-room'); const { emptyDraft } = await import('/rooms/counter/draft.js');
      room.draft = { ...emptyDraft(), ...args[0], started: Date.now(), lines: [{ good: 'bar', units: 10, settled: true }],
        fresh: { name: 'Nell Fenn', phone: '', street: '', unit: '', city: '', state: '', zip: args[1] } };"""
    posting = "document.querySelector('counter-room').draft.posting_cents"
    device.js(draft, {}, "55811")
    device.wait_for(f"{posting} > 0")
    device.js(
        "const room = document.querySelector('counter-room'); room.draft = { ...room.draft, fresh: { ...room.draft.fresh, zip: '' } };"
    )
    device.wait_for(f"{posting} === 0")  # a figure for another address does not stay
    device.js(draft, {"posting_typed": True, "posting_cents": 123}, "55811")
    expect(page.get_by_text("by your table").first).to_be_visible()
    assert device.js(f"return {posting}") == 123


def test_a_jar_is_measured_in_inches(bench: Device, demo_house: HouseProcess) -> None:
    device = bench
    page = shown(device, "settings/measures/jar_12")
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
                house.records.sql(
                    "SELECT length_mm, width_mm, height_mm, gross_g FROM good WHERE id = 'jar_12'"
                ).fetchone()
            )

    assert demo_house.in_person(measures) == (74, 74, 121, 548)


LENGTHS_MM = {"15/16": 23.8125, "2 7/8 in": 73.025, "3-1/4": 82.55, "27/8": 85.725, '8.5"': 215.9, "83 mm": 83, "three": None, "1/0": None}


def test_lengths_are_read_as_they_are_written(device_of_the_file: Device) -> None:
    for text, millimetres in LENGTHS_MM.items():
        found = device_of_the_file.js("return (await import('/parts/lengths.js')).lengthMm(args[0])", text)
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
    page = shown(device, f"bench/{order}")
    expect(page.locator(".verdict, h1.carton").first).to_be_visible()
    page.get_by_role("button", name="Packed").click()
    offer = page.locator("learnt-weight").get_by_role("button", name="from now on")
    expect(offer).to_be_visible()
    assert device.js("return house.view.goods.get('bar').gross_g") == before
    offer.click()
    device.wait_for(f"house.view.goods.get('bar').gross_g > {before}")
    until_nothing_rests(page)
    page.locator("learnt-weight undo-key button").first.click()
    device.wait_for(f"house.view.goods.get('bar').gross_g === {before}")
    expect(offer).to_be_visible()


def test_cartons_that_run_low_are_named_and_the_mark_can_be_taken_back(bench: Device) -> None:
    device = bench
    left = device.js("return house.view.onHand('carton_12x12x8')")
    assert 5 <= left <= 6  # a test before this one may have packed in one
    page = shown(device, "shelf/carton_12x12x8")
    expect(page.locator("low-marks")).to_contain_text("too little to say how long they last")
    page.locator("low-marks").get_by_role("button", name="10", exact=True).click()
    expect(page.locator("low-marks")).to_contain_text("Written down.")
    page = opened(device, "bench")
    expect(page.get_by_text(f"12×12×8: {left} left")).to_be_visible()
    page = opened(device, "shelf")
    expect(page.locator(".good-row", has_text="12×12×8")).to_contain_text("runs low")
    page = opened(device, "shelf/carton_12x12x8")
    page.locator("low-marks").get_by_role("button", name="20", exact=True).click()
    until_nothing_rests(page)
    page.locator("low-marks undo-key button").click()
    device.wait_for("(house.view.setting('carton_low', {}) || {}).carton_12x12x8 === 10")
    device.js("const real = IDBDatabase.prototype.transaction; IDBDatabase.prototype.transaction = function (s, mode) "
              "{ if (mode === 'readwrite') throw new DOMException('no room', 'QuotaExceededError'); return real.call(this, s, mode); }")  # fmt: skip
    page.locator("low-marks").get_by_role("button", name="5", exact=True).click()
    expect(page.locator("low-marks [role=alert]")).to_contain_text("Not taken")


HOW_LONG = """const { lastingSaid, usedOfLate } = await import('/parts/cartons-low.js');
  const { packed, left, first } = args[0];
  const view = { orders: new Map([['o', { taken_on: first }]]), onHand: () => left,
    grouped: () => new Map([['o', packed.map((packed_on) => ({ carton: 'c', packed_on }))]]) };
  return [usedOfLate('c', view, '2027-07-24').used, lastingSaid('c', view, '2027-07-24')];"""


def test_how_long_cartons_last_comes_from_the_parcels_of_the_last_weeks_and_says_so(device_of_the_file: Device) -> None:
    def said(packed: list[str | None], left: int = 6, first: str = "2020-01-01") -> list[object]:
        return list(device_of_the_file.js(HOW_LONG, {"packed": packed, "left": left, "first": first}))

    week = ["2027-07-18", "2027-07-20", "2027-07-24"]
    assert said([*week, "2027-06-20", None]) == [3, "about 56 days at the pace of the last 28 days (3 used)"]
    assert said(week, first="2027-07-15") == [3, "about 20 days at the pace of the last 10 days (3 used)"]
    assert said(week * 9) == [27, "about 6 days at the pace of the last 28 days (27 used)"]
    assert said(week[:2]) == [2, ""] and said(week, left=0) == [3, ""]
    assert said(week, first="2027-07-20") == [2, ""]  # five days are no pace


def test_a_maker_s_certificate_is_typed_as_it_is_printed(bench: Device, demo_house: HouseProcess) -> None:
    device = bench
    page = shown(device, "settings/measures/carton_10x10x10")
    assert [page.locator(f"input[name={name}]").input_value() for name in ("gross", "united", "crush", "board")] == ["65", "75 in", "32", "5/32 in"]
    page.locator("input[name=board]").fill("thick")
    page.get_by_role("button", name="write it down").click()
    expect(page.get_by_role("alert")).to_contain_text("no such figure")
    for name, text in {"gross": "80 lb", "united": "85 in", "crush": "", "board": "3 mm"}.items():
        page.locator(f"input[name={name}]").fill(text)
    page.get_by_role("button", name="write it down").click()
    device.wait_for("house.view.cartons.get('carton_10x10x10').board_um === 3000")
    device.exchange()
    sql = "SELECT max_gross_g, max_united_mm, edge_crush_lb_per_in, board_um FROM carton WHERE id = 'carton_10x10x10'"

    def kept(house: House) -> tuple[object, ...]:
        with house.records.read():
            return tuple(house.records.sql(sql).fetchone())

    assert demo_house.in_person(kept) == (36287, 2159, None, 3000)
    until_nothing_rests(page)
    page.locator("undo-key button").first.click()
    device.wait_for("house.view.cartons.get('carton_10x10x10').edge_crush_lb_per_in === 32")


def test_board_that_may_give_way_is_minded_at_the_bench(bench: Device) -> None:
    device = bench
    order = device.js("return house.view.openOrders().find((o) => house.view.linesOf(o.id).some((l) => l.good === 'jar_12')).id")
    page = shown(device, f"bench/{order}")
    expect(page.locator("h1.carton")).to_have_text("12×12×12")
    expect(page.get_by_text("in the laboratory it fails")).to_have_count(0)
    device.js("await acts.setGood({ id: 'carton_12x12x12' }, { edge_crush_lb_per_in: 10, board_um: 1600 })")
    expect(page.get_by_text("in the laboratory it fails")).to_be_visible()


LOTS = """const { cut, withLot, byLot } = await import('/rooms/bench/lots.js');
  const [runs, from, units, lot] = args;
  const changed = withLot(runs, from, units, lot);
  return { changed, before: cut(changed, 0, from), part: cut(changed, from, units), sums: byLot(changed), back: withLot(changed, from, units, args[4] ?? lot) };"""


def test_another_lot_is_put_down_for_just_the_pieces_it_was_in(device_of_the_file: Device) -> None:
    planned = [{"lot": "A", "units": 4}, {"lot": "B", "units": 6}]
    found = device_of_the_file.js(LOTS, planned, 2, 2, "C", "A")
    assert found["changed"] == [{"lot": "A", "units": 2}, {"lot": "C", "units": 2, "meant": "A"}, {"lot": "B", "units": 6}]
    assert found["before"] == [{"lot": "A", "units": 2}] and found["part"] == [{"lot": "C", "units": 2, "meant": "A"}]
    assert {row["lot"]: row["units"] for row in found["sums"]} == {"A": 2, "B": 6, "C": 2}
    assert found["back"] == planned  # put back: nothing is remembered as wrong
    across = device_of_the_file.js(LOTS, planned, 3, 3, None)["changed"]
    assert [(run["lot"], run["units"], run.get("meant")) for run in across] == [("A", 3, None), (None, 1, "A"), (None, 2, "B"), ("B", 4, None)]
