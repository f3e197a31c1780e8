/** The usual cautions where hot wax, heavy pails and honey are worked with: in plain sight, never behind a touch. Common practice; local rules come first. */
import { html } from "lit";

/** @import { Composed } from "../store/shapes.d.ts" */
/** @import { View } from "../store/view.js" */

const WAX = [
  ["Melt over water", "or in a water jacket that never runs dry, under 185 °F (85 °C), never on an open flame."],
  ["Never leave it alone,", "not for a minute, and best have a second person near."],
  ["A lid and a dry-chemical or CO2 extinguisher", "lie within reach before the heat is on."],
  ["Burning wax: never water.", "Lid on, heat off. If it does not go out at once, get out and call 911."],
  ["Wet cappings spit:", "drain them, heat them slowly, keep your face away."],
  ["Wax on skin:", "cool it under running water at once, do not pull it off, get medical help."],
];

/** At the stove. */
export const waxSafety = () => html`<section class="safety" aria-label="Careful with hot wax">
  <h2>Careful: hot wax</h2>
  <ul>${WAX.map(([first, rest]) => html`<li><strong>${first}</strong> ${rest}</li>`)}</ul>
  <p>This is advice. Your local fire and food rules decide.</p></section>`;

/** At the stove, before anything else; all of it stands below the keys. */
export const waxFirst = () => html`<p class="heed">Over water, under 185 °F (85 °C), never left alone. Never water on burning wax.</p>`;

/** At the extractor. */
export const pailSafety = () => html`<section class="safety" aria-label="Careful with pails and combs">
  <ul>
    <li><strong>A full pail is about 60 lb:</strong> two people, or half pails. Lift from the knees.</li>
    <li><strong>Foulbrood:</strong> never use honey, combs or wax of a sick colony, and never feed them. Ask your state's apiary inspector.</li>
  </ul></section>`;

const BABIES = "Honey is not for babies under 12 months, not even a taste.";

/** Wherever honey is sold or given away. */
export const babies = () => html`<strong>${BABIES}</strong>`;

/** @param {Pick<Composed, "lines">} order @param {View} view */
export const hasHoney = ({ lines }, view) => lines.some(({ good }) => view.goods.get(good)?.kind === "honey");

const GRADE_PERMILLE = 186;
const MOST_PERMILLE = 200;

/** How wet honey may be before it ferments (US Standards for Grades of Extracted Honey: Grade A to 18.6 %, none over 20 %). @param {number | null | undefined} permille */
export function wetHoney(permille) {
  if (!permille || permille <= GRADE_PERMILLE) return "";
  const percent = `${permille / 10} % water`;
  return permille > MOST_PERMILLE
    ? `${percent}: do not bottle it, it will ferment. Dry it first, or feed it back to your own bees before it does.`
    : `${percent}: it may ferment. Hold it or dry it first; bottle it only for use right away.`;
}
