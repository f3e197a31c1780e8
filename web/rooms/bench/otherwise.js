import { html, nothing } from "lit";
import { PACKINGS } from "../../parts/heat-words.js";
import { money } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** @import { CallAnswer } from "../../kernel/answers.d.ts" */
/** @import { Order } from "../../store/shapes.d.ts" */

const DRESSINGS = /** @type {[Order["dressing"], string][]} */ (Object.entries(PACKINGS));

/**
 * Packing it otherwise than worked out: another carton, another dressing. What is touched is asked at once; what cannot be packed
 * says why.
 * @param {{order: Order, carton: string | null, answer: CallAnswer | null, choose: (carton: string | null) => void,
 *   dress: (dressing: Order["dressing"]) => void}} now
 */
export function packOtherwise({ order, carton, answer, choose, dress }) {
  const { view } = house;
  const cartons = [...view.cartons.values()].filter((one) => !one.hidden);
  const parcel = answer?.parcel;
  return html`<details class="otherwise" ?open=${Boolean(carton)}>
    <summary class="faint">pack it otherwise</summary>
    <h3 class="where">carton</h3>
    <div class="keyrow three">
      <button type="button" class="key tight" aria-pressed=${!carton} @click=${() => choose(null)}>as worked out</button>
      ${cartons.map((one) => html`<button type="button" class="key tight" aria-pressed=${carton === one.id} @click=${() => choose(one.id)}>${one.name}<small>${view.onHand(one.id)} here</small></button>`)}</div>
    <div data-held>${
      carton && parcel
        ? html`<p role="status">${
            parcel.ok
              ? html`<strong>It goes in:</strong> ${parcel.words}${parcel.posting_cents === null || parcel.posting_cents === undefined ? "" : `, mailing ${money(parcel.posting_cents)}`}.`
              : html`<span class="heed">It does not go in:</span> ${parcel.why_not?.[0]?.why ?? "nothing here holds it"}.`
          }</p>`
        : nothing
    }</div>
    <h3 class="where">packing</h3>
    <div class="keyrow three">${DRESSINGS.map(
      ([dressing, words]) => html`
      <button type="button" class="key tight" aria-pressed=${order.dressing === dressing} @click=${() => dress(dressing)}>${words}</button>`,
    )}</div>
  </details>`;
}
