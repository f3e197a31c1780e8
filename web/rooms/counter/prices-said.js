/** What is said of prices while an order is taken or changed: the tax in its sum, a fuller number that costs the same, and a price that was told. */
import { html, nothing } from "lit";
import { money, nameSaid } from "../../parts/words.js";
import { lineCents, priceOn, priceSaid } from "../../store/pricing.js";
import { sumsOf } from "./draft.js";

/** @import { Now } from "./now.d.ts" */
/** @import { Composed, Good, Reckoning } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** ", $1.38 of it sales tax," or nothing. @param {Composed} draft @param {View} view @returns {string} */
export function taxSaid(draft, view) {
  const { tax_cents } = sumsOf(draft, view);
  return tax_cents ? `, ${money(tax_cents)} of it sales tax,` : "";
}

/** "10 wax bars cost the same." where one pays for the full number anyway. @param {Good} good @param {Reckoning["lines"][number]} line */
function sameFor(good, { units, price_cents, steps, total_cents }) {
  const more = steps
    .map(([size]) => Math.ceil(units / size) * size)
    .find((full) => full > units && lineCents(full, price_cents, steps) === total_cents);
  return units && more ? `${more} ${nameSaid(good)} cost the same.` : "";
}

/**
 * An order being changed: more of the same costs what was told, and that is said before it is written.
 * @param {Good} good
 * @param {Reckoning["lines"][number]} line
 * @param {Composed} draft
 * @param {View} view
 * @param {string} today
 */
function toldSaid(good, line, draft, view, today) {
  if (!draft.amends || !view.linesOf(draft.amends).some((known) => known.good === line.good)) return "";
  const now = priceSaid(priceOn(good, draft.way, today));
  const told = priceSaid(line);
  return now === told ? "" : `${nameSaid(good)} at the price told, ${told}; today ${now}.`;
}

/** What stands under the sentence about prices. @param {Now} now @param {string} today */
export function priceRows({ draft, view }, today) {
  return sumsOf(draft, view).lines.map((line) => {
    const good = view.goods.get(line.good);
    const words = good ? [sameFor(good, line), toldSaid(good, line, draft, view, today)].filter(Boolean).join(" ") : "";
    return words ? html`<div><dt>price</dt><dd>${words}</dd></div>` : nothing;
  });
}
