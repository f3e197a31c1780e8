import { html } from "lit";
import { Part } from "../../parts/part.js";
import { weightSaid } from "../../parts/words.js";
import "../../parts/weigh-pad.js";
import "../../parts/number-pad.js";

/** @import { Told } from "../../parts/events.d.ts" */

/** @typedef {{key: string, words: string, unit?: string, point?: boolean, usual?: number | null, said?: (value: number) => string}} Field */

/**
 * Several figures, one after the other: each is a key that shows its value, the chosen one has the pad.
 * Property `fields`: `[{key, words, unit?, usual?, said?}]` (`unit` for a number, else a weight; `usual` grams count until others are entered), `values`. Sends `change` with `{key, value}`.
 */
class WeighWalk extends Part {
  static properties = { fields: {}, values: {}, at: { state: true } };

  constructor() {
    super();
    /** @type {Field[]} */
    this.fields = [];
    /** @type {Record<string, number | null | undefined>} */
    this.values = {};
    this.at = 0;
  }

  /** Fields may have become fewer while the last was chosen. */
  willUpdate() {
    this.at = Math.min(this.at, this.fields.length - 1);
  }

  /** @param {Field} field */
  #said = ({ key, unit, usual, said }) => {
    const value = this.values[key] ?? usual;
    if (value === null || value === undefined) return "–";
    return said ? said(value) : unit ? `${value} ${unit}` : weightSaid(value);
  };

  /** @param {number | null} value */
  #told = (value) => this.dispatchEvent(new CustomEvent("change", { detail: { key: this.fields[this.at].key, value } }));

  render() {
    const { at } = this;
    const field = this.fields[at];
    const value = this.values[field.key] ?? null;
    return html`
      <div class=${`keyrow ${this.fields.length > 1 ? "two" : ""}`} role="group" aria-label="What to weigh">${this.fields.map(
        (one, place) => html`
        <button type="button" class="key tight" aria-pressed=${place === at} @click=${() => {
          this.at = place;
        }}>${one.words}<small>${this.#said(one)}</small></button>`,
      )}</div>
      ${
        field.unit
          ? html`<number-pad ?point=${field.point} .value=${value === null ? "" : String(value)} .unit=${field.unit} .label=${field.words}
            @change=${(/** @type {Told<string>} */ event) => {
              event.stopPropagation();
              const number = Number(event.detail);
              this.#told(event.detail === "" || !Number.isFinite(number) ? null : number);
            }}></number-pad>`
          : html`<weigh-pad .grams=${value} .usual=${field.usual ?? null} .label=${field.words} @change=${(
              /** @type {Told<number | null>} */ event,
            ) => {
              event.stopPropagation();
              this.#told(event.detail);
            }}></weigh-pad>`
      }
      ${
        at < this.fields.length - 1
          ? html`<button type="button" class="key quiet" @click=${() => {
              this.at = at + 1;
            }}>next: ${this.fields[at + 1].words}</button>`
          : ""
      }`;
  }
}
customElements.define("weigh-walk", WeighWalk);
