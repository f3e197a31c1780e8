import { html } from "lit";
import { Act } from "../../parts/act.js";
import { centsWritten } from "../../parts/cents.js";
import { Part } from "../../parts/part.js";
import { money } from "../../parts/words.js";
import { WHY_SAID } from "../../parts/sums.js";
import { adjust } from "../../store/acts.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */
/** @import { Adjustment } from "../../store/shapes.d.ts" */

/** @type {Adjustment["why"][]} */
const WHY = ["discount", "gift", "heat", "breakage", "loss"];

/** Something taken off what an order comes to, with its reason: an entry of its own, nothing told before is changed. Property `order`. */
class TakeOff extends Part {
  static properties = { order: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.order = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("order")) this.#act.about(this.order);
  }

  /** @param {Submitted} event */
  async #take(event) {
    event.preventDefault();
    const form = event.target;
    const written = new FormData(form);
    const cents = centsWritten(written.get("amount"), this.#act);
    if (!cents) return;
    const why = WHY.find((name) => name === /** @type {HTMLButtonElement | null} */ (event.submitter)?.value) ?? "discount";
    if (await this.#act.run(() => adjust(this.order, -cents, why, String(written.get("note") ?? "")), `${money(cents)} taken off.`))
      form.reset();
  }

  render() {
    return html`<details class="otherwise"><summary>take something off</summary>
        <form class="fields" @submit=${(/** @type {Submitted} */ event) => this.#take(event)} novalidate>
          <label class="write"><span>dollars off</span><input name="amount" class="figures" inputmode="decimal" autocomplete="off" /></label>
          <label class="write"><span>note</span><input name="note" autocomplete="off" /></label>
          <div class="keyrow three" role="group" aria-label="Why">${WHY.map((why) => html`<button class="key tight" name="why" value=${why} ?disabled=${this.#act.busy}>${WHY_SAID[why]}</button>`)}</div>
        </form></details>
      ${this.#act.outcome()}`;
  }
}
customElements.define("take-off", TakeOff);
