/** @file Changing an order that is promised or packed: units fall freely and rise only from this device's share, or wait. */

import { orderNow, reservation } from './acts.js';
import { checkedLines, missing, personRows } from './drafts.js';
import { known, shareOf } from './known.js';
import { append } from './log.js';
import { withPhoneRead } from './phones.js';
import { clean } from './words.js';

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Line} Line */
/** @typedef {import('./shapes.d.ts').Units} Units */
/** @typedef {import('./shapes.d.ts').Amendment} Amendment */

const ORDER_FIELDS = /** @type {const} */ (
  ['way', 'leave_on', 'dressing', 'hold_for_cool', 'pays', 'posting_cents', 'posting_by', 'note', 'heat', 'hold_at_counter']);

/**
 * @param {string} order
 * @param {Amendment} change only what is to change; `lines` is the whole new list
 * @returns {Promise<{op: string | null, order: string, sure: Units, waiting: Units}>} `op` is null when nothing differs
 */
export async function amend(order, change) {
  const new_ids = new Map();
  const new_person = crypto.randomUUID();
  const who = await withPhoneRead(change.person);
  const wanted = change.lines && (change.lines.some((line) => line.units > 0) ? checkedLines(change.lines) : []);
  const build = () => {
    const now = orderNow(order, ['promised', 'packed']);
    const person = personRows(who, new_person);
    const lines = wanted ? lineRows(order, wanted, new_ids) : { rows: [], spent: {} };
    return { kind: 'amend', rows: [...person.rows, ...orderRows(now, change, person.id), ...lines.rows], spent: lines.spent };
  };
  const entry = build().rows.length ? await append(build) : null;
  const { view } = known;
  const lines = view.linesOf(order);
  /** @type {Units} */
  const sure = {};
  for (const line of lines) if (view.sure(line) > 0) sure[line.good] = (sure[line.good] ?? 0) + view.sure(line);
  return { op: entry?.id ?? null, order, sure, waiting: missing(lines, sure) };
}

/**
 * The order's row with what changes and what this device believed before: two keepers at one order are both told.
 * @param {import('./shapes.d.ts').Order} now
 * @param {Amendment} change
 * @param {string | null} person
 * @returns {Row[]}
 */
function orderRows(now, change, person) {
  /** @type {Record<string, any>} */
  const wanted = { ...(person && change.person !== undefined ? { person } : {}) };
  for (const field of ORDER_FIELDS) {
    if (change[field] !== undefined) wanted[field] = field === 'note' || field === 'heat' ? clean(change[field]) : change[field];
  }
  const before = /** @type {Record<string, any>} */ (now);
  const fields = Object.entries(wanted).filter(([field, value]) => before[field] !== value);
  // What was told is a note of this device, not a belief that another keeper could contradict.
  const told = change.told && JSON.stringify(change.told) !== JSON.stringify(now.told ?? {}) ? { told: change.told } : {};
  if (fields.length === 0 && !('told' in told)) return [];
  return [{ table: 'order', id: now.id, ...Object.fromEntries(fields), ...told,
    was: Object.fromEntries(fields.map(([field]) => [field, before[field]])) }];
}

/**
 * @param {string} order
 * @param {import('./shapes.d.ts').DraftLine[]} wanted
 * @param {Map<string, string>} new_ids ids of new lines by good, the same at every try
 */
function lineRows(order, wanted, new_ids) {
  const { view } = known;
  const lines = /** @type {Line[]} */ (view.grouped('line').get(order) ?? []);
  /** @type {Row[]} */
  const rows = [];
  /** @type {Row[]} */
  const reservations = [];
  /** @type {Units} */
  const spent = {};
  const raise = (/** @type {{id: string, good: string}} */ line, /** @type {number} */ most) => {
    const units = Math.min(most, shareOf(line.good) - (spent[line.good] ?? 0));
    if (units <= 0) return;
    spent[line.good] = (spent[line.good] ?? 0) + units;
    reservations.push(reservation(order, line, units));
  };
  const goods = new Set([...lines.map((line) => line.good), ...wanted.map((line) => line.good)]);
  for (const good of goods) {
    const units = wanted.filter((line) => line.good === good).reduce((sum, line) => sum + line.units, 0);
    const price_cents = wanted.find((line) => line.good === good)?.price_cents;
    const [line, ...others] = lines.filter((each) => each.good === good);
    for (const other of others) lower(other, 0); // the same good twice: the first line takes it all
    if (!line) {
      const id = new_ids.get(good) ?? crypto.randomUUID();
      new_ids.set(good, id);
      rows.push({ table: 'line', id, order, good, units, price_cents });
      raise({ id, good }, units);
    } else if (units < line.units) lower(line, units);
    else if (units > line.units) {
      rows.push({ table: 'line', id: line.id, units, was: { units: line.units } });
      raise(line, units - view.sure(line));
    }
  }

  /**
   * @param {Line} line
   * @param {number} units
   */
  function lower(line, units) {
    if (line.units === units) return;
    rows.push({ table: 'line', id: line.id, units, was: { units: line.units } });
    const freed = view.sure(line) - units;
    if (freed > 0) reservations.push(reservation(order, line, -freed));
  }

  return { rows: [...rows, ...reservations], spent };
}
