import { html } from "lit";
import { Part } from "../../parts/part.js";
import "../../parts/number-pad.js";

/** @import { Told } from "../../parts/events.d.ts" */

/**
 * A number typed with large keys: units of a good, or dollars for posting.
 * Properties: `heading`, `unit`, `done` (the word on the last key), `start` (text), `point`. Sends `take` with the number.
 */
class DeckNumber extends Part {
  static properties = { heading: {}, unit: {}, done: {}, start: {}, point: { type: Boolean }, typed: { state: true } };

  constructor() {
    super();
    this.heading = "";
    /** @type {string | undefined} */
    this.unit = undefined;
    /** @type {string | undefined} */
    this.done = undefined;
    this.point = false;
    /** @type {string | null} */
    this.typed = null;
    this.start = "";
  }

  render() {
    const text = this.typed ?? this.start;
    return html`
      <h2 class="where">${this.heading}</h2>
      <number-pad .value=${text} .unit=${this.unit} .label=${this.heading} ?point=${this.point} @change=${(
        /** @type {Told<string>} */ { detail },
      ) => {
        this.typed = detail;
      }}></number-pad>
      <button type="button" class="key on" @click=${() => this.dispatchEvent(new CustomEvent("take", { detail: Number(text) || 0 }))}>${this.done ?? "that many"}</button>`;
  }
}
customElements.define("deck-number", DeckNumber);
