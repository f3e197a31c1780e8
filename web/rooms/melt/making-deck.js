import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { house } from "../../store/house.js";
import "./weigh-walk.js";

/** @import { PropertyDeclarations } from "lit" */
/** @import { Changed, Told } from "../../parts/events.d.ts" */

/** What every deck of Melt has: figures to enter, one act, what was done with its undo, what went wrong. */
export class MakingDeck extends Part {
  /** @type {PropertyDeclarations} */
  static properties = { values: { state: true }, lot: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    /** What was entered, by its field. @type {Record<string, number | null | undefined>} */
    this.values = {};
    /** The lot that was chosen; undefined: none yet. @type {string | null | undefined} */
    this.lot = undefined;
  }

  /** The deck of another stage begins empty. @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("from") || changed.get("from") === undefined) return;
    this.#act.clear();
    Object.assign(this, { values: {}, lot: undefined });
  }

  /** @param {Told<{key: string, value: number | null}>} given */
  put = ({ detail: { key, value } }) => {
    this.values = { ...this.values, [key]: value };
  };

  /**
   * Writes the act down and says what to write on what was made.
   * @template {object | void} T
   * @param {() => Promise<T>} write
   * @param {string} words
   */
  async act(write, words) {
    const done = await this.#act.run(write, words);
    if (done) {
      Object.assign(this, { values: {}, lot: undefined });
      this.closest(".deck")?.scrollTo(0, 0); // what was done is told there
    }
    return done;
  }

  /** Lots of a stage to choose from, the oldest chosen. @param {string} good */
  lotKeys(good) {
    const lots = house.view.lotBalance(good).filter(({ units }) => units > 0);
    if (lots.length < 2) return nothing;
    const chosen = this.lot === undefined ? lots[0].lot : this.lot;
    return html`<div class="keyrow two" role="group" aria-label="Which lot">${lots.slice(0, 6).map(
      ({ lot }) => html`
      <button type="button" class="key tight" aria-pressed=${lot === chosen} @click=${() => {
        this.lot = lot;
        this.values = {};
      }}>${lot ?? "no lot written"}</button>`,
    )}</div>`;
  }

  /** The chosen lot and what lies of it. @param {string} good */
  source(good) {
    const lots = house.view.lotBalance(good).filter(({ units }) => units > 0);
    return (this.lot === undefined ? lots[0] : lots.find(({ lot }) => lot === this.lot)) ?? { lot: null, units: 0 };
  }

  outcome() {
    const lots = this.#act.done?.lots ?? [];
    return this.#act.outcome({
      more: lots.length
        ? html`<p>Write on it: ${lots.map((/** @type {string} */ code) => html`<strong class="figures"> ${code}</strong>`)}</p>${lots.map(labelsOf)}`
        : nothing,
    });
  }
}

/** The way to the labels of a lot that goes onto the shelf by the piece. @param {string} lot */
function labelsOf(lot) {
  const good = house.view.goods.get(house.view.lots.get(lot)?.good ?? "");
  return good?.sold && good.unit === "each"
    ? html`<p><a class="key tight quiet" href=${placeOf("shelf", good.id, "labels", lot)}>print its labels</a></p>`
    : nothing;
}
