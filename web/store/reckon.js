/**
 * @file What an order comes to while it is taken or changed, and what is then written: the sentence and the acts ask the same function,
 * so what is read to the caller is what is kept. An order being changed keeps the prices and the tax rate it was told; what is added to
 * one of its lines costs what was told too, a good that is new in it has the price of today.
 */

import { destinationOf } from "./destination.js";
import { known, today } from "./known.js";
import { lineCents, orderTax, orderTotal, priceOn, taxTerms } from "./pricing.js";

/** @typedef {import('./shapes.d.ts').DraftLine} DraftLine */
/** @typedef {import('./shapes.d.ts').Told} Told */
/** @typedef {import('./shapes.d.ts').Reckoning} Reckoning */
/** @typedef {import('./shapes.d.ts').Draft & {amends?: string | null, state?: string}} Asked `state`: where it goes */

/**
 * The price of one line as it is told now, or was told when the order was promised.
 * @param {DraftLine} line
 * @param {string} way
 * @param {string | null} [amends] the order being changed
 * @returns {Told}
 */
export function toldOf(line, way, amends = null) {
  const good = known.view.goods.get(line.good);
  const kept = amends ? lineOf(amends, line.good) : undefined;
  if (kept) return { price_cents: kept.price_cents, steps: kept.steps ?? [], taxed: Boolean(kept.taxed) };
  const taxed = line.taxed ?? Boolean(good?.taxed);
  if (line.price_cents !== undefined) return { price_cents: line.price_cents, steps: line.steps ?? [], taxed };
  return { ...priceOn(good ?? {}, way, today()), taxed };
}

/** The line of an order that keeps a good's price. @param {string} order @param {string} good */
const lineOf = (order, good) =>
  known.view
    .grouped("line")
    .get(order)
    ?.find((line) => line.good === good);

/**
 * All sums of an order as it stands in the sentence.
 * @param {Asked} asked
 * @returns {Reckoning}
 */
export function reckon(asked) {
  const { way = "pick_up", amends = null } = asked;
  const lines = asked.lines.map((line) => {
    const told = toldOf(line, way, amends);
    return { good: line.good, units: line.units, ...told, total_cents: lineCents(line.units, told.price_cents, told.steps) };
  });
  const terms = { posting_cents: asked.posting_cents ?? 0, ...termsOf(asked) };
  const order = { ...terms, tax_cents: orderTax(terms, lines) };
  return { lines, ...order, total_cents: orderTotal(order, lines) };
}

/**
 * The tax terms: those an order was told as long as it goes the same way to the same state, else today's.
 * @param {Asked} asked
 */
export function termsOf({ way = "pick_up", amends, person, state, tax_rate, tax_mailing, ...where }) {
  if (tax_rate !== undefined) return { tax_rate, tax_mailing: Boolean(tax_mailing) };
  const there = state ?? destinationOf(where, { ...known.view.people.get(person?.id ?? ""), ...person }).state;
  const before = amends ? known.view.orders.get(amends) : undefined;
  if (before && before.way === way && destinationOf(before, known.view.people.get(before.person ?? "")).state === there) {
    return { tax_rate: before.tax_rate ?? 0, tax_mailing: Boolean(before.tax_mailing) };
  }
  return taxTerms(known.view.setting("sales_tax"), way, there, known.view.setting("state", "") ?? "");
}
