import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { house } from "../../store/house.js";
import { buy, count, takeAway } from "../../store/acts.js";
import { unitsSaid } from "../../parts/words.js";
import "../../parts/number-pad.js";

/** @import { Told, Typed } from "../../parts/events.d.ts" */
/** @import { TakenReason } from "../../store/stocking.js" */

/** @type {[TakenReason, string][]} */
const TAKEN = [
  ["specked", "specked"],
  ["broken", "broken"],
  ["spoiled", "spoiled"],
  ["gift", "given away"],
  ["lost", "lost"],
  ["fed", "fed to the bees"],
];

/** Count by hand, lot by lot; or say what was taken away. The shelf is right, even when promises are then short. Sends `done`. */
class CountDeck extends Part {
  static properties = { good: {}, lot: { state: true }, text: { state: true }, note: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.good = "";
    /** @type {string | null | undefined} */
    this.lot = undefined;
    this.text = "";
    this.note = "";
  }

  #lots = () => house.view.lotBalance(this.good);

  /** @param {() => Promise<{op: string | null}>} write @param {string} words */
  async #write(write, words) {
    const done = await this.#act.run(write, ({ op }) => (op ? words : `${words} The book said the same.`));
    if (done) Object.assign(this, { text: "", note: "" });
  }

  render() {
    const good = house.view.goods.get(this.good);
    if (!good) return nothing;
    const lots = this.#lots();
    const lot = this.lot === undefined ? (lots[0]?.lot ?? null) : this.lot;
    const units = Number(this.text);
    const book = lots.find((found) => found.lot === lot)?.units ?? 0;
    const inGrams = good.unit === "g";
    return html`
      ${this.#act.outcome()}
      ${
        lots.length > 1
          ? html`<div class="keyrow" role="group" aria-label="Which lot">${lots.map(
              (found) => html`
        <button type="button" class="key tight" aria-pressed=${found.lot === lot} @click=${() => {
          this.lot = found.lot;
        }}>${found.lot ?? "no lot"}<small>${found.units} by the book</small></button>`,
            )}</div>`
          : nothing
      }
      <h2 class="where">How many ${inGrams ? "grams " : ""}${lot ? `of ${lot} ` : ""}lie there? The book says ${book}.</h2>
      <number-pad .value=${this.text} .unit=${inGrams ? "g" : good.short || good.plural} .label=${"seen"} @change=${(
        /** @type {Told<string>} */ { detail },
      ) => {
        this.text = detail;
      }}></number-pad>
      <button type="button" class="key on" ?disabled=${this.text === ""} @click=${() => this.#write(() => count(this.good, lot, units), `Counted: ${unitsSaid(good, units)}.`)}>that many lie there</button>
      ${
        good.kind === "carton"
          ? html`<button type="button" class="key" ?disabled=${!units} @click=${() => this.#write(() => buy(this.good, units), `${units} added.`)}>bought that many more</button>`
          : html`
      <h2 class="where">Or take that many away:</h2>
      <label class="write"><span>a note on it, if you like</span><input autocomplete="off" .value=${this.note} @input=${(
        /** @type {Typed} */ { target },
      ) => {
        this.note = target.value;
      }} /></label>
      <div class="keyrow two">${TAKEN.filter(([reason]) => inGrams || reason !== "fed").map(
        ([reason, words]) => html`
        <button type="button" class="key tight" ?disabled=${!units} @click=${() => this.#write(() => takeAway(this.good, lot, units, reason, this.note), `${unitsSaid(good, units)} ${words}.`)}>${words}</button>`,
      )}</div>`
      }
      <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("done"))}>done counting</button>`;
  }
}
customElements.define("count-deck", CountDeck);
