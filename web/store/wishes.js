/** @file What this device would like to hold: for the caller on the line, for the sentence being composed, and for ordinary days. */

import { heldOf, known, shareOf } from "./known.js";
import { append } from "./log.js";
import { takingOrder } from "./turn.js";
import { HouseError } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Units} Units */

/**
 * As much of every good that is sold as the main computer thinks wise: it sees what every device's callers wanted, how long each
 * is out of reach and what waits, and decides. A small wish of our own only kept it from giving what it would have given.
 */
const AS_MUCH_AS_WISE_UNITS = 10_000;

/** Units being asked for right now. @type {Units} */
export const asking = {};
/** Units held for something else than a sentence. @type {Units} */
let set_by = {};

/** @param {{good: string, units: number}[]} lines to be held now; none when it is over */
export function holdFor(lines) {
  set_by = {};
  for (const { good, units } of lines) set_by[good] = (set_by[good] ?? 0) + units;
  takingOrder(lines.length > 0);
}

/** Units of all that is being composed on this device, parked or not, in whichever window. @returns {Units} */
function heldNow() {
  const goods = new Set([
    ...Object.keys(set_by),
    ...[...known.sentences.values()].flatMap(({ draft }) => draft.lines.map(({ good }) => good)),
  ]);
  return Object.fromEntries([...goods].map((good) => [good, heldOf(good) + (set_by[good] ?? 0)]).filter(([, units]) => Number(units) > 0));
}

export function wishes() {
  const sold = [...known.view.goods.values()].filter((good) => good.sold && !good.hidden);
  return { wants: Object.fromEntries(sold.map(({ id }) => [id, AS_MUCH_AS_WISE_UNITS])), callers: { ...heldNow(), ...asking } };
}

/** @param {Units} ask_back what the house would like returned; what is being promised right now stays */
export async function giveBack(ask_back) {
  /** @type {() => Units} */
  const spare = () => {
    const held = heldNow();
    return Object.fromEntries(
      Object.entries(ask_back)
        .map(([good, units]) => [good, Math.min(units, shareOf(good) - Math.max(held[good] ?? 0, asking[good] ?? 0))])
        .filter(([, units]) => Number(units) > 0),
    );
  };
  if (known.marks.frozen || Object.keys(spare()).length === 0) return;
  await append(() => {
    const spent = spare();
    if (Object.keys(spent).length === 0) throw new HouseError("draft", "Nothing is left to give back.", "");
    return { kind: "give_back", rows: [], spent };
  }).catch(() => {}); // the house asks again
}
