import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { house } from "../../store/house.js";
import { arrive } from "../../store/acts.js";

/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Parcel } from "../../store/shapes.d.ts" */

/** @type {[Parcel["arrived"], string][]} */
export const CAME = [
  ["fine", "fine"],
  ["dented", "dents"],
  ["slumped", "lost shape"],
  ["run", "melted"],
  ["leaked", "leaked"],
  ["lost", "never came"],
];
/** @param {Parcel["arrived"]} word */
export const cameSaid = (word) => (CAME.find(([name]) => name === word) ?? ["", "not heard yet"])[1];

/** How each parcel of an order came, as the receiver tells it: one touch a parcel. Property `order`: an id. */
class ArrivalKeys extends Part {
  static properties = { order: {} };

  constructor() {
    super();
    this.order = "";
  }

  #act = new Act(this);

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("order")) this.#act.about(this.order);
  }

  /** @param {Parcel} parcel @param {Parcel["arrived"]} word */
  #heard(parcel, word) {
    const back = parcel.arrived === word;
    return this.#act.run(() => arrive(parcel.id, back ? "" : word), back ? "Undone." : `It came: ${cameSaid(word)}.`, { focus: false });
  }

  render() {
    const parcels = house.view.parcelsOf(this.order);
    if (!parcels.length) return nothing;
    return html`${parcels.map(
      (parcel) => html`
      <h2 class="where">How did ${parcels.length > 1 ? `box ${parcel.part}` : "it"} come?</h2>
      <div class="keyrow three">${CAME.map(
        ([word, said]) => html`
        <button type="button" class="key tight" aria-pressed=${parcel.arrived === word} @click=${() => this.#heard(parcel, word)}>${said}</button>`,
      )}</div>`,
    )}
      ${this.#act.outcome()}`;
  }
}
customElements.define("arrival-keys", ArrivalKeys);
