import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { notWritten } from "../../parts/not-written.js";
import { nameSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setGood } from "../../store/acts.js";
import { Question } from "../../kernel/question.js";
import { keepWeighings, weighingsOf } from "./bench-notes.js";
import "../../parts/undo-key.js";

const WEIGHINGS_LEAST = 3;
const BOOK_COUNTS_AS = 4; // pieces that the book's own figure weighs as much as
const SPREAD_CHANGED = 1.25;

/**
 * What this scale has learnt about a good: offered to a keeper once three weighings by difference say something else than the book,
 * and written down only after a touch. Property `good`.
 */
class LearntWeight extends Part {
  static properties = { good: {}, done: { state: true }, error: { state: true } };

  #learning = new Question(this, "bench.learn_mass");
  #before = [];

  willUpdate() {
    this.#learning.about(this.#request(), this.good);
  }

  #request() {
    const good = house.view.goods.get(this.good);
    const weighings = weighingsOf(this.good);
    if (!good || weighings.length < WEIGHINGS_LEAST || house.status.device?.role !== "keeper") return null;
    return { mass_g: good.gross_g, mass_sd_g: (good.gross_sd_mg || 0) / 1000, weight: BOOK_COUNTS_AS, weighings };
  }

  async #use(gross_g, gross_sd_mg) {
    try {
      this.done = await setGood({ id: this.good, gross_g, gross_sd_mg });
      this.#before = weighingsOf(this.good);
      keepWeighings(this.good, []);
    } catch (error) {
      this.error = error;
    }
  }

  #undone = () => {
    keepWeighings(this.good, this.#before);
    this.done = null;
  };

  render() {
    const good = house.view.goods.get(this.good);
    if (this.done) return html`<p role="status"><strong>The book has learnt it.</strong></p><undo-key .op=${this.done.op} @undone=${this.#undone}></undo-key>`;
    if (this.error) return notWritten(this.error);
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
