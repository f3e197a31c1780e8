"""The browser's own code, in two real browsers, through a faulty line to the real server: what they do, and what must hold in the end.

First a storm, in which nothing needs to work but nothing may be lost; then the line is healed, and all must agree within a bound.
"""

from __future__ import annotations

import json
import random
import time
from collections import Counter
from typing import Any

from playwright.sync_api import Browser

from browser.devices import Device
from browser.faulty_line import FaultyLine
from browser.house_process import HouseProcess
from honeyhold.house.house import House

Json = dict[str, Any]
RATE = 0.45
HEALED_WITHIN_S = 20

ACT = """
  const [what, units, pick] = args;
  const { view } = house;
  const open = view.openOrders().filter((order) => order.number.startsWith(`${house.status.device.mark}-`));
  const order = open[pick % Math.max(1, open.length)];
  const lines = [{ good: 'bar', units }];
  const last = [...known.entries.values()].filter((entry) => acts.undoable(entry.id)).at(-1);
  const whole = order && view.linesOf(order).every((line) => view.waiting(line) === 0);
  const all = {
    promise: () => acts.promise({ person: { name: `Caller ${pick}` }, way: 'post', lines, note: 'é "🐝"' }, { wait_s: 0.2 }),
    sell: () => (house.share('bar') >= units ? acts.sell({ person: null, lines }) : null),
    amend: () => (order ? acts.amend(order.id, { lines }) : null),
    'let go': () => (order ? acts.letGo(order.id) : null),
    pack: () => (order?.state === 'promised' && whole ? acts.pack(order.id, { parcels: [{ gross_g: 300 }] }) : null),
    'hand over': () => (order && whole ? acts.handOver(order.id) : null),
    pay: () => (order ? acts.pay(order.id, 100 * units, 'cash') : null),
    buy: () => acts.buy('bar', units),
    undo: () => (last ? acts.undo(last.id) : null),
    ask: () => house.ask('bar', units, 0.3).then(() => null),
    exchange: () => house.exchange().then(() => null),
  };
  try {
    const done = await all[what]();
    return done ? { ops: [done.op, ...(done.ops ?? [])].filter(Boolean) } : { ops: [] };
  } catch (error) {
    return { ops: [], error: error.kind ?? 'mistake', message: error.message };
  }"""
CHANCES = {"promise": 8, "sell": 2, "amend": 4, "let go": 2, "pack": 2, "hand over": 2, "pay": 2, "buy": 1, "undo": 2, "ask": 2, "exchange": 5}

STANDS = """
  const { mirror } = known;
  const some = (map) => Object.fromEntries([...map].filter(([, value]) => value !== 0));
  const lots = {};
  for (const [good, by] of mirror.balances) for (const [lot, units] of by) if (units) lots[`${good} ${lot}`] = units;
  return { lots, sure: some(mirror.sure), handed: some(mirror.handed), paid: some(mirror.paid),
    orders: Object.fromEntries([...mirror.tables.order.values()].map((order) => [order.id, order.state])) };"""


def storm(chromium: Browser, house: HouseProcess, seed: int, steps: int) -> Json:
    """One storm; figures. Raises AssertionError with what does not hold."""
    chance, done, refused_here = random.Random(seed), Counter[str](), Counter[str]()
    line = FaultyLine(house, seed, 0)
    contexts = [chromium.new_context(service_workers="block") for _ in range(2)]
    began = time.monotonic()
    try:
        devices = [Device(context.new_page(), line.address) for context in contexts]
        for number, device in enumerate(devices):
            device.enrol(house.code(), f"Device {number} of seed {seed}")
            device.hold(10)
        written: list[list[str]] = [[], []]
        line.rate = RATE
        for _ in range(steps):
            which = chance.randrange(2)
            line.cut = chance.random() < 0.25
            what = chance.choices(list(CHANCES), list(CHANCES.values()))[0]
            told = devices[which].js(ACT, what, chance.randint(1, 4), chance.randrange(1000))
            assert told.get("error") in (None, "draft"), told
            refused_here["told on the device"] += "error" in told
            done[what] += bool(told["ops"])
            written[which] += told["ops"]
        line.cut, line.rate = False, 0
        _heal(devices)
        needs = [{one["op"] for one in device.status()["needsYou"]} for device in devices]
        stands = [device.js(STANDS) for device in devices]
    finally:
        for context in contexts:
            context.close()
        line.close()
    refused = _must_hold(house.in_person(records_of), written, needs, stands)
    return {
        "seed": seed, "steps": steps, "entries": sum(map(len, written)), "refused": refused, "acts": dict(done), "violations": 0,
        "faults": dict(line.fell), "seconds": round(time.monotonic() - began, 1),
    }  # fmt: skip


def _heal(devices: list[Device]) -> None:
    until = time.monotonic() + HEALED_WITHIN_S
    while True:
        heard = [device.exchange() for device in devices + devices]
        statuses = [device.status() for device in devices]
        if all(heard) and all(status["inHand"] == 0 for status in statuses):
            return
        assert time.monotonic() < until, f"not healed within {HEALED_WITHIN_S} s: {statuses}"


def records_of(house: House) -> Json:
    def ask(sql: str) -> list[tuple[Any, ...]]:
        return list(house.records.sql(sql).fetchall())

    with house.records.read():
        return {
            "wrong": house.check(), "pools": dict(ask("SELECT good, on_hand - promised - out FROM balance")),
            "landed": {one for (one,) in ask("SELECT id FROM operation WHERE position IS NOT NULL")},
            "refused": {one for (one,) in ask("SELECT id FROM operation WHERE position IS NULL")},
            "lots": {f"{good} {lot}": units for good, lot, units in ask("SELECT good, lot, units FROM lot_balance") if units},
            "sure": {line: sure for line, sure in ask("SELECT id, sure FROM line") if sure},
            "handed": {line: handed for line, handed in ask("SELECT id, handed FROM line") if handed},
            "paid": {order: cents for order, cents in ask('SELECT id, paid_cents FROM "order"') if cents},
            "orders": dict(ask('SELECT id, state FROM "order"')),
        }  # fmt: skip


def _must_hold(kept: Json, written: list[list[str]], needs: list[set[str]], stands: list[Json]) -> int:
    """I1 to I4 on the house's disk and on both devices; how many entries were refused."""
    assert kept["wrong"] == [] and min(kept["pools"].values()) >= 0, kept["pools"]
    refused = 0
    for own, shown in zip(written, needs, strict=True):
        lost = set(own) - kept["landed"] - kept["refused"]
        assert not lost, f"confirmed and gone: {lost}"
        unseen = (set(own) & kept["refused"]) - shown
        assert not unseen, f"refused and not shown: {unseen}"
        refused += len(set(own) & kept["refused"])
    for stand in stands:
        for what, values in stand.items():
            assert values == kept[what], f"{what} differ: {json.dumps(_differences(values, kept[what]))}"
    return refused


def _differences(one: Json, other: Json) -> Json:
    return {key: [one.get(key), other.get(key)] for key in {*one, *other} if one.get(key) != other.get(key)}
