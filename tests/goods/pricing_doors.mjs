/** @file Two of `stock.pricing`'s doors put together from the browser's own functions, so that one table of cases asks both. */

import { lineCents, lineTotal, orderTax, orderTotal, priceOn, priceSaid, taxTerms } from "../../web/store/pricing.js";

/** @typedef {import("../../web/store/pricing.js").PricedLine} PricedLine */

/**
 * What a new line keeps for good.
 * @param {any} good
 * @param {number} units
 * @param {string} way
 * @param {string} day
 */
function toldLine(good, units, way, day) {
  const price = priceOn(good, way, day);
  return { ...price, taxed: Boolean(good.taxed), total_cents: lineCents(units, price.price_cents, price.steps) };
}

/** The door of the shared cases. @param {{good: any, units: number, way: string, day: string}} asked */
export function linePrice({ good, units, way, day }) {
  const told = toldLine(good, units, way, day);
  return { ...told, words: priceSaid(told) };
}

/** The door of the shared cases. @param {any} asked as `order_sums` of pricing.py */
export function orderSums({ lines, posting_cents = 0, setting, way, state = "", own_state = "", paid_cents = 0 }) {
  const summed = lines.map((/** @type {PricedLine} */ line) => ({
    ...line,
    total_cents: lineCents(line.units, line.price_cents ?? 0, sorted(line.steps)),
  }));
  const terms = { posting_cents, ...taxTerms(setting, way, state, own_state) };
  const order = { ...terms, tax_cents: orderTax(terms, summed) };
  const totals = summed.map((/** @type {PricedLine} */ line) => lineTotal(line));
  const total_cents = orderTotal(order, summed);
  return {
    lines: totals,
    goods_cents: totals.reduce((/** @type {number} */ sum, /** @type {number} */ one) => sum + one, 0),
    ...order,
    total_cents,
    owed_cents: total_cents - paid_cents,
  };
}

/** @param {number[][] | undefined} steps */
const sorted = (steps) => [...(steps ?? [])].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
