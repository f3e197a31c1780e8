import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { gramsOf, weightSaid } from "../../parts/words.js";
import { work } from "../../kernel/work.js";
import "../../parts/number-pad.js";

const OUNCES_PER_POUND = 16;
const OUNCE_G = 28.349523125;
const STEPS = [["−1 lb", -OUNCES_PER_POUND], ["−1 oz", -1], ["+1 oz", 1], ["+1 lb", OUNCES_PER_POUND]];
const WHOLE_OUNCE_G = 28; // what a stepped reading can tell apart
const TYPED_G = 1;

/**
 * What the scale says: stepped from the planned weight, or typed in grams; and what that means for the parcel.
 * Properties: `parcel` (row), `planned` (of the answer, or null), `pieces`. Sends `weighed` with grams, `close`.
 */
class ScaleDeck extends Part {
  static properties = { parcel: {}, planned: {}, pieces: {}, ounces: { state: true }, typed: { state: true }, said: { state: true } };

  #asked = "";

  constructor() {
    super();
    Object.assign(this, { ounces: null, typed: null, said: null });
  }

  willUpdate() {
    this.ounces ??= Math.round((this.parcel.scale_g || this.parcel.gross_g || 0) / OUNCE_G);
    this.#check();
  }

  #grams = () => (this.typed === null ? gramsOf(0, this.ounces) : Number(this.typed) || 0);

  async #check() {
    const scale_g = this.#grams();
    const request = { parcel: this.planned, pieces: this.pieces, scale_g, division_g: this.typed === null ? WHOLE_OUNCE_G : TYPED_G };
    const asked = JSON.stringify(request);
    if (!this.planned || !this.pieces || asked === this.#asked) return;
    this.#asked = asked;
    const said = await work("bench.weigh_check", request).catch(() => null);
    if (asked === this.#asked) this.said = said;
  }

  render() {
    const grams = this.#grams();
    return html`
      <h2 class="where">What does the scale say? ${this.parcel.gross_g ? `Planned ${weightSaid(this.parcel.gross_g)}.` : ""}</h2>
      ${this.typed === null ? html`
        <p class="shown-number" aria-live="polite">${weightSaid(grams)}</p>
        <div class="keyrow four">${STEPS.map(([words, step]) => html`
          <button type="button" class="key tight held" @click=${() => { this.ounces = Math.max(0, this.ounces + step); }}>${words}</button>`)}</div>` : html`
        <number-pad .value=${this.typed} unit="g" label="grams on the scale" @change=${({ detail }) => { this.typed = detail; }}></number-pad>`}
      ${this.said ? html`<p role="status" class=${this.said.verdict === "as planned" || this.said.verdict === "cannot tell" ? "" : "heed"}>${this.said.said}</p>` : nothing}
      <div class="keyrow two">
        <button type="button" class="key quiet" @click=${() => { this.typed = this.typed === null ? "" : null; }}>${this.typed === null ? "type grams" : "pounds and ounces"}</button>
        <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("close"))}>not now</button>
      </div>
      <button type="button" class="key on" ?disabled=${!grams} @click=${() => this.dispatchEvent(new CustomEvent("weighed", { detail: grams }))}>write it down</button>`;
  }
}
customElements.define("scale-deck", ScaleDeck);
