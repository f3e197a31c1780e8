/** @file Changing an order that is promised or packed: units fall freely and rise only from this device's share, or wait. */

import { orderNow, reservation } from "./acts.js";
import { canonical } from "./canonical.js";
import { asWasSaid, checkedLines, missing, personRows } from "./drafts.js";
import { destinationOf, NOTHING_COPIED } from "./destination.js";
import { newId } from "./ids.js";
import { known, setAside, shareFor } from "./known.js";
import { appendAll } from "./log.js";
import { partedEntries, takenApart } from "./parting.js";
import { withPhoneRead } from "./phones.js";
import { lineCents, orderTax } from "./pricing.js";
import { termsOf, toldOf } from "./reckon.js";
import { clean } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Line} Line */
/** @typedef {import('./shapes.d.ts').Units} Units */
/** @typedef {import('./shapes.d.ts').Amendment} Amendment */

const ORDER_FIELDS = /** @type {const} */ ([
  "way",
  "leave_on",
  "dressing",
  "hold_for_cool",
  "pays",
  "posting_cents",
  "posting_by",
  "note",
  "heat",
  "hold_at_counter",
  "goes_to",
  "to_name",
  "to_street",
  "to_unit",
  "to_city",
  "to_state",
  "to_zip",
  "gift_note",
  "call_for",
  "called_on",
  "goes_with",
]);
const TEXTS = ["note", "heat", "gift_note"];

/** What a row has that was written before these fields were known. @type {Record<string, any>} */
const UNSAID = { ...NOTHING_COPIED, gift_note: "", call_for: "", called_on: null, goes_with: null };
const UNTAXED = { tax_cents: 0, tax_rate: 0, tax_mailing: false };

/**
 * @param {string} order
 * @param {Amendment} asked only what is to change; `lines` is the whole new list
 * @returns {Promise<{op: string | null, ops: string[], parted: import('./shapes.d.ts').Parted, order: string, sure: Units, waiting: Units}>}
 *   `op` is null when nothing differs; `ops`: all that was written, as it is to be undone; `parted`: what is in another parcel now
 */
export async function amend(order, asked) {
  const new_ids = new Map();
  const new_person = newId();
  const who = await withPhoneRead(asked.person);
  const wanted = asked.lines && (asked.lines.some((line) => line.units > 0) ? checkedLines(asked.lines) : []);
  const build = () => {
    const now = { ...UNTAXED, ...orderNow(order, ["promised", "packed"]) };
    const apart = takenApart(now, asked);
    const { change } = apart;
    if (change.goes_with !== undefined) orderNow(order, ["promised"]);
    const person = personRows(who, new_person);
    const lines = wanted ? lineRows(order, wanted, new_ids, change.way ?? now.way, change.sentence) : { rows: [], spent: {} };
    /** @type {Units} */
    const spent = lines.spent;
    const taxed = taxAnew(now, change, lines.rows);
    asWasSaid(
      change.said_sure,
      Object.fromEntries((wanted || []).map(({ good, units }) => [good, Math.min(units, setAside(order, good)) + (spent[good] ?? 0)])),
    );
    const rows = [...person.rows, ...orderRows(now, change, person.id, taxed), ...lines.rows];
    parted = apart.parted;
    return rows.length ? [{ kind: "amend", rows, spent: lines.spent, sentence: change.sentence }, ...partedEntries(apart.riders)] : [];
  };
  /** @type {import('./shapes.d.ts').Parted} */
  let parted = { alone: [], left: null };
  const entries = build().length ? await appendAll(build) : [];
  const { view } = known;
  const lines = view.linesOf(order);
  /** @type {Units} */
  const sure = {};
  for (const line of lines) if (view.sure(line) > 0) sure[line.good] = (sure[line.good] ?? 0) + view.sure(line);
  return { op: entries[0]?.id ?? null, ops: entries.map(({ id }) => id), parted, order, sure, waiting: missing(lines, sure) };
}

/**
 * The order's row with what changes and what this device believed before: two keepers at one order are both told.
 * @param {import('./shapes.d.ts').Order} now
 * @param {Amendment} change
 * @param {string | null} person
 * @param {Record<string, any>} taxed
 * @returns {Row[]}
 */
function orderRows(now, change, person, taxed) {
  /** @type {Record<string, any>} */
  const wanted = { ...(person && change.person !== undefined ? { person } : {}), ...taxed };
  for (const field of ORDER_FIELDS) {
    if (change[field] !== undefined) wanted[field] = TEXTS.includes(field) ? clean(change[field]) : change[field];
  }
  const before = /** @type {Record<string, any>} */ ({ ...UNSAID, ...now });
  const fields = Object.entries(wanted).filter(([field, value]) => before[field] !== value);
  // What was told is a note of this device, not a belief that another keeper could contradict.
  const told = change.told && canonical(change.told) !== canonical(now.told ?? {}) ? { told: change.told } : {};
  if (fields.length === 0 && !("told" in told)) return [];
  return [
    {
      table: "order",
      id: now.id,
      ...Object.fromEntries(fields),
      ...told,
      was: Object.fromEntries(fields.filter(([field]) => !(field in UNTAXED)).map(([field]) => [field, before[field]])),
    },
  ]; // the tax follows from the rest
}

/**
 * The tax the order has after the change; the terms stay those it was told while it goes the same way to the same state.
 * @param {import('./shapes.d.ts').Order} now
 * @param {Amendment} change
 * @param {Row[]} rows the lines that change
 */
function taxAnew(now, change, rows) {
  const lines = new Map(known.view.linesOf(now.id).map((line) => [line.id, line]));
  for (const row of rows) if (row.table === "line") lines.set(row.id, { ...known.view.lines.get(row.id), .../** @type {any} */ (row) });
  const { person = now.person ? { id: now.person } : null, posting_cents = now.posting_cents, way = now.way } = change;
  const { tax_rate, tax_mailing } = change; // an undo says the terms of before
  const whose = person?.id ? { ...known.view.people.get(person.id), ...person } : person;
  const { state } = destinationOf({ ...now, ...change }, whose);
  const terms = termsOf({ amends: now.id, lines: [], way, person, state, tax_rate, tax_mailing });
  return { ...terms, tax_cents: orderTax({ posting_cents, ...terms }, [...lines.values()]) };
}

/**
 * @param {string} order
 * @param {import('./shapes.d.ts').DraftLine[]} wanted
 * @param {Map<string, string>} new_ids ids of new lines by good, the same at every try
 * @param {string} way
 * @param {string} [sentence]
 */
export function lineRows(order, wanted, new_ids, way, sentence) {
  const { view } = known;
  const lines = /** @type {Line[]} */ (view.grouped("line").get(order) ?? []);
  /** @type {Row[]} */
  const rows = [];
  /** @type {Row[]} */
  const reservations = [];
  /** @type {Units} */
  const spent = {};
  const raise = (/** @type {{id: string, good: string}} */ line, /** @type {number} */ most) => {
    const units = Math.min(most, shareFor(line.good, sentence) - (spent[line.good] ?? 0));
    if (units <= 0) return;
    spent[line.good] = (spent[line.good] ?? 0) + units;
    reservations.push(reservation(order, line, units));
  };
  const goods = new Set([...lines.map((line) => line.good), ...wanted.map((line) => line.good)]);
  for (const good of goods) {
    const units = wanted.filter((line) => line.good === good).reduce((sum, line) => sum + line.units, 0);
    const [line, ...others] = lines.filter((each) => each.good === good);
    for (const other of others) lower(other, 0); // the same good twice: the first line takes it all
    if (!line) {
      const id = new_ids.get(good) ?? newId();
      new_ids.set(good, id);
      const told = toldOf(wanted.find((each) => each.good === good) ?? { good, units }, way);
      rows.push({ table: "line", id, order, good, units, ...told, total_cents: lineCents(units, told.price_cents, told.steps) });
      raise({ id, good }, units);
    } else if (units < line.units) lower(line, units);
    else if (units > line.units) {
      rows.push(becomes(line, units));
      // what waited already is the house's to fill, first come first served: only what is added comes from here
      raise(line, Math.min(units - line.units, units - view.sure(line) - view.handed(line)));
    }
  }

  /**
   * @param {Line} line
   * @param {number} units
   */
  function lower(line, units) {
    if (line.units === units) return;
    rows.push(becomes(line, units));
    const freed = view.sure(line) - units;
    if (freed > 0) reservations.push(reservation(order, line, -freed));
  }

  return { rows: [...rows, ...reservations], spent };
}

/**
 * A line with other units, at the price it was told.
 * @param {Line} line
 * @param {number} units
 * @returns {Row}
 */
function becomes(line, units) {
  return {
    table: "line",
    id: line.id,
    units,
    total_cents: lineCents(units, line.price_cents, line.steps ?? []),
    was: { units: line.units },
  };
}
