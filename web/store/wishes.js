/** @file What this device would like to hold: for the caller on the line, for the sentence being composed, and for ordinary days. */

import { known, shareOf } from './known.js';
import { append } from './log.js';
import { takingOrder } from './turn.js';
import { HouseError } from './trouble.js';

/** @typedef {import('./shapes.d.ts').Units} Units */

const USUAL_UNITS = 20; // two callers who want ten each (common practice of small wax sellers, no source)
const LOOK_BACK_DAYS = 14;
const GAP_DAYS = 3; // how long a device may well be without signal; the house, which sees all devices, decides what is given
const DAY_MS = 86_400_000;

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

/** @param {string} today */
export function wishes(today) {
  return { wants: ordinary(today), callers: { ...held, ...asking } };
}

/**
 * For each good that is sold: what this device's own callers wanted lately, for as long as it may be out of reach.
 * @param {string} today
 */
function ordinary(today) {
  const { view, identity } = known;
  const since = new Date(Date.parse(today) - LOOK_BACK_DAYS * DAY_MS).toISOString().slice(0, 10);
  /** @type {Units} */
  const wanted = {};
  for (const order of view.orders.values()) {
    if (order.taken_on < since || !order.number.startsWith(`${identity?.mark}-`)) continue;
    for (const { good, units } of view.linesOf(order)) wanted[good] = (wanted[good] ?? 0) + units;
  }
  const sold = [...view.goods.values()].filter((good) => good.sold && !good.hidden);
  return Object.fromEntries(sold.map(({ id }) => [id, Math.max(USUAL_UNITS, Math.ceil((wanted[id] ?? 0) * GAP_DAYS / LOOK_BACK_DAYS))]));
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
