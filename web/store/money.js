/** @file Money as entries: paid, paid back, put right, taken off a price; what is sent again at no charge; the till. Nothing is ever edited. */

import { badDraft } from "./trouble.js";
import { whole } from "./drafts.js";
import { newId } from "./ids.js";
import { known, now, today } from "./known.js";
import { append, appendAll } from "./log.js";
import { momentAfter } from "./till.js";
import { clean } from "./words.js";

const PAYMENTS_OF_AN_ENTRY = 4;

/** @typedef {import('./shapes.d.ts').Payment} Payment */
/** @typedef {import('./shapes.d.ts').Adjustment} Adjustment */
/** @typedef {import('./shapes.d.ts').TillEntry} TillEntry */

/**
 * @param {string} order
 * @param {number} cents below zero when paid back
 * @param {Payment['how']} how
 * @param {string} [note]
 * @param {{check_number?: string, given_cents?: number | null}} [more] what was handed over in cash; the rest was change
 */
export async function pay(order, cents, how, note = "", { check_number, given_cents } = {}) {
  if (whole("cents", cents) === 0) throw badDraft("cents", "Nothing was paid.", "Give the amount.");
  if (given_cents !== undefined && given_cents !== null && (how !== "cash" || given_cents < cents)) {
    throw badDraft("given_cents", "That is less than it costs.", "Enter it as a part of what they owe.");
  }
  const row = { table: /** @type {const} */ ("payment"), id: newId(), order, cents, how, on: today(), note };
  const more = { ...(check_number ? { check_number: clean(check_number, 40) } : {}), ...(given_cents ? { given_cents } : {}) };
  const entry = await append(() => ({ kind: "pay", rows: [{ ...row, ...more }] }));
  return { op: entry.id };
}

/**
 * What one person owes for several orders, paid at once: each order gets its own payment, in one entry as far as one holds them.
 * @param {string[]} orders
 * @param {Payment['how']} how
 */
export async function payAll(orders, how) {
  const ids = orders.map(() => newId());
  const entries = await appendAll(() => {
    const rows = orders.map((order, at) => ({
      table: /** @type {const} */ ("payment"),
      id: ids[at],
      order,
      cents: known.view.owed(order),
      how,
      on: today(),
      note: "",
    }));
    if (rows.some(({ cents }) => cents <= 0)) throw badDraft("cents", "Something of it was paid meanwhile.", "Look at them again.");
    return Array.from({ length: Math.ceil(rows.length / PAYMENTS_OF_AN_ENTRY) }, (_, part) => ({
      kind: "pay",
      rows: rows.slice(part * PAYMENTS_OF_AN_ENTRY, (part + 1) * PAYMENTS_OF_AN_ENTRY),
    }));
  });
  return { op: entries.length === 1 ? entries[0].id : null };
}

/**
 * A payment was entered wrongly: another entry, of its day and way, makes it so many cents.
 * @param {string} payment
 * @param {number} cents
 * @param {string} [note]
 */
export async function correct(payment, cents, note = "") {
  whole("cents", cents);
  const id = newId();
  const entry = await append(() => {
    const wrong = known.view.payments.get(payment);
    if (!wrong) throw badDraft("payment", "That payment is not on this device.", "Enter what was paid by itself.");
    const { order, how, on } = wrong;
    const more = cents - paidNow(wrong);
    if (more === 0) throw badDraft("cents", "It says so already.", "Nothing to do.");
    return { kind: "pay", rows: [{ table: "payment", id, order, cents: more, how, on, note, corrects: payment }] };
  });
  return { op: entry.id };
}

/** What a payment comes to with all that put it right. @param {Payment} payment */
export const paidNow = (payment) =>
  known.view
    .paymentsOf(payment.order)
    .filter(({ corrects }) => corrects === payment.id)
    .reduce((sum, { cents }) => sum + cents, payment.cents);

/**
 * Something taken off what an order comes to (below zero), or put back on.
 * @param {string} order
 * @param {number} cents
 * @param {Adjustment['why']} why
 * @param {string} [note]
 */
export async function adjust(order, cents, why, note = "") {
  if (whole("cents", cents) === 0) throw badDraft("cents", "Nothing is taken off.", "Give the amount.");
  const id = newId();
  const entry = await append(() => {
    const { view } = known;
    if (!view.orders.has(order)) throw badDraft("order", `There is no order ${order}.`, "Choose one from the list.");
    if (cents < 0 && view.total(order) + cents < 0) {
      throw badDraft("cents", "That is more than the order comes to.", "Take off less.");
    }
    return { kind: "adjust", rows: [{ table: "adjustment", id, order, cents, why, on: today(), note: clean(note) }] };
  });
  return { op: entry.id };
}

/**
 * Cash put into the till (`opening`), `taken` out of it, or `counted` in it.
 * @param {TillEntry['what']} what
 * @param {number} cents
 * @param {string} [note]
 */
export async function till(what, cents, note = "") {
  if (whole("cents", cents) < 0) throw badDraft("cents", "Less than nothing is no cash.", "Give the amount.");
  const entry = await append(() => {
    const on = today();
    const counts = what === "counted" ? [...known.view.till.values()].filter((row) => row.on === on && row.what === "counted") : [];
    const at = momentAfter(counts, now());
    return { kind: "note_till", rows: [{ table: "till", id: newId(), on, what, cents, at, note: clean(note) }] };
  });
  return { op: entry.id };
}
