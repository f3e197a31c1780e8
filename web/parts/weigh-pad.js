import { html } from "lit";
import { Part } from "./part.js";
import "./number-pad.js";

const UNITS = { lb: 453.59237, oz: 28.349523125, g: 1 };
const KEY = "honeyhold.scale";

/**
 * A weight as the scale shows it, in pounds, ounces or grams; the device remembers which. Property `grams` (null for none), `label`.
 * Sends `change` with `detail` whole grams, or null.
 */
class WeighPad extends Part {
  static properties = { grams: {}, label: {}, unit: { state: true }, text: { state: true } };

  #said = null;

  constructor() {
    super();
    Object.assign(this, { grams: null, label: "Weight", unit: kept(), text: "" });
  }

  willUpdate(changed) {
    if (!changed.has("grams") || this.grams === this.#said) return;
    this.#said = this.grams;
    this.text = this.grams === null ? "" : shown(this.grams, this.unit);
  }

  #typed(text) {
    this.text = text;
    const amount = Number(text);
    this.grams = text === "" || !Number.isFinite(amount) ? null : Math.round(amount * UNITS[this.unit]);
    this.#said = this.grams;
    this.dispatchEvent(new CustomEvent("change", { detail: this.grams }));
  }

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
      <div class="keyrow three" role="group" aria-label="The scale shows">${Object.keys(UNITS).map(
        (unit) => html`
        <button type="button" class="key tight" aria-pressed=${unit === this.unit} @click=${() => this.#turn(unit)}>${unit}</button>`,
      )}</div>
      <number-pad point .value=${this.text} .unit=${this.unit} .label=${this.label} @change=${(event) => {
        event.stopPropagation();
        this.#typed(event.detail);
      }}></number-pad>`;
  }
}
customElements.define("weigh-pad", WeighPad);

const shown = (grams, unit) => String(Math.round((grams / UNITS[unit]) * 100) / 100);

function kept() {
  try {
    const unit = localStorage.getItem(KEY) ?? "lb";
    return unit in UNITS ? unit : "lb";
  } catch {
    return "lb";
  }
}
