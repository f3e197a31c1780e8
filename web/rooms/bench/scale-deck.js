import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { gramsOf, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { Question } from "../../kernel/question.js";
import "../../parts/number-pad.js";

/** @import { PlannedParcel } from "../../kernel/answers.d.ts" */
/** @import { Told } from "../../parts/events.d.ts" */
/** @import { Parcel } from "../../store/shapes.d.ts" */

const OUNCE_G = 28.349523125;
const PARTS = 20; // of an ounce: a quarter and a tenth are both whole numbers of them
const POUND = 16 * PARTS;
/** @type {[string, number][]} */
const STEPS = [
  ["−1 lb", -POUND],
  ["−1 oz", -PARTS],
  ["+1 oz", PARTS],
  ["+1 lb", POUND],
];
/** @type {[string, number][]} */
const FINE_STEPS = [
  ["−¼ oz", -PARTS / 4],
  ["−0.1 oz", -PARTS / 10],
  ["+0.1 oz", PARTS / 10],
  ["+¼ oz", PARTS / 4],
];
const DIVISION_OTHERWISE_G = 5;
const PAUSE_MS = 600; // between two digits: the first of three is no weight to warn of

/**
 * What the scale says: stepped from the planned weight, or typed in grams; and what that means for the parcel.
 * Properties: `parcel` (row), `planned` (of the answer, or null), `pieces`, `empty_g` (of the dressed empty carton, or null); `empty`: it is
 * the empty carton that stands on the scale. Sends `weighed` with {grams, division_g}, `close`.
 */
class ScaleDeck extends Part {
  static properties = {
    parcel: {},
    planned: {},
    pieces: {},
    empty_g: {},
    empty: { type: Boolean },
    parts: { state: true },
    fine: { state: true },
    typed: { state: true },
  };

  #check = new Question(this, "packing.weigh_check", { pause_ms: PAUSE_MS });

  constructor() {
    super();
    /** @type {Partial<Parcel>} */
    this.parcel = {};
    /** @type {Pick<PlannedParcel, "gross_g" | "gross_sd_g" | "contents"> | null} */
    this.planned = null;
    /** @type {object[] | null} */
    this.pieces = null;
    /** @type {number | null} */
    this.empty_g = null;
    this.empty = false;
    /** @type {number | null} */
    this.parts = null;
    this.fine = PARTS;
    /** @type {string | null} */
    this.typed = null;
  }

  willUpdate() {
    // a bar is an ounce: told by difference, grams serve better
    if (this.parts === null && (this.empty || this.empty_g !== null || house.view.setting("length_unit", "in") === "mm")) this.typed ??= "";
    this.parts ??= Math.round((this.parcel.scale_g || this.parcel.gross_g || 0) / OUNCE_G) * PARTS;
    this.#check.about(this.#request(), this.parcel.id);
  }

  /** What the reading can tell apart: the finest step that was touched. */
  #divisionG = () =>
    this.typed === null
      ? Math.round((this.fine / PARTS) * OUNCE_G * 10) / 10
      : house.view.setting("scale_division_g", DIVISION_OTHERWISE_G);

  #grams = () => (this.typed === null ? gramsOf(0, (this.parts ?? 0) / PARTS) : Number(this.typed) || 0);

  /** What is asked of this very reading. */
  #request() {
    const scale_g = this.#grams();
    return !this.planned || !this.pieces || !scale_g
      ? null
      : {
          parcel: this.planned,
          pieces: this.pieces,
          scale_g,
          division_g: this.#divisionG(),
          ...(this.empty_g === null ? {} : { empty_g: this.empty_g }),
        };
  }

  /** @param {number} by */
  #step(by) {
    this.parts = Math.max(0, (this.parts ?? 0) + by);
    this.fine = Math.min(this.fine, Math.abs(by));
  }

  /** @param {[string, number][]} steps */
  #keys = (steps) =>
    html`<div class="keyrow four">${steps.map(
      ([words, by]) => html`
    <button type="button" class="key tight held" @click=${() => this.#step(by)}>${words}</button>`,
    )}</div>`;

  render() {
    const grams = this.#grams();
    const said = this.#check.answer;
    return html`
      <h2 class="where">${
        this.empty
          ? "The carton with its padding, still empty: what does the scale say?"
          : html`What does the scale say? ${this.parcel.gross_g ? `Planned ${weightSaid(this.parcel.gross_g)}.` : ""}
        ${this.empty_g === null ? "" : `Empty it was ${weightSaid(this.empty_g)}.`}`
      }</h2>
      ${said && !this.empty ? html`<p role="status" class=${said.verdict === "as planned" || said.verdict === "cannot tell" ? "verdict" : "verdict heed"}>${said.said}</p>` : nothing}
      ${
        this.typed === null
          ? html`
        <p class="shown-number" aria-live="polite">${ouncesSaid(this.parts ?? 0)}</p>
        ${this.#keys(STEPS)}${this.#keys(FINE_STEPS)}`
          : html`
        <number-pad .value=${this.typed} unit="g" label="grams on the scale" @change=${(/** @type {Told<string>} */ { detail }) => {
          this.typed = detail;
        }}></number-pad>`
      }
      <div class="keyrow last">
        <button type="button" class="key quiet" @click=${() => {
          this.typed = this.typed === null ? "" : null;
        }}>${this.typed === null ? "type grams" : "lb and oz"}</button>
        <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("close"))}>not now</button>
        <button type="button" class="key on" ?disabled=${!grams} @click=${() => this.dispatchEvent(new CustomEvent("weighed", { detail: { grams, division_g: this.#divisionG() } }))}>write it down</button>
      </div>`;
  }
}
customElements.define("scale-deck", ScaleDeck);

/** "2 lb 6.25 oz". @param {number} parts twentieths of an ounce */
function ouncesSaid(parts) {
  const pounds = Math.floor(parts / POUND),
    ounces = (parts % POUND) / PARTS;
  return [pounds ? `${pounds} lb` : "", ounces || !pounds ? `${Number(ounces.toFixed(2))} oz` : ""].filter(Boolean).join(" ");
}
