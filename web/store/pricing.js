/**
 * @file What a line and an order cost: the same as server/honeyhold/stock/pricing.py, here so that taking an order waits for nothing.
 * The rules are told there; tests/goods/price_cases.json holds both to the same answers. All in whole cents; nothing is imported.
 */

/** @typedef {[number, number]} Step so many units for so many cents */
/** @typedef {{price_cents: number, steps: Step[]}} Price */
/** @typedef {{place?: string, since?: string, cents: number, steps?: Step[]}} PriceRule */
/** @typedef {{units: number, price_cents?: number, total_cents?: number | null, taxed?: boolean, [field: string]: any}} PricedLine */

export const STEPS_MAX = 6;
export const STEP_UNITS_MAX = 500;
/** Tax rates are whole thousandths of a percent: 8.875 % is 8875. */
export const RATE_PER_WHOLE = 100_000;
/** @type {Record<string, 'mail' | 'counter'>} */
const PLACES = { post: "mail", pick_up: "counter", walk_in: "counter" };

/** The place whose price counts for a way of leaving. @param {string} way */
export const placeOfSale = (way) => PLACES[way] ?? "counter";

/**
 * The cheapest cover of `units` by ones and by steps: fewer never cost more than more.
 * @param {number} units
 * @param {number} price_cents
 * @param {Step[]} [steps]
 */
export function lineCents(units, price_cents, steps = []) {
  /** @type {Step[]} */
  const offers = [[1, price_cents], ...steps];
  if (offers.length === 1) return units * price_cents;
  const [best_units, best_cents] = offers.reduce((best, offer) => (offer[1] * best[0] < best[1] * offer[0] ? offer : best));
  const many = best_units * Math.max(...offers.map(([size]) => size));
  const times = units > many ? Math.floor((units - many) / best_units) : 0;
  return times * best_cents + cover(units - times * best_units, offers);
}

/**
 * @param {number} units
 * @param {Step[]} offers
 */
function cover(units, offers) {
  const least = new Float64Array(units + 1); // whole numbers far below 2^53
  for (let count = 1; count <= units; count += 1) {
    least[count] = Math.min(...offers.map(([size, cents]) => cents + least[Math.max(0, count - size)]));
  }
  return least[units];
}

/**
 * The price of a good on a day, for a way of leaving.
 * @param {{price_cents?: number, steps?: Step[] | null, prices?: PriceRule[] | null}} good
 * @param {string} way
 * @param {string} day
 * @returns {Price}
 */
export function priceOn(good, way, day) {
  const begun = (good.prices ?? []).filter(({ since = "" }) => since <= day);
  for (const wanted of [placeOfSale(way), ""]) {
    const found = begun.filter(({ place = "" }) => place === wanted);
    if (found.length) {
      const last = found.reduce((best, price) => ((price.since ?? "") > (best.since ?? "") ? price : best));
      return { price_cents: last.cents, steps: sorted(last.steps) };
    }
  }
  return { price_cents: good.price_cents ?? 0, steps: sorted(good.steps) };
}

/** @param {Step[] | null | undefined} steps @returns {Step[]} */
const sorted = (steps) => [...(steps ?? [])].sort((a, b) => a[0] - b[0] || a[1] - b[1]);

/** What a line costs as it was told; an old one has no total. @param {PricedLine} line */
export const lineTotal = ({ units, price_cents = 0, total_cents }) => total_cents ?? units * price_cents;

/**
 * The terms of a new order by the setting `sales_tax`.
 * @param {any} setting
 * @param {string} way
 * @param {string} state
 * @param {string} own_state
 */
export function taxTerms(setting, way, state, own_state) {
  const elsewhere = way === "post" && state && own_state && state.toUpperCase() !== own_state.toUpperCase();
  if (!setting?.on || (elsewhere && !setting.elsewhere)) return { tax_rate: 0, tax_mailing: false };
  return { tax_rate: setting.rate ?? 0, tax_mailing: Boolean(setting.mailing) };
}

/** Tax on a sum, half a cent up. @param {number} taxed_cents @param {number} rate */
export const taxCents = (taxed_cents, rate) => Math.floor((taxed_cents * rate + RATE_PER_WHOLE / 2) / RATE_PER_WHOLE);

/**
 * The tax of an order at the rate it was told.
 * @param {{posting_cents?: number, tax_rate?: number, tax_mailing?: boolean}} order
 * @param {PricedLine[]} lines
 */
export function orderTax({ posting_cents = 0, tax_rate = 0, tax_mailing = false }, lines) {
  const taxed = lines.filter((line) => line.taxed).reduce((sum, line) => sum + lineTotal(line), 0);
  return taxCents(taxed + (tax_mailing ? posting_cents : 0), tax_rate);
}

/**
 * What an order comes to, as it is kept with it.
 * @param {{posting_cents?: number, tax_cents?: number}} order
 * @param {PricedLine[]} lines
 */
export function orderTotal({ posting_cents = 0, tax_cents = 0 }, lines) {
  return lines.reduce((sum, line) => sum + lineTotal(line), 0) + posting_cents + (tax_cents ?? 0);
}

/** @param {number} cents */
const dollars = (cents) => `$${Math.floor(cents / 100).toLocaleString("en-US")}.${String(cents % 100).padStart(2, "0")}`;

/** "$3.00 each, 10 for $25.00" @param {Price} price */
export function priceSaid({ price_cents, steps }) {
  const parts = steps.map(([units, cents]) => `${units} for ${dollars(cents)}`);
  return [parts.length ? `${dollars(price_cents)} each` : dollars(price_cents), ...parts].join(", ");
}
