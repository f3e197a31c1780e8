import { html, nothing } from "lit";
import { verdictSaid } from "../../parts/heat-words.js";
import { surenessOf } from "../../store/sureness.js";

/** @import { Call } from "../../parts/call-answer.js" */
/** @import { Now } from "./now.d.ts" */

/**
 * On a phone the keys cover what stands under the sentence: here is its gist in one line above them.
 * Touched, the keys make way for the whole of it.
 * @param {Now} now @param {() => void} close
 */
export function gist(now, close) {
  if (!now.draft.lines.length) return nothing;
  const parts = [sureSaid(now), ...(now.draft.way === "post" ? [parcelSaid(now.call), heatSaid(now.call)] : [])].filter(Boolean);
  return html`<button type="button" class="gist" @click=${close}>${parts}</button>`;
}

/** @param {Now} now */
function sureSaid({ draft, view, share, asking }) {
  if (asking.size) return html`<span class="faint">asking the main computer …</span>`;
  const open = draft.lines
    .map((line) => ({ settled: line.settled, ...surenessOf(line, draft, view, share(line.good)) }))
    .filter(({ rest }) => rest);
  const rest = open.reduce((sum, one) => sum + one.rest, 0);
  if (!rest) return html`<strong>all sure</strong>`;
  return html`<span class="heed">${rest} ${open.every(({ settled }) => settled) ? (draft.way === "walk_in" ? "may be spoken for" : "waiting") : "not sure"}</span>`;
}

/** @param {Call} call */
function parcelSaid({ answer }) {
  const parcel = answer?.parcel;
  if (!parcel) return null;
  return parcel.ok
    ? html`<span>${parcel.parcels.map((one) => one.carton_name).join(" + ")}</span>`
    : html`<span class="heed">no carton</span>`;
}

/** @param {Call} call */
function heatSaid({ state, answer }) {
  if (["working", "half"].includes(state)) return html`<span class="faint">heat …</span>`;
  const heat = answer?.heat;
  if (!heat) return html`<span class="faint">heat not known</span>`;
  return heat.harmless
    ? html`<strong>${verdictSaid(heat)}</strong>`
    : html`<span class="heed">${verdictSaid(heat)}${heat.chance_words ? `, ${heat.chance_words}` : ""}</span>`;
}
