"""Plays screens whose main computer answers, refuses or is out of reach, and whose device stands now so, now otherwise."""

from __future__ import annotations

import json
from typing import Any, NamedTuple

from goods.in_node import WEB
from screens.acts import Act
from screens.rows import ROWS
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = WEB.parent / "tests/screens"
PLAY = """{
  const { Screen } = await import(DRAWN);
  const { effectsSince } = await import(EFFECTS);
  const { settled } = await import(SETTLED);
  const { phonesReady } = await module('store/phones.js');
  await phonesReady();
  const { change } = await module('store/status.js');
  const exchanged = ({ request, operations }, refused) => ({
    protocol: 1, request, epoch: 'screens', changes: [], cursor: 1, more: false, granted: {}, spent: {}, pool: {}, short: {}, ask_back: {},
    landed: operations.map(({ id }, at) => ({ id, position: at + 2 })), refused: [],
    last_seq: operations.at(-1)?.seq ?? 0, covered_to: 0, house_time: new Date().toISOString(),
  });
  let asks = [];
  let answers = {};
  globalThis.fetch = async (path, { method = 'GET', body = '' } = {}) => {
    const door = `${method} ${new URL(path, 'https://honey.local').pathname}`;
    const of = answers[door];
    if (!of) throw new TypeError('there is no main computer here');
    asks.push(`${method} ${path} ${body}`.trim());
    const [status, told] = of.length > 1 ? of.shift() : of[0];
    const said = told === 'exchanged' ? exchanged(JSON.parse(body)) : told;
    const kind = status < 300 ? 'application/json' : status < 500 ? 'application/problem+json' : 'text/html';
    return new Response(JSON.stringify(said), { status, headers: { 'Content-Type': kind } });
  };
  const lines = async (screen) => (await settled(screen, { times: 6, turns_most: 200 })).filter(Boolean);
  const played = [];
  for (const { tag, properties, acts, told, status, marks, protocol, log } of asked) {
    const before = known.marks;
    const stood = { ...(await module('store/status.js')).current };
    known.marks = { ...before, ...marks };
    const keep = () => db.write(['keep'], (tx) => { tx.objectStore('keep').put({ ...known.marks }, 'marks'); });
    if (Object.keys(marks).length) await keep();
    for (const entry of log) known.entries.set(entry.id, entry);
    if (log.length) await db.write(['log'], (tx) => { for (const entry of log) tx.objectStore('log').put(entry); });
    answers = structuredClone(told);
    change(status);
    location.protocol = protocol;
    asks = [];
    effectsSince();
    const screen = new Screen(tag, properties);
    const moments = [{ lines: await lines(screen), asks: asks.splice(0), effects: effectsSince() }];
    for (const { what, given } of acts) {
      if (what === 'becomes') screen.properties = given[0];
      else if (what === 'file') {
        const bytes = Uint8Array.from(atob(given[0]), (letter) => letter.charCodeAt(0));
        const [node] = screen.hearing().filter(([{ has }, heard]) => has.type === 'file' && heard === 'change').map(([one]) => one);
        screen.hear(node, 'change', {}, { files: given.length ? [{ arrayBuffer: async () => bytes.buffer }] : [] });
      } else {
        try {
          await screen[what](...given);
        } catch ({ message }) {
          moments.push({ lines: [message], asks, effects: [] });
          break;
        }
      }
      moments.push({ lines: await lines(screen), asks: asks.splice(0), effects: effectsSince() });
    }
    screen.leave();
    change(stood);
    known.marks = before;
    if (Object.keys(marks).length) await keep();
    for (const entry of log) known.entries.delete(entry.id);
    if (log.length) await db.write(['log'], (tx) => { for (const { device, seq } of log) tx.objectStore('log').delete([device, seq]); });
    played.push(moments);
  }
  return played;
}"""


class Moment(NamedTuple):
    """What a screen says, what the main computer was asked meanwhile, and what else came of it."""

    lines: list[str]
    asks: list[str]
    effects: list[str]

    @property
    def text(self) -> str:
        return "\n".join(self.lines)


def screen(tag: str, *acts: Act, told: Json | None = None, status: Json | None = None, marks: Json | None = None, protocol: str = "https:",
           log: list[Json] | None = None, **properties: Any) -> Json:  # fmt: skip
    """`told`: answers by door, one after the other as `[status, answer]`, the last for good; no door: it is out of reach."""
    return {"tag": tag, "properties": properties, "acts": acts, "told": told or {}, "status": status or {}, "marks": marks or {},
            "protocol": protocol, "log": log or []}  # fmt: skip


def becomes(**properties: Any) -> Act:
    """The screen is given something else to show."""
    return {"what": "becomes", "given": [properties], "still": False}


def file(base64: str) -> Act:
    """A file is opened at the only field for one."""
    return {"what": "file", "given": [base64], "still": False}


def played(*screens: Json, rows: list[Json] | None = None, room: str = "settings") -> list[list[Moment]]:
    """Each screen's moments: as it came up, and after each act. `room`: whose screens they are."""
    expression = PLAY
    for name in ("drawn", "effects", "settled"):
        expression = expression.replace(name.upper(), json.dumps((SCREENS / f"{name}.mjs").as_uri()))
    told = in_page(f"rooms/{room}/{room}-room.js", expression, screens, ROWS if rows is None else rows)
    return [[Moment(**moment) for moment in moments] for moments in told]
