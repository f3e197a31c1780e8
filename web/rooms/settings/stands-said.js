import { html, nothing } from "lit";
import { counted, listed } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** @import { Good } from "../../store/shapes.d.ts" */

/** What a good that is no longer offered still has: it stays, and that is said. @param {Good} good */
export function standsSaid(good) {
  const here = Math.max(0, house.view.onHand(good.id));
  const promised = house.view.promisedTo(good.id).length + house.view.waitingFor(good.id).length;
  if (good.sold) return here ? html`<small>${here.toLocaleString("en-US")} on the shelf</small>` : nothing;
  const parts = [
    here ? `${here.toLocaleString("en-US")} on the shelf` : "",
    promised ? `${counted(promised, "open order")} for it` : "",
  ].filter(Boolean);
  return html`<small class=${parts.length ? "heed" : ""}>not offered at the Counter${parts.length ? `; ${listed(parts)}: they stay as they are` : ""}</small>`;
}
