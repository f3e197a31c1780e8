"""Does one act after the other on a device with a database: what each is answered, and what it writes down."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from store.in_page import in_page

Json = dict[str, Any]
Step = list[Any]
"""The name of an act and what it is given; `$0.op` stands for what the first step was answered. Besides the acts: `ahead_ms` puts the
clock on, `see` asks the view, `mark` says of entries what became of them, `asks` how often the main computer was asked."""

ACTED = """
  const at = (name) => import(asked.web + name);
  const [{ load }, acts, { mark }] = await Promise.all(['store/known.js', 'store/acts.js', 'store/log.js'].map(at));
  const log = () => db.read(['log'], (tx) => tx.objectStore('log').getAll());
  await db.write(['keep'], (tx) => Promise.all([
    tx.objectStore('keep').put({ granted: asked.granted, spent: {} }, 'share'),
    tx.objectStore('keep').put({ ...known.marks, ...asked.marks }, 'marks'),
  ]));
  await load();
  let asks = 0;
  globalThis.fetch = async () => { asks += 1; throw new TypeError('nobody answers'); };
  const others = {
    ahead_ms: async (ms) => { known.marks.offset_ms += ms; },
    see: async (what, ...given) => known.view[what](...given),
    asks: async () => asks,
    mark,
  };
  const answers = [];
  const meant = (given) => {
    const named = typeof given === 'string' && /^\\$(\\d+)((?:\\.\\w+)*)$/.exec(given);
    if (named) return named[2].split('.').slice(1).reduce((value, name) => value[name], answers[Number(named[1])]);
    if (Array.isArray(given)) return given.map(meant);
    if (given && typeof given === 'object') return Object.fromEntries(Object.entries(given).map(([key, value]) => [key, meant(value)]));
    return given;
  };
  const told = [];
  for (const [name, ...given] of asked.steps) {
    const before = (await log()).length;
    let said = '';
    try {
      answers.push(await (others[name] ?? here[name] ?? acts[name])(...given.map(meant)) ?? null);
    } catch (error) {
      answers.push(null);
      said = error.remedy === undefined ? String(error.stack) : `${error.message} ${error.remedy}`.trim();
    }
    const wrote = (await log()).slice(before).map(({ operation: { kind, spent, rows } }) => ({ kind, spent, rows }));
    told.push({ said, answer: answers.at(-1), wrote });
  }
  return told;"""


def acted(
    steps: list[Step], rows: list[Json], granted: dict[str, int] | None = None, marks: Json | None = None, name: str = "acts"
) -> list[Json]:
    """Of each step what was `said` against it, the `answer`, and the entries that it `wrote`."""
    asked = {"steps": steps, "granted": granted or {}, "marks": marks or {}, "web": f"{WEB.as_uri()}/"}
    told: list[Json] = in_page(f"store/{name}.js", f"(async () => {{{ACTED}}})()", asked, rows)
    return told


def rows_of(step: Json, table: str, *fields: str) -> list[list[Any]]:
    """These fields of the rows of a table that a step wrote, in all its entries."""
    return [[row.get(name) for name in fields] for entry in step["wrote"] for row in entry["rows"] if row["table"] == table]
