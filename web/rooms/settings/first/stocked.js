import { house } from "../../../store/house.js";
import { buy, count } from "../../../store/acts.js";

/** The book says so many from now on: there from the start when it said nothing yet, else a count. @param {string} good @param {number} units */
export async function stocked(good, units) {
  const here = house.view.onHand(good);
  if (!here && units > 0) await buy(good, units, { reason: "opening" });
  else if (here !== units) await counted(good, units);
}

/**
 * The difference goes to what has no lot; a lot that it would take below nothing is counted to nothing first.
 * @param {string} good
 * @param {number} units
 */
async function counted(good, units) {
  let left = house.view.onHand(good) - units;
  const parts = [...house.view.lotBalance(good)].sort((a, b) => Number(a.lot !== null) - Number(b.lot !== null));
  if (left < 0) {
    await count(good, null, (parts.find(({ lot }) => lot === null)?.units ?? 0) - left);
    return;
  }
  for (const { lot, units: here } of parts) {
    const take = Math.min(left, Math.max(0, here));
    if (take > 0) await count(good, lot, here - take);
    left -= take;
  }
}
