import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { centsWritten } from "../../parts/cents.js";
import { Part } from "../../parts/part.js";
import { paymentSaid, WHY_SAID } from "../../parts/sums.js";
import { dayShort, money } from "../../parts/words.js";
import { correct } from "../../store/acts.js";
import { house } from "../../store/house.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */
/** @import { Payment } from "../../store/shapes.d.ts" */

/** What was paid, paid back and taken off, entry by entry; one that was entered wrongly is put right by another. Property `order`. */
class PaymentsList extends Part {
  static properties = { order: {}, wrong: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.order = "";
    /** @type {string | null} */
    this.wrong = null;
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("order")) return;
    this.#act.about(this.order);
    this.wrong = null;
  }

  /** @param {Submitted} event @param {Payment} payment */
  async #correct(event, payment) {
    event.preventDefault();
    const cents = centsWritten(new FormData(event.target).get("amount"), this.#act);
    const right = payment.cents < 0 ? -cents : cents;
    if (cents && (await this.#act.run(() => correct(payment.id, right), `It is ${money(right)} now.`))) this.wrong = null;
  }

  render() {
    const payments = house.view.paymentsOf(this.order);
    const off = house.view.grouped("adjustment").get(this.order) ?? [];
    if (!payments.length && !off.length) return this.#act.outcome();
    return html`<details class="otherwise"><summary>what was paid, one by one</summary>
        <dl class="under">${payments.map((payment) => this.#row(payment))}
          ${off.map(({ on, cents, why }) => html`<div><dt>off</dt><dd>${dayShort(on)}: ${money(cents)}, ${WHY_SAID[/** @type {keyof typeof WHY_SAID} */ (why)]}</dd></div>`)}</dl>
      </details>
      ${this.#act.outcome()}`;
  }

  /** @param {Payment} payment */
  #row(payment) {
    const fixed = payment.corrects || payment.note === "undone";
    return html`<div><dt>${payment.cents < 0 ? "back" : "paid"}</dt><dd><p>${paymentSaid(payment)}</p>
      ${
        fixed
          ? nothing
          : this.wrong === payment.id
            ? html`<form class="fields" @submit=${(/** @type {Submitted} */ event) => this.#correct(event, payment)} novalidate>
          <label class="write"><span>what it should say, in dollars</span><input name="amount" class="figures" inputmode="decimal" autocomplete="off" /></label>
          <button class="key tight" ?disabled=${this.#act.busy}>put it right</button></form>`
            : html`<button type="button" class="key tight quiet" @click=${() => {
                this.wrong = payment.id;
              }}>this is wrong</button>`
      }</dd></div>`;
  }
}
customElements.define("payments-list", PaymentsList);
