import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { house } from "../../store/house.js";
import "./weigh-walk.js";

/** What every deck of Melt has: figures to enter, one act, what was done with its undo, what went wrong. */
export class MakingDeck extends Part {
  static properties = { values: { state: true }, lot: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    Object.assign(this, { values: {}, lot: undefined });
  }

  /** The deck of another stage begins empty. */
  willUpdate(changed) {
    if (!changed.has("from") || changed.get("from") === undefined) return;
    this.#act.clear();
    Object.assign(this, { values: {}, lot: undefined });
  }

  put = ({ detail: { key, value } }) => {
    this.values = { ...this.values, [key]: value };
  };

  /** Writes the act down and says what to write on what was made. */
  async act(write, words) {
    const done = await this.#act.run(write, words);
    if (done) Object.assign(this, { values: {}, lot: undefined });
    return done;
  }

  /** Lots of a stage to choose from, the oldest chosen. */
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

  /** The chosen lot and what lies of it. */
  source(good) {
    const lots = house.view.lotBalance(good).filter(({ units }) => units > 0);
    return (this.lot === undefined ? lots[0] : lots.find(({ lot }) => lot === this.lot)) ?? { lot: null, units: 0 };
  }

  outcome() {
    const lots = this.#act.done?.lots ?? [];
    return this.#act.outcome({
      more: lots.length ? html`<p>Write on it: ${lots.map((code) => html`<strong class="figures"> ${code}</strong>`)}</p>` : nothing,
    });
  }
}
