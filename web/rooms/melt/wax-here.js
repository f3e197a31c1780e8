import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { Question } from "../../kernel/question.js";
import { work } from "../../kernel/work.js";
import { madeGoods, ownPours, STAGES, waxRequest } from "../../parts/weighing.js";
import "../../parts/melt-by.js";

/** @import { WaxHereAnswer } from "../../kernel/answers.d.ts" */
/** @import { Asking } from "../../kernel/question.js" */
/** @import { Stage } from "../../parts/weighing.js" */

const COOL_S = 2700; // until this house's own pours have told

/** What can be poured this morning, when to melt and to bottle, and what lies at each stage with the step that empties it. */
class WaxHere extends Part {
  #question = new Question(
    this,
    /** @type {(asking: Asking) => Promise<WaxHereAnswer>} */ (
      async ({ request: { good, pours }, signal }) => {
        const cooling = await work("stock.cooling_time", pours, { signal }).catch(() => null);
        return work("stock.wax_here", waxRequest(good, cooling?.cool_s ?? COOL_S), { signal });
      }
    ),
  );

  willUpdate() {
    const good = madeGoods("wax")[0];
    const pours = { pours: ownPours(), fan: Boolean(house.view.setting("fan", false)) };
    this.#question.about(good ? { good, pours, lying: waxRequest(good, COOL_S) } : null);
  }

  get here() {
    return this.#question.answer;
  }

  render() {
    const { view } = house;
    const wax = madeGoods("wax")[0];
    const jars = madeGoods("honey");
    const lying = STAGES.filter(({ good }) => view.onHand(good) !== 0);
    return html`
      ${this.here ? html`<p class="morning"><strong>${this.here.words}</strong> <span class="faint">${this.here.then}</span></p>` : nothing}
      <div class="under">
        ${wax ? html`<melt-by .good=${wax.id}></melt-by>` : nothing}
        ${jars.map((jar) => html`<melt-by .good=${jar.id} brief></melt-by>`)}
      </div>
      <h2 class="where">Lying here</h2>
      ${
        lying.length
          ? html`<dl class="under">${lying.map(
              (stage) => html`<div>
        <dt>${stage.name}</dt><dd><strong class="figures">${weightSaid(view.onHand(stage.good))}</strong>${this.#bars(stage.good)}
          <a class="key tight step" href=${this.#place(stage)}>${stage.step}</a></dd></div>`,
            )}</dl>`
          : html`<p class="faint">No honey in buckets, no cappings, no wax. An extraction brings the first.</p>`
      }`;
  }

  /** @param {string} good */
  #bars(good) {
    const row = this.here?.rows.find((one) => one.good === good);
    return row?.units ? html`<span class="faint"> · ${row.steps.length ? "about " : ""}${row.units} bars</span>` : nothing;
  }

  /** @param {Stage} stage */
  #place({ good, to }) {
    if (to) return placeOf("melt", "step", good);
    if (good === "wax_fine") return placeOf("melt", "pour");
    return good === "honey_residue" ? placeOf("melt", "rest") : placeOf("melt", "bottle", good);
  }
}
customElements.define("wax-here", WaxHere);
