/** @file What this device would like to hold: for the caller on the line, for the sentence being composed, and for ordinary days. */

import { known, shareOf } from './known.js';
import { append } from './log.js';
import { takingOrder } from './turn.js';
import { HouseError } from './trouble.js';

/** @typedef {import('./shapes.d.ts').Units} Units */

/**
 * As much of every good that is sold as the main computer thinks wise: it sees what every device's callers wanted, how long each
 * is out of reach and what waits, and decides. A small wish of our own only kept it from giving what it would have given.
 */
const AS_MUCH_AS_WISE_UNITS = 10_000;

/** Units being asked for right now. @type {Units} */
export const asking = {};
/** Units of the sentence being composed. @type {Units} */
let held = {};

/** @param {{good: string, units: number}[]} lines being composed now; none when the sentence is closed */
export function holdFor(lines) {
  held = {};
  for (const { good, units } of lines) held[good] = (held[good] ?? 0) + units;
  takingOrder(lines.length > 0);
}

export function wishes() {
  const sold = [...known.view.goods.values()].filter((good) => good.sold && !good.hidden);
  return { wants: Object.fromEntries(sold.map(({ id }) => [id, AS_MUCH_AS_WISE_UNITS])), callers: { ...held, ...asking } };
}

/** @param {Units} ask_back what the house would like returned; what is being promised right now stays */
export async function giveBack(ask_back) {
  /** @type {() => Units} */
  const spare = () => Object.fromEntries(Object.entries(ask_back)
    .map(([good, units]) => [good, Math.min(units, shareOf(good) - Math.max(held[good] ?? 0, asking[good] ?? 0))])
    .filter(([, units]) => Number(units) > 0));
  if (known.marks.frozen || Object.keys(spare()).length === 0) return;
  await append(() => {
    const spent = spare();
    if (Object.keys(spent).length === 0) throw new HouseError('draft', 'Nothing is left to give back.', '');
    return { kind: 'give_back', rows: [], spent };
  }).catch(() => {}); // the house asks again
}
