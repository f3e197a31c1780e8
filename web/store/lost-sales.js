/** @file What a caller wanted, could not have at once, and went without: it is looked back on, and shares are given for it. It holds nothing. */

import { badDraft } from "./trouble.js";
import { newId } from "./ids.js";
import { known, today } from "./known.js";
import { append } from "./log.js";
import { lineCents, priceOn } from "./pricing.js";
import { whole } from "./drafts.js";

/**
 * At the price of today.
 * @param {string} good
 * @param {number} units
 * @param {import("./shapes.d.ts").Order["way"]} way
 */
export async function goWithout(good, units, way) {
  if (whole("units", units) < 1) throw badDraft("units", "Nobody went without nothing.", "Say how many they wanted.");
  const id = newId();
  const entry = await append(() => {
    const row = known.view.goods.get(good);
    if (!row) throw badDraft("good", `There is no good ${good}.`, "Choose one from the list.");
    const { price_cents, steps } = priceOn(row, way, today());
    return {
      kind: "note_lost_sale",
      rows: [{ table: "lost_sale", id, good, units, cents: lineCents(units, price_cents, steps), on: today() }],
    };
  });
  return { op: entry.id };
}
