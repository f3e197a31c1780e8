import { html, nothing } from "lit";
import { cartonPicture, harmPicture, surePicture } from "../../parts/call-pictures.js";
import { lengthMm } from "../../parts/lengths.js";
import { verdictSaid } from "../../parts/heat-words.js";
import { capital, counted } from "../../parts/words.js";
import { surenessOf } from "../../store/sureness.js";

/** @import { Advice, HeatCell, PlannedParcel } from "../../kernel/answers.d.ts" */
/** @import { Drawn } from "../../parts/events.d.ts" */
/** @import { Now } from "./now.d.ts" */
/** @import { View } from "../../store/view.js" */

/** @typedef {{picture?: Drawn, words: Drawn, more?: Drawn, heed?: boolean, faint?: boolean}} Tile */

/**
 * What a caller is told, as three pictures with their words, and under them the remedy with its key. They stay in sight above the keys
 * while the sentence moves under them; the whole of it stands below. @param {Now} now
 */
export function tilesOf(now) {
  const { draft } = now;
  if (!draft.lines.length) return nothing;
  const tiles = [sureTile(now), ...(draft.way === "post" ? [parcelTile(now), heatTile(now)] : [])];
  return html`<section class="gist" aria-label="At a glance">
    <div class="tiles" data-many=${tiles.length}>${tiles.map(drawn)}</div>
    ${draft.way === "post" ? remedy(now) : nothing}</section>`;
}

/** @param {Tile} tile */
const drawn = ({ picture, words, more, heed, faint }) => html`<div class="tile" ?data-heed=${heed ?? false}>
  ${picture ?? nothing}<p class=${heed ? "heed" : faint ? "faint" : ""}>${heed || faint ? words : html`<strong>${words}</strong>`}</p>
  ${more ? html`<small>${more}</small>` : nothing}</div>`;

/** @param {Now} now @returns {Tile} */
function sureTile({ draft, view, share, asking, signal }) {
  const lines = draft.lines.map((line) => ({ settled: line.settled, ...surenessOf(line, draft, view, share(line.good)) }));
  const rest = lines.reduce((sum, one) => sum + one.rest, 0);
  const sure = lines.reduce((sum, one) => sum + one.sure, 0);
  const picture = surePicture(sure, rest);
  if (asking.size) return { picture, words: "asking …", faint: true };
  if (!rest) return { picture, words: "all sure", more: lines.length === 1 ? leftSaid(lines[0].spare) : "" };
  const settled = lines.every((one) => one.settled || !one.rest);
  const words = `${rest} ${settled ? (draft.way === "walk_in" ? "may be spoken for" : "waiting") : "not sure"}`;
  return { picture, words, more: `${sure || "none"} sure${signal ? "" : ", no signal"}`, heed: true };
}

/** @param {number} spare */
const leftSaid = (spare) => (spare > 0 ? `${spare} more` : "the last ones");

/** @param {Now} now @returns {Tile} */
function parcelTile({ call: { answer, state }, view }) {
  const parcel = answer?.parcel;
  if (!parcel) return { words: state === "working" ? "carton …" : "carton not known", faint: true };
  if (!parcel.ok) return { words: "no carton", heed: true };
  const [first] = parcel.parcels;
  return { picture: cartonPicture(sidesOf(first, view)), words: cartonsSaid(parcel.parcels), more: weightSaid(parcel.parcels) };
}

/** @param {PlannedParcel[]} parcels */
const cartonsSaid = (parcels) =>
  parcels.length < 3 ? parcels.map((one) => one.carton_name).join(" + ") : counted(parcels.length, "parcel");

/** @param {PlannedParcel[]} parcels */
const weightSaid = (parcels) => (parcels.length < 3 ? parcels.map((one) => one.gross_words).join(" + ") : "");

/** @param {PlannedParcel} parcel @param {View} view */
const sidesOf = ({ carton }, view) => view.cartons.get(carton)?.inner.map((side) => lengthMm(side) ?? 1) ?? [1, 1, 1];

/** @param {Now} now @returns {Tile} */
function heatTile({ call: { state, answer }, draft, view }) {
  if (["working", "half"].includes(state)) return { words: "heat …", faint: true };
  const heat = answer?.heat;
  if (!heat) return { words: "heat not known", faint: true };
  const wax = draft.lines.some(({ good }) => view.goods.get(good)?.kind === "wax");
  const picture = harmPicture(heat.harmless ? "" : heat.verdict, wax);
  if (heat.harmless) return { picture, words: verdictSaid(heat), more: heat.hold ? "held there" : "in the heat" };
  return { picture, words: shortly(verdictSaid(heat)), more: heat.chance_words.replace(/chances? /, ""), heed: true };
}

/** "the bars may get dents" in a tile that shows a bar: "may get dents". @param {string} verdict */
const shortly = (verdict) => verdict.replace(/^(the|a) .*?(?=(may|will) )/, "");

/** What would keep it from harm, and the key for it, where the thumb is. @param {Now} now */
function remedy(now) {
  const { state, answer } = now.call;
  const { heat, advice, none_words: noWay, half } = answer ?? {};
  if (!heat || heat.harmless || half || state !== "known") return nothing;
  if (advice?.leave_on && !taken(now, advice)) return strip(advised(advice), doThat(now, advice));
  return noWay ? strip(capital(noWay), waitKey(now)) : nothing;
}

/** @param {Drawn} words @param {Drawn} key */
const strip = (words, key) => html`<div class="remedy"><p>${words}</p>${key}</div>`;

/** @param {Advice} advice */
const advised = (advice) =>
  html`<strong>${capital(advice.words)}</strong>${advice.chance_words ? `: then ${advice.chance_words}` : nothing}.`;

/** @param {Now} now @param {Advice} advice */
const taken = ({ draft }, advice) =>
  advice.leave_on === draft.leave_on && advice.dressing === draft.dressing && advice.hold === draft.hold_at_counter;

/** @param {Now} now @param {HeatCell & Advice} advice */
const doThat = ({ draft, take }, advice) =>
  html`<button type="button" class="key" @click=${() =>
    take({
      leave_on: advice.leave_on,
      dressing: advice.dressing ?? draft.dressing,
      hold_at_counter: Boolean(advice.hold),
      hold_for_cool: false,
    })}>do that</button>`;

/** @param {Now} now */
export const waitKey = ({ draft, take }) => html`<button type="button" class="key" aria-pressed=${draft.hold_for_cool}
  @click=${() => take({ hold_for_cool: !draft.hold_for_cool, leave_on: null })}>wait for a cool spell</button>`;
