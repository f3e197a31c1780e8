/**
 * @file Who took which lot, from what this device knows: the house told it with the mirror (two years of closed orders), and every
 * entry since is added up. `traceRequest` is what `stock.trace` wants; `since` says from which day on it is complete.
 */

import { read } from "./database.js";
import { known } from "./known.js";

/** @typedef {import('./shapes.d.ts').TookBook} TookBook */

/**
 * @param {string} lot
 * @returns {Promise<{since: string | null, request: Record<string, any>}>} `since` is null when this device never heard the house
 */
export async function traceRequest(lot) {
  /** @type {TookBook} */
  const book = (await read(["keep"], (tx) => tx.objectStore("keep").get("took"))) ?? { since: null, gone: [], took: [] };
  /** Those that left this device since. @type {TookBook['gone']} */
  const forgotten = (await read(["keep"], (tx) => tx.objectStore("keep").get("forgotten"))) ?? [];
  const { view } = known;
  const around = madeOf(lot);
  /** @type {Map<string, number>} */
  const took = new Map();
  const add = (/** @type {string} */ key, /** @type {number} */ units) => took.set(key, (took.get(key) ?? 0) + units);
  for (const row of book.took) if (around.has(row.lot)) add(`${row.lot} ${row.order} ${row.good}`, row.units);
  for (const code of around) view.board.took.get(code)?.forEach((units, key) => add(`${code} ${key}`, units));
  const gone = new Map([...book.gone, ...forgotten].map((order) => [order.id, order]));
  /** @type {Map<string, any>} */
  const orders = new Map();
  /** @type {Record<string, any>[]} */
  const movements = [];
  /** @type {Map<string, number>} */
  const left = new Map();
  for (const [key, units] of took) {
    const [code, order, good] = key.split(" ");
    const row = view.orders.get(order) ?? gone.get(order);
    orders.set(order, { id: order, number: row?.number ?? null, person: view.people.get(row?.person ?? "")?.id ?? row?.person ?? null });
    movements.push({ lot: code, good, units: -units, reason: "gone", order, on: row?.gone_on ?? null });
    left.set(`${code} ${good}`, (left.get(`${code} ${good}`) ?? 0) + units);
  }
  for (const [good, lots] of view.board.balances) {
    for (const [code, units] of lots) {
      const here = units + (left.get(`${code} ${good}`) ?? 0); // what was made: what is here and what they took
      if (around.has(code) && here) movements.push({ lot: code, good, units: here, reason: "made", order: null, on: null });
    }
  }
  const people = [...new Set([...orders.values()].map((order) => order.person))].map((id) => view.people.get(id)).filter(Boolean);
  const lots = [...view.lots.values()].map(({ id, good, made_on, sources }) => ({ id, good, made_on, sources }));
  return { since: book.since, request: { lot, lots, movements, orders: [...orders.values()], people } };
}

/**
 * The lot and all that was made of it, at any remove.
 * @param {string} lot
 */
function madeOf(lot) {
  const found = new Set([lot]);
  for (let more = true; more;) {
    more = false;
    for (const { id, sources } of known.view.lots.values()) {
      if (!found.has(id) && sources.some((source) => found.has(source))) {
        found.add(id);
        more = true;
      }
    }
  }
  return found;
}

/** All that moved, by good, reason and year: what `stock.season_sums` and `stock.wax_here` want. */
export function movedRows() {
  return [...known.view.board.moved].flatMap(([good, sums]) =>
    [...sums].map(([key, units]) => {
      const [reason, year] = key.split(" ");
      return { good, reason, year: Number(year), units };
    }),
  );
}
