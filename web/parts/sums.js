/** What an order comes to and how it was paid, in words; and what people hand over in cash. Pure. */
import { dayShort, listed, money } from "./words.js";
import { lineTotal } from "../store/pricing.js";

/** @import { Adjustment, Order, Payment } from "../store/shapes.d.ts" */
/** @import { View } from "../store/view.js" */

/** @type {Record<Payment["how"], string>} */
export const HOW_SAID = { cash: "in cash", check: "by check", transfer: "by transfer", other: "another way" };
/** @type {Record<Adjustment["why"], string>} */
export const WHY_SAID = {
  discount: "a lower price",
  gift: "a present",
  heat: "heat",
  breakage: "broken",
  loss: "lost",
  correction: "put right",
};
/** Why an order costs nothing. @type {Record<Order["free_for"], string>} */
export const FREE_SAID = { "": "", "heat": "for heat", "breakage": "for breakage", "loss": "for what never came", "gift": "as a present" };
const COINS_CENTS = [100, 500, 1000, 2000, 5000, 10_000];
const BILLS_MOST = 5;

/**
 * "$15.00 and $12.40 mailing: $27.40"; the sum alone where it is goods alone.
 * @param {{goods_cents: number, posting_cents?: number, tax_cents?: number, adjusted_cents?: number}} sums
 */
export function sumSaid({ goods_cents: goods, posting_cents: mailing = 0, tax_cents: tax = 0, adjusted_cents: adjusted = 0 }) {
  const parts = [mailing ? `${money(mailing)} mailing` : "", tax ? `${money(tax)} sales tax` : ""].filter(Boolean);
  const total = money(goods + mailing + tax + adjusted);
  if (!parts.length && !adjusted) return total;
  const off = adjusted < 0 ? `, ${money(-adjusted)} taken off` : adjusted > 0 ? `, ${money(adjusted)} put on` : "";
  return `${listed([money(goods), ...parts])}${off}: ${total}`;
}

/** What an order comes to, part by part. @param {Order} order @param {View} view */
export const orderSumSaid = (order, view) =>
  sumSaid({
    goods_cents: view.linesOf(order.id).reduce((sum, line) => sum + lineTotal(line), 0),
    posting_cents: order.posting_cents,
    tax_cents: order.tax_cents,
    adjusted_cents: view.adjusted(order.id),
  });

/** "Tue Jul 21: $20.00 in cash, $30.00 back from $50.00". @param {Payment} payment */
export function paymentSaid({ on, cents, how, given_cents: given, check_number: number, corrects, note }) {
  const sum = cents < 0 && !corrects ? `${money(-cents)} paid back ${HOW_SAID[how]}` : `${money(cents)} ${HOW_SAID[how]}`;
  const change = given && given > cents ? `, ${money(given - cents)} back from ${money(given)}` : "";
  const check = number ? `, number ${number}` : "";
  return `${dayShort(on)}: ${sum}${check}${change}${corrects ? ", put right" : ""}${note ? `, ${note}` : ""}`;
}

/** What somebody may hand over for a sum: the next whole dollars and bills, the least first. @param {number} cents @returns {number[]} */
export function handedOver(cents) {
  if (cents <= 0) return [];
  const sums = COINS_CENTS.map((coin) => Math.ceil(cents / coin) * coin).filter((sum) => sum > cents);
  return [...new Set(sums)].sort((a, b) => a - b).slice(0, BILLS_MOST);
}
