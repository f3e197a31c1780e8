import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { nameSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setGood } from "../../store/acts.js";
import { Question } from "../../kernel/question.js";
import { keepWeighings, weighingsOf } from "../../parts/bench-notes.js";

const WEIGHINGS_LEAST = 3;
const BOOK_COUNTS_AS = 4; // pieces that the book's own figure weighs as much as
const SPREAD_CHANGED = 1.25;

/**
 * What this scale has learnt about a good: offered to a keeper once three weighings by difference say something else than the book,
 * and written down only after a touch. Property `good`.
 */
class LearntWeight extends Part {
  static properties = { good: {} };

  constructor() {
    super();
    this.good = "";
  }

  #act = new Act(this);

  #learning = new Question(this, "packing.learn_mass");
  /** @type {import("../../parts/bench-notes.js").Weighing[]} */
  #before = [];

  willUpdate() {
    this.#act.about(this.good);
    this.#learning.about(this.#request(), this.good);
  }

  #request() {
    const good = house.view.goods.get(this.good);
    const weighings = weighingsOf(this.good);
    if (!good || weighings.length < WEIGHINGS_LEAST || house.status.device?.role !== "keeper") return null;
    return { mass_g: good.gross_g, mass_sd_g: (good.gross_sd_mg || 0) / 1000, weight: BOOK_COUNTS_AS, weighings };
  }

  /** @param {number} gross_g @param {number} gross_sd_mg */
  async #use(gross_g, gross_sd_mg) {
    if (!(await this.#act.run(() => setGood({ id: this.good, gross_g, gross_sd_mg }), "The book has learned it."))) return;
    this.#before = weighingsOf(this.good);
    keepWeighings(this.good, []);
  }

  #undone = () => {
    keepWeighings(this.good, this.#before);
    this.requestUpdate();
  };

  render() {
    const good = house.view.goods.get(this.good);
    if (this.#act.done || this.#act.error) return this.#act.outcome({ undone: this.#undone });
    const learnt = this.#learning.answer;
    if (!good || !learnt) return nothing;
    const gross_g = Math.round(learnt.mass_g);
    const gross_sd_mg = Math.max(1, Math.round(learnt.mass_sd_g * 1000));
    const spread = Math.max(gross_sd_mg, good.gross_sd_mg || 1) / Math.min(gross_sd_mg, good.gross_sd_mg || 1);
    if (gross_g === good.gross_g && spread < SPREAD_CHANGED) return nothing;
    const words = `A ${nameSaid(good, 1)} weighs ${learnt.mass_g.toFixed(1)} g on your scale, give or take ${learnt.mass_sd_g.toFixed(1)} g; the book says ${good.gross_g} g.`;
    return html`<p>${words}</p><button type="button" class="key" @click=${() => this.#use(gross_g, gross_sd_mg)}>use ${gross_g} g from now on</button>`;
  }
}
customElements.define("learnt-weight", LearntWeight);
