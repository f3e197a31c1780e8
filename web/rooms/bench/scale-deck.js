import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { gramsOf, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { work } from "../../kernel/work.js";
import "../../parts/number-pad.js";

const OUNCES_PER_POUND = 16;
const OUNCE_G = 28.349523125;
const STEPS = [["−1 lb", -OUNCES_PER_POUND], ["−1 oz", -1], ["+1 oz", 1], ["+1 lb", OUNCES_PER_POUND]];
const WHOLE_OUNCE_G = 28; // what a stepped reading can tell apart
const DIVISION_OTHERWISE_G = 5;

/**
 * What the scale says: stepped from the planned weight, or typed in grams; and what that means for the parcel.
 * Properties: `parcel` (row), `planned` (of the answer, or null), `pieces`, `empty_g` (of the dressed empty carton, or null); `empty`: it is
 * the empty carton that stands on the scale. Sends `weighed` with {grams, division_g}, `close`.
 */
class ScaleDeck extends Part {
  static properties = { parcel: {}, planned: {}, pieces: {}, empty_g: {}, empty: { type: Boolean }, ounces: { state: true }, typed: { state: true }, said: { state: true } };

  #asked = "";

  constructor() {
    super();
    Object.assign(this, { parcel: {}, planned: null, pieces: null, empty_g: null, ounces: null, typed: null, said: null });
  }

  willUpdate() {
    // a bar is an ounce: told by difference, whole ounces are too coarse
    if (this.ounces === null && (this.empty || this.empty_g !== null || house.view.setting("length_unit", "in") === "mm")) this.typed ??= "";
    this.ounces ??= Math.round((this.parcel.scale_g || this.parcel.gross_g || 0) / OUNCE_G);
    this.#check();
  }

  #divisionG = () => (this.typed === null ? WHOLE_OUNCE_G : house.view.setting("scale_division_g", DIVISION_OTHERWISE_G));

  #grams = () => (this.typed === null ? gramsOf(0, this.ounces) : Number(this.typed) || 0);

  async #check() {
    const scale_g = this.#grams();
    const request = { parcel: this.planned, pieces: this.pieces, scale_g, division_g: this.#divisionG(), ...(this.empty_g === null ? {} : { empty_g: this.empty_g }) };
    const asked = JSON.stringify(request);
    if (!this.planned || !this.pieces || asked === this.#asked) return;
    this.#asked = asked;
    const said = await work("bench.weigh_check", request).catch(() => null);
    if (asked === this.#asked) this.said = said;
  }

  render() {
    const grams = this.#grams();
    return html`
      <h2 class="where">${this.empty ? "The carton with its dressing, still empty: what does the scale say?" : html`What does the scale say? ${this.parcel.gross_g ? `Planned ${weightSaid(this.parcel.gross_g)}.` : ""}
        ${this.empty_g === null ? "" : `Empty it was ${weightSaid(this.empty_g)}.`}`}</h2>
      ${this.said && !this.empty ? html`<p role="status" class=${this.said.verdict === "as planned" || this.said.verdict === "cannot tell" ? "verdict" : "verdict heed"}>${this.said.said}</p>` : nothing}
      ${this.typed === null ? html`
        <p class="shown-number" aria-live="polite">${weightSaid(grams)}</p>
        <div class="keyrow four">${STEPS.map(([words, step]) => html`
          <button type="button" class="key tight held" @click=${() => { this.ounces = Math.max(0, this.ounces + step); }}>${words}</button>`)}</div>` : html`
        <number-pad .value=${this.typed} unit="g" label="grams on the scale" @change=${({ detail }) => { this.typed = detail; }}></number-pad>`}
      <div class="keyrow two">
        <button type="button" class="key quiet" @click=${() => { this.typed = this.typed === null ? "" : null; }}>${this.typed === null ? "type grams" : "pounds and ounces"}</button>
        <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("close"))}>not now</button>
      </div>
      <button type="button" class="key on" ?disabled=${!grams} @click=${() => this.dispatchEvent(new CustomEvent("weighed", { detail: { grams, division_g: this.#divisionG() } }))}>write it down</button>`;
  }
}
customElements.define("scale-deck", ScaleDeck);
