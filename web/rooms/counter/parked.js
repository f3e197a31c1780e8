/** The other calls of this device: put aside here, or being written in another window. */
import { html, nothing } from "lit";
import { unitsSaid } from "../../parts/words.js";
import { sentences } from "../../store/sentences.js";
import { personOf } from "./draft.js";

/** @import { Composed } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

const SHOWN = 4;

/** @param {View} view @param {(id: string, force: boolean) => void} open */
export function parkedCalls(view, open) {
  const others = sentences.others();
  if (!others.length) return nothing;
  return html`<section class="parked" aria-label="Other calls">
    ${others.slice(0, SHOWN).map(
      ({
        id,
        draft,
        elsewhere,
      }) => html`<button type="button" class="key tight left" data-sentence=${id} @click=${() => open(id, elsewhere)}>
      <span>${nameOf(draft, view)}</span><small>${[goodsOf(draft, view), elsewhere ? "being written in another window: take it over" : "on hold: go on"].filter(Boolean).join(" · ")}</small></button>`,
    )}
    ${others.length > SHOWN ? html`<p class="faint">${others.length - SHOWN} more on hold</p>` : nothing}</section>`;
}

/** @param {Composed} draft @param {View} view */
function nameOf(draft, view) {
  const number = draft.amends ? view.orders.get(draft.amends)?.number : null;
  const name = personOf(draft, view)?.name;
  return number ? `Changing order ${number}${name ? `, ${name}` : ""}` : name || (draft.way === "walk_in" ? "Someone here" : "No name yet");
}

/** @param {Composed} draft @param {View} view */
const goodsOf = ({ lines }, view) => {
  const said = lines.slice(0, 2).map(({ good, units }) => unitsSaid(view.goods.get(good) ?? { name: good }, units));
  return [...said, ...(lines.length > 2 ? [`${lines.length - 2} more`] : [])].join(", ");
};

/** What was written here is written elsewhere now. */
export const takenAway = () =>
  sentences.taken_away
    ? html`<p class="heed" role="alert">That order is being written in another window now. It is not lost: take it over from the list, or take the next call.</p>`
    : nothing;
