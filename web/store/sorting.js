/** @file How rows stand one after the other. Pure. */

/**
 * @param {string} a
 * @param {string} b
 */
export function compare(a, b) {
  return a < b ? -1 : Number(a > b);
}

/** Made once: `localeCompare` makes one for every two that it compares. */
const numbers = new Intl.Collator("en", { numeric: true });

/**
 * "A-9" before "A-14"; marks of several devices one after the other.
 * @param {import('./shapes.d.ts').Order} a
 * @param {import('./shapes.d.ts').Order} b
 */
export function byNumber(a, b) {
  return numbers.compare(a.number ?? "", b.number ?? "");
}
