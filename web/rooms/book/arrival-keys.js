import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { notWritten } from "../../parts/not-written.js";
import { house } from "../../store/house.js";
import { arrive } from "../../store/acts.js";
import "../../parts/undo-key.js";

export const CAME = [["fine", "fine"], ["dented", "dents"], ["slumped", "lost shape"], ["run", "melted"], ["leaked", "leaked"], ["lost", "never came"]];
export const cameSaid = (word) => (CAME.find(([name]) => name === word) ?? ["", "not heard yet"])[1];

/** How each parcel of an order came, as the receiver tells it: one touch a parcel. Property `order`: an id. */
class ArrivalKeys extends Part {
  static properties = { order: {}, done: { state: true }, error: { state: true } };

  willUpdate(changed) {
    if (changed.has("order")) Object.assign(this, { done: null, error: null });
  }

  async #heard(parcel, word) {
    try {
      const { op } = await arrive(parcel.id, parcel.arrived === word ? "" : word);
      Object.assign(this, { done: op, error: null });
      sayAloud(parcel.arrived === word ? "Taken back." : `It came: ${cameSaid(word)}.`);
    } catch (error) {
      this.error = error;
    }
  }

  render() {
    const parcels = house.view.parcelsOf(this.order);
    if (!parcels.length) return nothing;
    return html`${parcels.map((parcel) => html`
      <h2 class="where">How did ${parcels.length > 1 ? `box ${parcel.part}` : "it"} come?</h2>
      <div class="keyrow three">${CAME.map(([word, said]) => html`
        <button type="button" class="key tight" aria-pressed=${parcel.arrived === word} @click=${() => this.#heard(parcel, word)}>${said}</button>`)}</div>`)}
      ${this.done ? html`<undo-key .op=${this.done} @undone=${() => { this.done = null; }}></undo-key>` : nothing}
      ${this.error ? notWritten(this.error) : nothing}`;
  }
}
customElements.define("arrival-keys", ArrivalKeys);
