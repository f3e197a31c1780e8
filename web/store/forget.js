/**
 * @file Orders of long ago leave this device, as they leave the house's mirror: closed before the day the house names, settled, and
 * not spoken of by an entry in hand. Who had them, for a lot called back, is kept ('forgotten' in the store 'keep').
 */

import { unseen } from "./known.js";
import { View } from "./view.js";

/** @typedef {import('./shapes.d.ts').Order} Order */
/** @typedef {import('./shapes.d.ts').Entry} Entry */
/** @typedef {{id: string, number: string, person: string | null, gone_on: string | null}} Gone */
/** @typedef {{rows: [string, string][], sums: [string, string][], parcels: any[], gone: Gone[]}} Forgotten */

/** What is kept of a parcel that is known to have come: how, not how it was packed. */
const ARRIVAL = ["id", "order", "part", "dressing", "packed_on", "told_permille", "arrived", "arrived_on"];

/**
 * Takes them from the mirror; what must leave the database is in the answer.
 * @param {import('./board.js').Board} mirror changed in place
 * @param {string | undefined} keep_since a day; an older house does not name one, then nothing is forgotten
 * @param {Set<string>} named orders that entries in hand speak of
 * @param {Set<string> | null} [only] the orders to look at, where all others were looked at for this very day; null: all
 * @returns {Forgotten}
 */
export function forget(mirror, keep_since, named, only = null) {
  /** @type {Forgotten} */
  const left = { rows: [], sums: [], parcels: [], gone: [] };
  if (!keep_since) return left;
  const view = new View(mirror);
  const here = (/** @type {string} */ order) => view.orders.has(order) || named.has(order);
  const looked_at = only ? [...only].flatMap((id) => view.orders.get(id) ?? []) : [...view.orders.values()];
  const old = looked_at.filter(
    (order) => order.closed_on && order.closed_on < keep_since && !named.has(order.id) && !order.free_for && view.owed(order) === 0,
  );
  if (only && !old.length && [...only].every(here)) return left;
  for (const { id, number, person, state, gone_on } of old) {
    if (state === "gone") left.gone.push({ id, number, person, gone_on });
    drop(view.orders, "order", id, left);
  }
  for (const line of view.lines.values()) if (!here(line.order)) drop(view.lines, "line", line.id, left);
  for (const payment of view.payments.values()) if (!here(payment.order)) drop(view.payments, "payment", payment.id, left);
  for (const parcel of view.parcels.values()) if (!here(parcel.order)) forgetParcel(view, parcel, left);
  for (const [kind, sums, known] of /** @type {const} */ ([
    ["sure", mirror.sure, (/** @type {string} */ line) => view.lines.has(line)],
    ["handed", mirror.handed, (/** @type {string} */ line) => view.lines.has(line)],
    ["paid", mirror.paid, here],
  ])) {
    for (const key of sums.keys()) {
      if (known(key)) continue;
      sums.delete(key);
      left.sums.push([kind, key]);
    }
  }
  return left;
}

/**
 * @param {Map<string, any>} rows
 * @param {string} table
 * @param {string} id
 * @param {Forgotten} left
 */
function drop(rows, table, id, left) {
  rows.delete(id);
  left.rows.push([table, id]);
}

/**
 * @param {View} view
 * @param {any} parcel
 * @param {Forgotten} left
 */
function forgetParcel(view, parcel, left) {
  if (!parcel.arrived) drop(view.parcels, "parcel", parcel.id, left);
  else if (Object.keys(parcel).some((field) => !ARRIVAL.includes(field))) {
    const kept = Object.fromEntries(ARRIVAL.map((field) => [field, parcel[field] ?? null]));
    view.parcels.set(parcel.id, /** @type {any} */ (kept));
    left.parcels.push(kept);
  }
}

/**
 * The same in the database, in the transaction that lays the answer.
 * @param {import('./database.js').Writing} tx
 * @param {Forgotten} left
 */
export async function forgotten(tx, left) {
  const [rows, sums, keep] = [tx.objectStore("rows"), tx.objectStore("sums"), tx.objectStore("keep")];
  const before = left.gone.length ? ((await keep.get("forgotten")) ?? []) : [];
  await Promise.all([
    ...left.rows.map((key) => rows.delete(key)),
    ...left.parcels.map((parcel) => rows.put(parcel, ["parcel", parcel.id])),
    ...left.sums.map((key) => sums.delete(IDBKeyRange.bound(key, [...key, []]))), // whatever the good
    ...(left.gone.length ? [keep.put([...before, ...left.gone], "forgotten")] : []),
  ]);
}

/**
 * Orders that entries speak of which the house has not answered, or that wait for the keeper.
 * @param {Iterable<Entry>} entries
 * @param {import('./board.js').Board} mirror
 * @param {number | null} cursor
 */
export function ordersNamed(entries, mirror, cursor) {
  /** @type {Set<string>} */
  const named = new Set();
  for (const entry of entries) {
    if (!unseen(entry, cursor) && entry.state !== "refused") continue;
    ordersOf(entry.operation.rows, mirror).forEach((order) => named.add(order));
  }
  return named;
}

/**
 * Orders that rows speak of.
 * @param {import('./shapes.d.ts').Row[]} rows
 * @param {import('./board.js').Board} mirror
 * @returns {string[]}
 */
export function ordersOf(rows, mirror) {
  return rows.flatMap((row) => (row.table === "order" ? row.id : (row.order ?? mirror.tables[row.table]?.get(row.id)?.order)) ?? []);
}
