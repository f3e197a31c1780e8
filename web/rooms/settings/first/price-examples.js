/** Prices to begin with, by usual good, in cents: examples, no one's prices. A good that is not here begins at what a pound of it would be. */
/** @type {Readonly<Record<string, number>>} */
export const PRICE_EXAMPLES = Object.freeze({
  bar_1oz: 300,
  block_1lb: 2200,
  jar_8oz: 600,
  jar_12oz: 800,
  jar_1lb: 1000,
  jar_pint: 1400,
  jar_2lb: 1800,
  jar_quart: 2500,
  bottle_12oz: 800,
  bottle_1lb: 1000,
  bottle_5lb: 4000,
  tub_10oz: 900,
  tub_1lb: 1200,
  comb_12oz: 1400,
  bucket_60lb: 24000,
  candle_pillar: 2400,
  candle_taper: 1600,
  candle_votive: 400,
  wax_pound: 1400,
});
const OTHER_CENTS = 1000;
const STEPS = [0.8, 1, 1.2, 1.5];
const HALF_DOLLAR = 50;

/**
 * Four prices around the one that the good has, else around its example: in half dollars, its own to the cent.
 * @param {string} good @param {number} [own_cents] 0 while it has none
 * @returns {number[]} cents
 */
export function pricesAround(good, own_cents = 0) {
  const middle = own_cents || (PRICE_EXAMPLES[good] ?? OTHER_CENTS);
  /** @param {number} step */
  const near = (step) => Math.max(HALF_DOLLAR, Math.round((middle * step) / HALF_DOLLAR) * HALF_DOLLAR);
  return [...new Set(STEPS.map((step) => (step === 1 ? middle : near(step))))].sort((a, b) => a - b);
}
