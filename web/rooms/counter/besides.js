import { html, nothing } from "lit";
import { isRoomy } from "../../parts/wide.js";
import { isEmpty } from "./draft.js";
import "../../parts/picture.js";
import "./glance.js";

/** @import { Now } from "./now.d.ts" */

/** Where the screen is wide there is a place under the keys: how the one parcel is packed, else what is free on the shelf. @param {Now} now */
export function besides({ draft, call }) {
  const { state, answer, asked } = call;
  const parcels = draft.way === "post" && state === "known" && answer?.parcel?.ok ? answer.parcel.parcels.length : 0;
  if (isEmpty(draft) || draft.way !== "post" || !draft.lines.length || parcels > 1) return html`<shelf-glance></shelf-glance>`;
  if (!isRoomy() || !parcels) return nothing;
  return html`<kernel-picture class="besides" name="quoting.parcel_picture" .request=${asked} waiting=""></kernel-picture>`;
}
