import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { centsWritten } from "../../parts/cents.js";
import { handedOver } from "../../parts/sums.js";
import { money } from "../../parts/words.js";
import { pay } from "../../store/acts.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */
/** @import { Payment } from "../../store/shapes.d.ts" */

/** @type {[Payment["how"], string][]} */
const HOW = [
  ["cash", "cash"],
  ["check", "check"],
  ["transfer", "transfer"],
  ["other", "other"],
];
const CENTS = 100;

/**
 * Change for a bill, another amount than all that is owed, or another way to pay it. The keyboard's Enter pays nothing: it would take the first
 * key, so a first one that cannot be touched stands before them. Properties: `order`, `owes` (cents).
 */
class PayOtherwise extends Part {
  static properties = { order: {}, owes: {} };

  constructor() {
    super();
    this.order = "";
    this.owes = 0;
  }

  #act = new Act(this);

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("order")) this.#act.about(this.order);
  }

  /** @param {Submitted} event */
  async #pay(event) {
    event.preventDefault();
    const form = event.target;
    const written = new FormData(form);
    const typed = String(written.get("amount") ?? "").trim();
    const cents = typed ? centsWritten(typed, this.#act) : this.owes; // left empty, it is what stands there faintly: all they owe
    if (!cents) return;
    const how = HOW.find(([name]) => name === /** @type {HTMLButtonElement | null} */ (event.submitter)?.value)?.[0] ?? "cash";
    const check_number = how === "check" ? String(written.get("check_number") ?? "").trim() : "";
    const note = String(written.get("note") ?? "");
    if (await this.#act.run(() => pay(this.order, cents, how, note, { check_number }), `${money(cents)} paid.`)) form.reset();
  }

  /** @param {number} given */
  #change(given) {
    const { order, owes } = this;
    const back = `${money(owes)} paid. Give ${money(given - owes)} back.`;
    return this.#act.run(() => pay(order, owes, "cash", "", { given_cents: given }), back);
  }

  render() {
    const { owes } = this;
    return html`${
      owes > 0
        ? html`<details class="otherwise"><summary>change, a part of it, or another way</summary>
        <div class="keyrow three" role="group" aria-label="What they hand over">${handedOver(owes).map(
          (given) => html`
          <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#change(given)}>${money(given)}<small>${money(given - owes)} back</small></button>`,
        )}</div>
        <form class="fields split" @submit=${(/** @type {Submitted} */ event) => this.#pay(event)} novalidate>
          <button type="submit" disabled hidden></button>
          <label class="write"><span>dollars</span><input name="amount" class="figures" inputmode="decimal" autocomplete="off" placeholder=${(owes / CENTS).toFixed(2)} /></label>
          <label class="write"><span>number of the check</span><input name="check_number" class="figures" autocomplete="off" maxlength="40" /></label>
          <label class="write whole"><span>note</span><input name="note" autocomplete="off" /></label>
          <div class="keyrow two whole">${HOW.map(([how, words]) => html`<button class="key tight" name="how" value=${how} ?disabled=${this.#act.busy}>${words}</button>`)}</div></form></details>`
        : nothing
    }
      ${this.#act.outcome()}`;
  }
}
customElements.define("pay-otherwise", PayOtherwise);
