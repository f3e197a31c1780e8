import { html } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { money } from "../../parts/words.js";
import { pay } from "../../store/acts.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */

/** @type {["cash" | "check" | "other", string][]} */
const HOW = [
  ["cash", "cash"],
  ["check", "check"],
  ["other", "other"],
];
const CENTS = 100;
const AMOUNT = /^\d{1,6}([.,]\d{1,2})?$/;

/** Another amount than all that is owed, or another way to pay it. Properties: `order`, `owes` (cents). */
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
    const cents = AMOUNT.test(typed) ? Math.round(Number(typed.replace(",", ".")) * CENTS) : 0;
    if (!cents) {
      this.#act.failed(
        Object.assign(new Error(`“${typed}” is no amount.`), { kind: "draft", remedy: "Write dollars and cents, such as 12.50." }),
      );
      return;
    }
    const how = HOW.find(([name]) => name === /** @type {HTMLButtonElement | null} */ (event.submitter)?.value)?.[0] ?? "cash";
    if (await this.#act.run(() => pay(this.order, cents, how, String(written.get("note") ?? "")), `${money(cents)} paid.`)) form.reset();
  }

  render() {
    return html`<details class="otherwise"><summary>another amount, or another way</summary>
        <form class="fields split" @submit=${(/** @type {Submitted} */ event) => this.#pay(event)} novalidate>
          <label class="write"><span>dollars</span><input name="amount" class="figures" inputmode="decimal" autocomplete="off" placeholder=${(this.owes / CENTS).toFixed(2)} /></label>
          <label class="write"><span>note, such as a check's number</span><input name="note" autocomplete="off" /></label>
          <div class="keyrow three whole">${HOW.map(([how, words]) => html`<button class="key tight" name="how" value=${how} ?disabled=${this.#act.busy}>${words}</button>`)}</div></form></details>
      ${this.#act.outcome()}`;
  }
}
customElements.define("pay-otherwise", PayOtherwise);
