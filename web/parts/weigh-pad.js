import { html } from "lit";
import { Part } from "./part.js";
import { SAID } from "./number-pad.js";

/** @import { Changed, Told } from "./events.d.ts" */

/** @typedef {"lb" | "oz" | "g"} Unit */

/** @type {Record<Unit, number>} */
const UNITS = { lb: 453.59237, oz: 28.349523125, g: 1 };
const KEY = "honeyhold.scale";

/**
 * A weight as the scale shows it, in pounds, ounces or grams; the device remembers which. Properties: `grams` (null for none), `usual` (grams that count
 * while none are entered, shown faintly, or null), `label`.
 * Sends `change` with `detail` whole grams, or null.
 */
class WeighPad extends Part {
  static properties = { grams: {}, usual: {}, label: {}, unit: { state: true }, text: { state: true } };

  /** @type {number | null} */
  #said = null;

  constructor() {
    super();
    /** @type {number | null} */
    this.grams = null;
    /** @type {number | null} */
    this.usual = null;
    this.label = "Weight";
    this.unit = kept();
    this.text = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("grams") || this.grams === this.#said) return;
    this.#said = this.grams;
    this.text = this.grams === null ? "" : shown(this.grams, this.unit);
  }

  /** @param {string} text */
  #typed(text) {
    this.text = text;
    const amount = Number(text);
    this.grams = text === "" || !Number.isFinite(amount) ? null : Math.round(amount * UNITS[this.unit]);
    this.#said = this.grams;
    this.dispatchEvent(new CustomEvent("change", { detail: this.grams }));
  }

  /** @param {Unit} unit */
  #turn(unit) {
    this.unit = unit;
    if (this.grams !== null) this.text = shown(this.grams, unit);
    try {
      localStorage.setItem(KEY, unit);
    } catch {
      /* asked again next time */
    }
  }

  render() {
    return html`
      <div class="keyrow four" role="group" aria-label="The scale shows">${
        /** @type {Unit[]} */ (Object.keys(UNITS)).map(
          (unit) => html`
        <button type="button" class="key tight" aria-pressed=${unit === this.unit} @click=${() => this.#turn(unit)}>${unit}</button>`,
        )
      }<button type="button" class="key tight" aria-label=${SAID.C} @click=${() => this.#typed("")}>C</button></div>
      <number-pad point .value=${this.text} .usual=${this.usual === null ? "0" : shown(this.usual, this.unit)} .unit=${this.unit} .label=${this.label} @change=${(
        /** @type {Told<string>} */ event,
      ) => {
        event.stopPropagation();
        this.#typed(event.detail);
      }}></number-pad>`;
  }
}
customElements.define("weigh-pad", WeighPad);

/** @param {number} grams @param {Unit} unit */
const shown = (grams, unit) => String(Math.round((grams / UNITS[unit]) * 100) / 100);

/** @returns {Unit} */
function kept() {
  try {
    const unit = localStorage.getItem(KEY) ?? "lb";
    return unit in UNITS ? /** @type {Unit} */ (unit) : "lb";
  } catch {
    return "lb";
  }
}
