/**
 * @file Undo within ten minutes: never a deletion, always the proper inverse as entries of their own. What was handed over cannot be
 * undone: there the next act puts it right.
 */

import { letGo, pay, promise } from './acts.js';
import { amend } from './amending.js';
import { arrive, weigh } from './handing.js';
import { DEFAULTS } from './board.js';
import { known, now } from './known.js';
import { append, mark } from './log.js';
import { movement } from './stocking.js';
import { badDraft } from './trouble.js';

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Entry} Entry */

const UNDO_MS = 10 * 60_000;

/** What undoes each kind: the entries it writes, by id. @type {Record<string, (entry: Entry) => Promise<(string | null)[]>>} */
const INVERSE = {
  promise: async (entry) => [(await letGo(orderOf(entry).id)).op],
  let_go: async (entry) => [(await promise(sameAgain(orderOf(entry).id))).op],
  amend: async (entry) => [(await amend(orderIdOf(entry), asBefore(entry))).op],
  sell: async (entry) => [await countBack(entry), ...await payBack(entry)],
  pack: unpack,
  pay: payBack,
  weigh: async (entry) => [(await weigh(entry.operation.rows[0].id, entry.prior[0]?.scale_g ?? null)).op],
  arrive: async (entry) => [(await arrive(entry.operation.rows[0].id, entry.prior[0]?.arrived ?? '')).op],
  make: takeBack,
  count: takeBack,
  buy: takeBack,
  note_person: restore,
  note_lot: restore,
  set_good: restore,
  set_house: restore,
};

/**
 * @param {string} op
 * @returns {Date | null} until when it can be undone
 */
export function undoable(op) {
  const entry = known.entries.get(op);
  if (!entry || entry.undone || entry.device !== known.identity?.device || !INVERSE[entry.operation.kind]) return null;
  if (entry.state === 'refused' || entry.state === 'set_aside') return null;
  if (entry.operation.kind === 'promise' && known.view.orders.get(orderIdOf(entry))?.state !== 'promised') return null;
  if (entry.operation.kind === 'pack' && known.view.orders.get(orderIdOf(entry))?.state !== 'packed') return null;
  if (entry.operation.kind === 'amend' && !['promised', 'packed'].includes(known.view.orders.get(orderIdOf(entry))?.state ?? '')) return null;
  const until = new Date(Date.parse(entry.operation.made_at) + UNDO_MS);
  return now() < until ? until : null;
}

/**
 * @param {string} op
 * @returns {Promise<{ops: string[]}>} the entries that undid it
 */
export async function undo(op) {
  const entry = known.entries.get(op);
  if (!entry || !undoable(op)) throw badDraft('op', 'This can no longer be undone.', 'Enter what is right now.');
  const ops = await INVERSE[entry.operation.kind](entry);
  await mark([op], { undone: true });
  return { ops: ops.filter((id) => id !== null) };
}

/** @param {Entry} entry */
function orderIdOf(entry) {
  return entry.operation.rows.map((row) => (row.table === 'order' ? row.id : row.order)).find(Boolean) ?? '';
}

/** @param {Entry} entry */
function orderOf(entry) {
  const order = known.view.orders.get(orderIdOf(entry));
  if (!order) throw badDraft('order', 'The order is not known here any more.', 'Take it again.');
  return order;
}

/**
 * An order let go by mistake, taken again under a new number: the old one stays let go in every book.
 * @param {string} id
 * @returns {import('./shapes.d.ts').Draft}
 */
function sameAgain(id) {
  const { number, state, person, taken_on, gone_on, way, ...kept } = /** @type {import('./shapes.d.ts').Order} */ (known.view.orders.get(id));
  return { ...kept, way, person: person === null ? null : { id: person }, lines: known.view.linesOf(id)
    .map(({ good, units, price_cents, steps = [], taxed = false }) => ({ good, units, price_cents, steps, taxed })) };
}

/**
 * @param {Entry} entry an amendment
 * @returns {import('./shapes.d.ts').Amendment}
 */
function asBefore({ operation, prior }) {
  const order = orderIdOf(/** @type {Entry} */ ({ operation }));
  const before = prior.find((row) => row.table === 'order');
  const changed = operation.rows.find((row) => row.table === 'order') ?? {};
  /** @type {import('./shapes.d.ts').Amendment} */
  const change = Object.fromEntries(Object.keys(changed).filter((field) => !['table', 'id', 'was', 'person'].includes(field))
    .map((field) => [field, before?.[field]]));
  if ('person' in changed && before?.person) change.person = { id: before.person };
  const touched = operation.rows.filter((row) => row.table === 'line');
  if (touched.length) {
    const units_before = new Map(touched.map((row) => [row.id, prior.find((old) => old.id === row.id)?.units ?? 0]));
    change.lines = known.view.grouped('line').get(order)?.map(({ id, good, units, price_cents }) => (
      { good, price_cents, units: units_before.get(id) ?? units }));
  }
  return change;
}

/** @param {Entry} entry the same movements with the other sign, so that every sum reads as if it had not been made */
async function takeBack(entry) {
  const rows = entry.operation.rows.filter((row) => row.table === 'movement').map((row) => (
    { ...movement(row.good, row.lot, -row.units, row.reason, row.on), undoes: row.id }));
  return [(await append(() => ({ kind: 'take_back', rows }))).id];
}

/** @param {Entry} entry a packing: the cartons come back, the parcels are none any more */
async function unpack({ operation }) {
  const rows = /** @type {Row[]} */ (operation.rows.map((row) => {
    if (row.table === 'order') return { table: 'order', id: row.id, state: 'promised' };
    if (row.table === 'parcel') return { table: 'parcel', id: row.id, packed_on: null };
    return { ...row, id: crypto.randomUUID(), units: -row.units, undoes: row.id };
  }));
  return [(await append(() => ({ kind: 'unpack', rows }))).id];
}

/** @param {Entry} entry what left comes back and what came leaves, as a count */
async function countBack(entry) {
  const rows = entry.operation.rows.filter((row) => row.table === 'movement')
    .map(({ good, lot, units, order, line }) => ({ ...movement(good, lot, -units, 'counted'), order, line }));
  return (await append(() => ({ kind: 'count', rows }))).id;
}

/** @param {Entry} entry */
async function payBack(entry) {
  const ops = [];
  for (const row of entry.operation.rows.filter((each) => each.table === 'payment')) {
    ops.push((await pay(row.order, -row.cents, row.how, 'undone')).op);
  }
  return ops;
}

/** @param {Entry} entry puts the fields it changed back; what was new is hidden, or empty if it is a setting */
async function restore({ operation, prior }) {
  const rows = operation.rows.map((row) => {
    const before = prior.find((old) => old.table === row.table && old.id === row.id);
    if (!before) return row.table === 'setting' ? { ...row, value: null } : { table: row.table, id: row.id, hidden: true };
    const fields = Object.keys(row).filter((field) => field !== 'was').map((field) => [field, before[field] ?? DEFAULTS[row.table]?.[field] ?? null]); // a row from before that field was known has none
    return /** @type {Row} */ (Object.fromEntries(fields));
  });
  return [(await append(() => ({ kind: operation.kind, rows }))).id];
}
