import { html, nothing } from "lit";
import { isRoomy } from "../../parts/wide.js";
import { isEmpty } from "./draft.js";
import "../../parts/picture.js";
import "./glance.js";

/** @import { Now } from "./now.d.ts" */

/** Where the screen is wide there is a place under the keys: the shelf while nobody is on the line, then how the parcel is packed. @param {Now} now */
export function besides({ draft, call }) {
  if (isEmpty(draft)) return html`<shelf-glance></shelf-glance>`;
  const { state, answer, asked } = call;
  if (!isRoomy() || state !== "known" || !answer?.parcel?.ok || answer.parcel.parcels.length > 1) return nothing;
  return html`<kernel-picture class="besides" name="quoting.parcel_picture" .request=${asked} waiting=""></kernel-picture>`;
}
