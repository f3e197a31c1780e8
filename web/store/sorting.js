/** @file How rows stand one after the other. Pure. */

/**
 * @param {string} a
 * @param {string} b
 */
export function compare(a, b) {
  return a < b ? -1 : Number(a > b);
}

/**
 * Of lots the one made last first: by the day, of one day by the code, "W26-204-10" before "W26-204-9".
 * @param {{id: string, made_on: string}} a
 * @param {{id: string, made_on: string}} b
 */
export function lotsLatestFirst(a, b) {
  return compare(b.made_on, a.made_on) || numbers.compare(b.id, a.id);
}

/**
 * What lies here of several lots, as it is to be used up: the oldest first, of one day by the code; what is of no known lot comes last.
 * @param {{lot: string | null, made_on: string | null}} a
 * @param {{lot: string | null, made_on: string | null}} b
 */
export const oldestFirst = (a, b) =>
  Number(a.lot === null) - Number(b.lot === null) || compare(a.made_on ?? "", b.made_on ?? "") || numbers.compare(a.lot ?? "", b.lot ?? "");

/**
 * How two rows of one day stand. Ids from before there was version 7 are of chance: they stand first, as they were written first.
 * @param {{id: string}} a
 * @param {{id: string}} b
 */
export const asWritten = (a, b) => Number(timed(a.id)) - Number(timed(b.id)) || compare(a.id, b.id);

/** @param {string} id */
const timed = (id) => id[14] === "7";

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
