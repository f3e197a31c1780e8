/** @file What is sold: goods begun from the usual ones or from one's own words, their prices, their order, stopped and brought back. */

import { newId } from "./ids.js";
import { known, today } from "./known.js";
import { append } from "./log.js";
import { priceOn, STEPS_MAX, STEP_UNITS_MAX } from "./pricing.js";
import { badDraft } from "./trouble.js";
import { FORM_DEFAULTS, USUAL_GOODS, usualRow } from "./usual-goods.js";
import { clean } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Good} Good */
/** @typedef {{usual?: string, id?: string, name?: string, price_cents?: number, [field: string]: any}} NewGood */

const ROWS_MAX = 40;
const RULES_MAX = 24;
const POUR_UNITS_MAX = 100;

/** What people buy here, stopped ones too, in the house's order: no cartons, nothing weighed on its way to be made. */
export function goodsKept() {
  return [...known.view.goods.values()]
    .filter((good) => good.kind !== "carton" && good.unit !== "g" && !good.hidden)
    .sort((a, b) => a.rank - b.rank || (a.id < b.id ? -1 : 1));
}

/**
 * Begins to sell goods, in one entry: usual ones by their id, own ones by name. A usual good that was stopped is brought back
 * with the measures it had.
 * @param {NewGood[]} goods
 * @returns {Promise<{op: string, goods: string[]}>} the ids, in the order asked for
 */
export async function addGoods(goods) {
  if (goods.length < 1 || goods.length > ROWS_MAX) throw badDraft("goods", `${goods.length} goods at once.`, `Add 1 to ${ROWS_MAX}.`);
  const rows = goods.map(newRow);
  const first = Math.max(0, ...goodsKept().map(({ rank }) => rank)) + 1;
  rows.forEach((row, i) => {
    if (!known.view.goods.has(row.id)) row.rank ??= first + i;
  });
  const entry = await append(() => ({ kind: "set_good", rows }));
  return { op: entry.id, goods: rows.map(({ id }) => id) };
}

/** @param {NewGood} good */
export const addGood = (good) => addGoods([good]).then(({ op, goods: [id] }) => ({ op, good: id }));

/**
 * @param {NewGood} good
 * @returns {Row}
 */
function newRow({ usual, ...own }) {
  const found = usual === undefined ? undefined : USUAL_GOODS.find(({ id }) => id === usual);
  if (usual !== undefined && !found)
    throw badDraft("goods", `“${usual}” is none of the usual goods.`, "Choose one of the list, or name your own.");
  const id = own.id ?? found?.id ?? newId();
  const texts = Object.fromEntries(
    ["name", "plural", "short"].filter((key) => own[key] !== undefined).map((key) => [key, clean(own[key], 100)]),
  );
  if (!found && !texts.name) throw badDraft("name", "The good has no name.", "Say what it is called, such as honey jar (1 lb).");
  if (own.price_cents !== undefined) cents(own.price_cents);
  const back = { sold: true, hidden: false };
  if (known.view.goods.has(id)) return { table: "good", ...own, ...texts, id, ...back };
  const usual_row = found
    ? usualRow(found)
    : { kind: "wax", unit: "each", row: 1, form: "", ...FORM_DEFAULTS[own.form ?? ""], plural: texts.name, short: texts.name.slice(0, 30) };
  return { table: "good", ...usual_row, ...own, ...texts, id, ...back };
}

/**
 * @typedef {'' | 'counter' | 'mail'} Place where it is sold; empty: everywhere
 * @typedef {[number, number][]} Steps so many for so many cents
 * @typedef {{place: Place, since: string, cents: number, steps: Steps}} PriceRule
 */

/**
 * What one of it costs from now on, everywhere that has no price of its own. Orders already promised keep what they were told.
 * @param {string} good
 * @param {number} price_cents
 */
export const setPrice = (good, price_cents) => setPrices(good, { cents: price_cents });

/** Every price of a good, the general one of now first. @param {Good} good @returns {PriceRule[]} */
export function pricesOf({ price_cents = 0, steps, prices }) {
  const others = [...(prices ?? [])].sort((a, b) => (a.place < b.place ? -1 : Number(a.place > b.place)) || (a.since < b.since ? -1 : 1));
  return [{ place: "", since: "", cents: price_cents, steps: steps ?? [] }, ...others];
}

/**
 * A price at a place, from a day on; a day that has come is now. What is left out stays as it was; a new place or day begins without
 * quantities, so that none is forgotten there.
 * @param {string} good
 * @param {{place?: Place, since?: string, cents?: number, steps?: Steps}} change
 */
export async function setPrices(good, { place = "", since: day = "", ...change }) {
  const row = goodOf(good);
  const now = today();
  const since = day > now ? day : "";
  const there = ruleAt(row, place, day || now);
  const rule = { place, since, cents: cents(change.cents ?? there.cents), steps: stepsRight(change.steps ?? stepsAt(row, place, since)) };
  const others = (row.prices ?? []).filter((one) => one.place !== place || (since ? one.since !== since : one.since > now));
  const fields = place || since ? { prices: [...others, rule] } : { price_cents: rule.cents, steps: rule.steps, prices: others };
  if ((fields.prices ?? []).length > RULES_MAX)
    throw badDraft("prices", `${fields.prices.length} prices are too many.`, "Take an old one away first.");
  const entry = await append(() => ({ kind: "set_good", rows: [{ table: "good", id: row.id, ...fields }] }));
  return { op: entry.id };
}

/**
 * The quantities of the price at a place that a change from a day on would change; none where that place or day has no price yet.
 * @param {Good} good
 * @param {Place} place
 * @param {string} since empty: from now
 */
export function stepsAt(good, place, since) {
  const rules = pricesOf(good).filter((rule) => rule.place === place && (since ? rule.since === since : rule.since <= today()));
  return rules.at(-1)?.steps ?? [];
}

/** @param {string} good @param {{place: Place, since: string}} rule which is taken away */
export async function dropPrice(good, { place, since }) {
  const row = goodOf(good);
  const prices = (row.prices ?? []).filter((one) => one.place !== place || one.since !== since);
  const entry = await append(() => ({ kind: "set_good", rows: [{ table: "good", id: row.id, prices }] }));
  return { op: entry.id };
}

/** @param {Good} good @param {Place} place @param {string} day */
function ruleAt(good, place, day) {
  const prices = (good.prices ?? []).filter((one) => !one.place || one.place === place);
  return { cents: priceOn({ ...good, prices }, place === "mail" ? "post" : "pick_up", day).price_cents };
}

/** @param {Steps} steps @returns {Steps} by units, each number once */
function stepsRight(steps) {
  const sorted = [...steps].sort((a, b) => a[0] - b[0]);
  const [wrong] = sorted.filter(
    ([units, cost], i) =>
      !(Number.isInteger(units) && units >= 2 && units <= STEP_UNITS_MAX) || sorted[i + 1]?.[0] === units || cents(cost) < 0,
  );
  if (wrong) throw badDraft("steps", `${wrong[0]} for so much is no price.`, `Say from 2 to ${STEP_UNITS_MAX}, each number once.`);
  if (sorted.length > STEPS_MAX) throw badDraft("steps", `${sorted.length} quantities are too many.`, `Keep ${STEPS_MAX} at most.`);
  return sorted;
}

/**
 * No longer offered to callers. What stands on the shelf and what is promised stays as it is.
 * @param {string} good
 * @param {boolean} sold
 */
export async function setSold(good, sold) {
  const entry = await append(() => ({ kind: "set_good", rows: [{ table: "good", id: goodOf(good).id, sold }] }));
  return { op: entry.id };
}

/**
 * How many come out of one set of molds.
 * @param {string} good
 * @param {number} units from 1 to 100
 */
export async function setPourSize(good, units) {
  if (!Number.isInteger(units) || units < 1 || units > POUR_UNITS_MAX)
    throw badDraft("row", `${units} is no number of pieces.`, `Say from 1 to ${POUR_UNITS_MAX}.`);
  const entry = await append(() => ({ kind: "set_good", rows: [{ table: "good", id: goodOf(good).id, row: units }] }));
  return { op: entry.id };
}

/**
 * The goods in the order in which the Counter and the Shelf show them.
 * @param {string[]} ids all of `goodsKept()`, in the order wanted
 */
export async function orderGoods(ids) {
  const rows = ids.map((id, i) => ({ id: goodOf(id).id, rank: i + 1 })).filter(({ id, rank }) => known.view.goods.get(id)?.rank !== rank);
  if (rows.length === 0) return { op: null };
  if (rows.length > ROWS_MAX)
    throw badDraft("goods", `${rows.length} goods would change places.`, `Move fewer: at most ${ROWS_MAX} at once.`);
  const entry = await append(() => ({ kind: "set_good", rows: rows.map((row) => ({ table: /** @type {const} */ ("good"), ...row })) }));
  return { op: entry.id };
}

/** @param {string} id */
function goodOf(id) {
  const good = known.view.goods.get(id);
  if (!good) throw badDraft("good", `There is no good called ${id}.`, "Choose one of what you sell.");
  return good;
}

/** @param {number} value */
export function cents(value) {
  if (!Number.isSafeInteger(value) || value < 0)
    throw badDraft("price_cents", `${value} is no price in cents.`, "Give a price from $0.00.");
  return value;
}
