import { html } from "lit";
import { Part } from "./part.js";

/** @import { Changed, Typed } from "./events.d.ts" */

const MOST_DIGITS = 7;
/** How a key is read out. @type {Record<string, string>} */
export const SAID = { "⌫": "take the last figure away", "C": "take all figures away", ".": "point" };

/**
 * Ten large keys, placed as those that find a person, and the number they make; a keyboard may type it too.
 * Properties: `value` (text, "" for none), `usual` (what counts while it is empty, shown faintly), `unit` (word after it), `label` (for ears), `point` (offers a decimal point).
 * A number that was put there by others is not added to: the first key begins anew, or a weight nobody saw would be written down.
 * Sends `change` with `detail` the text.
 */
export class NumberPad extends Part {
  static properties = { value: {}, usual: {}, unit: {}, label: {}, point: { type: Boolean } };

  constructor() {
    super();
    this.value = "";
    this.usual = "0";
    this.unit = "";
    this.label = "Number";
    this.point = false;
  }

  /** What was entered here; null while what stands there comes from elsewhere. @type {string | null} */
  #entered = null;

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("label")) this.#entered = null;
    if (!changed.has("value") || this.#entered === null || this.value === this.#entered) return;
    // handed back as a number, "18." comes as "18": it stays as it was entered
    if (this.value !== "" && Number(this.value) === Number(this.#entered)) this.value = this.#entered;
    else this.#entered = null;
  }

  /** @param {string} text */
  #set(text) {
    this.#entered = text;
    this.value = text;
    this.dispatchEvent(new CustomEvent("change", { detail: text }));
  }

  /** @param {string} key */
  #press(key) {
    if (key === "⌫") this.#set(this.value.slice(0, -1));
    else if (key === "C") this.#set("");
    else {
      const before = this.#entered === null ? "" : this.value;
      if (before.length >= MOST_DIGITS || (key === "." && before.includes("."))) return;
      this.#set((before === "0" && key !== "." ? "" : before) + key);
    }
  }

  /** @param {Typed} event */
  #typed(event) {
    event.stopPropagation();
    const allowed = this.point ? /[^\d.]/g : /\D/g;
    const text = event.target.value.replace(allowed, "").slice(0, MOST_DIGITS);
    event.target.value = text;
    this.#set(text);
  }

  render() {
    const keys = ["1", "2", "3", "4", "5", "⌫", "6", "7", "8", "9", "0", this.point ? "." : "C"];
    return html`
      <label class="pad-number">
        <span class="spoken">${this.label}</span>
        <input inputmode="none" autocomplete="off" .value=${this.value} @input=${this.#typed} @change=${(/** @type {Typed} */ event) => event.stopPropagation()}
          placeholder=${this.usual} /><span class="faint">${this.unit}</span>
      </label>
      <div class="keyrow six digits">
        ${keys.map(
          (key) => html`
          <button type="button" class="key" aria-label=${SAID[key] ?? key} @click=${() => this.#press(key)}>${key}</button>`,
        )}
      </div>`;
  }
}
customElements.define("number-pad", NumberPad);
