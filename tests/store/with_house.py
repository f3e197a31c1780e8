"""A device that talks to a main computer which gives the answers of a list, one after the other, and then is out of reach."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.rows import OWNER
from store.in_page import in_page

Json = dict[str, Any]

TALKED = """
  const { load } = await import(`${asked.web}store/known.js`);
  const { furnish } = await import(asked.page);
  const usual = {
    '/api/exchange': { protocol: 1, epoch: 'screens', landed: [], refused: [], changes: [], cursor: 1, more: false, granted: {}, spent: {},
      pool: {}, short: {}, ask_back: {}, last_seq: 0, covered_to: 0, house_time: '2027-07-24T15:00:00Z' },
    '/api/mirror': { protocol: 1, epoch: 'screens', cursor: 1, rows: [], balances: [], sure: [], handed: [], paid: [], granted: {},
      spent: {},
      last_seq: 0, last_hash: '', house_time: '2027-07-24T15:00:00Z' },
    '/api/health': {}, '/api/late': {},
  };
  const all = ['keep', 'log', 'rows', 'sums', 'sentences'];
  const told = [];
  for (const asking of asked.cases) told.push(await talked(asking));
  return told;

  async function talked({ rows, log, keep, sentences, granted, nobody, answers, marks: more, ...given }) {
    await db.write(all, (tx) => Promise.all(all.map((name) => tx.objectStore(name).clear())));
    await furnish({ rows, identity: asked.identity });
    const marks = { ...known.marks, shape: 5, ...more };
    await db.write(all, async (tx) => {
      const kept = { marks, share: { granted, spent: {} }, head: { seq: log.length, hash: 'x', orders: 3 }, ...keep };
      for (const [name, value] of Object.entries(kept)) tx.objectStore('keep').put(value, name);
      for (const entry of log) tx.objectStore('log').put(entry);
      for (const sentence of sentences) tx.objectStore('sentences').put(sentence);
      if (nobody) tx.objectStore('keep').delete('identity');
    });
    await load();
    const asks = [];
    globalThis.fetch = async (path, { body } = {}) => {
      const ask = body ? JSON.parse(body) : {};
      const { meanwhile, refuses, ...answer } = answers.shift() ?? { silent: true };
      asks.push([path, ask.operations?.map(({ seq }) => seq) ?? null, ask.operations?.map(({ kind }) => kind) ?? null]);
      if (answer.silent) throw new TypeError('nobody answers');
      if (meanwhile) await db.write(['keep', 'rows'], (tx) => Promise.all([
        tx.objectStore('keep').put({ ...marks, ...meanwhile.marks }, 'marks'),
        ...(meanwhile.rows ?? []).map(({ table, ...row }) => tx.objectStore('rows').put(row, [table, row.id])),
      ]));
      const problem = { status: refuses, headers: { 'Content-Type': 'application/problem+json' } };
      if (refuses) return new Response(JSON.stringify(answer), problem);
      const door = Object.keys(usual).find((one) => path.endsWith(one));
      const whole = { request: ask.request, ...usual[door], ...answer };
      return new Response(JSON.stringify(whole), { headers: { 'Content-Type': 'application/json' } });
    };
    let said = '', value = null;
    try {
      value = await WORK;
    } catch (error) {
      said = error.remedy === undefined ? `${error.constructor.name} ${error.message}` : `${error.message} ${error.remedy}`.trim();
    }
    const kept = await db.read(all, async (tx) => ({
      marks: await tx.objectStore('keep').get('marks'),
      share: await tx.objectStore('keep').get('share'),
      forgotten: await tx.objectStore('keep').get('forgotten') ?? null,
      log: (await tx.objectStore('log').getAll()).map(({ seq, state, operation: { kind, spent } }) => [seq, state, kind, spent]),
      rows: await tx.objectStore('rows').getAllKeys(),
      parcels: await tx.objectStore('rows').getAll(IDBKeyRange.bound(['parcel'], ['parcel', []])),
      sums: (await tx.objectStore('sums').getAllKeys()).map((key) => key.slice(0, 2)),
    }));
    return { said, value, asks, ...kept, view: [...known.view.people.values()].map(({ id }) => id) };
  }"""


def entry(seq: int, state: str = "in_hand", device: str = "phone-a", **more: Any) -> Json:
    """One of this device's entries, a setting that was set."""
    operation = {"id": f"e{seq}", "device": device, "seq": seq, "kind": "set_house", "made_at": "2027-07-24T14:00:00Z", "before": "",
                 "spent": {}, "rows": [{"table": "setting", "id": "fan", "value": seq}], "hash": f"x{seq}"}  # fmt: skip
    return {"device": device, "seq": seq, "id": f"e{seq}", "operation": operation, "state": state, "position": None, "why": "",
        "remedy": "",
            "prior": [], "undone": False, **more}  # fmt: skip


def talked(module: str, work: str, cases: list[Json]) -> list[Json]:
    """Of each case what is `said` against the work, its `value`, whom it `asks` (address, numbers and kinds of what was sent), and what
    is kept afterwards.

    A case has `answers` (one with `refuses`, a status, is a refusal), and may have `rows`, a `log`, `marks`, what else to `keep`,
    `sentences`, and what is `granted`.
    """
    empty: Json = {"rows": [], "log": [], "keep": {}, "sentences": [], "granted": {}, "nobody": False, "marks": {}}
    page = (WEB.parent / "tests/screens/page.mjs").as_uri()
    asked = {"cases": [{**empty, **case} for case in cases], "web": f"{WEB.as_uri()}/", "page": page, "identity": OWNER}
    told: list[Json] = in_page(module, f"(async () => {{{TALKED.replace('WORK', work)}}})()", asked)
    return told


def states(told: Json) -> list[tuple[int, str]]:
    return [(seq, state) for seq, state, *_ in told["log"]]
