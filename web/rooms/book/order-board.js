import { html, nothing } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { addressSaid, dayShort, money, phoneSaid, unitsSaid, mailingWeightSaid, whoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { lineTotal } from "../../store/pricing.js";
import { amend, letGo, pay } from "../../store/acts.js";
import { orderSumSaid } from "../../parts/sums.js";
import { pricedApart } from "../../parts/apart.js";
import { heatPacked } from "../../parts/heat-words.js";
import "../../parts/new-address.js";
import "../../parts/one-parcel.js";
import "./arrival-keys.js";
import "./note-form.js";
import "./pay-otherwise.js";
import "./payments-list.js";
import "./send-again.js";
import "./take-off.js";
import "./tracking-form.js";
import { stateWords } from "./order-row.js";
import { canShare } from "../../parts/share.js";
import { printReceipt, RECEIPT, shareReceipt } from "./receipt.js";

/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Line } from "../../store/shapes.d.ts" */

/** @type {["cash" | "check", string][]} */
const PAID = [
  ["cash", "paid in cash"],
  ["check", "the check is here"],
];

/** @type {["cash" | "check" | "transfer", string][]} */
const BACK = [
  ["cash", "paid back in cash"],
  ["check", "by check"],
  ["transfer", "by transfer"],
];

/** One order: its lines, what is sure and what waits, its parcels, its money, and what can still be done. */
class OrderBoard extends Part {
  static properties = { order: {} };

  constructor() {
    super();
    this.order = "";
  }

  #act = new Act(this);

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("order")) this.#act.about(this.order);
  }

  render() {
    const { view } = house;
    const order = view.orders.get(this.order);
    if (!order)
      return html`<div class="board"><a class="key tight back" href=${placeOf("book")}>the book</a><p>That order is not on this device. Orders settled and closed more than a month ago stay on the main computer: a person's page asks for them.</p></div>`;
    const person = order.person ? view.people.get(order.person) : null;
    const owes = view.owed(order.id);
    const to = view.destination(order);
    const open = ["promised", "packed"].includes(order.state);
    return html`
      <div class="board"><div class="column">
        <a class="key tight back" href=${placeOf("book")}>the book</a>
        <p class="where">order ${order.number} · taken ${dayShort(order.taken_on)}</p>
        <h1>${person ? html`<a href=${placeOf("book", "person", person.id)}>${whoSaid(person)}</a>` : whoSaid(null)}</h1>
        <p>${stateWords(order, house.today())}${order.standing ? html` <span class="faint">by a standing order</span>` : nothing}</p>
        <new-address .order=${order.id}></new-address>
        <one-parcel .order=${order.id}></one-parcel>
        ${this.#act.outcome()}
        <dl class="under">
          ${view.linesOf(order.id).map((line, place) => this.#line(line, place))}
          ${person?.phone ? html`<div><dt>number</dt><dd><a class="figures" href="tel:${person.phone}">${phoneSaid(person.phone)}</a></dd></div>` : nothing}
          ${order.way === "post" && addressSaid(to) ? html`<div><dt>to</dt><dd><p>${to.name === person?.name ? nothing : html`<strong>${to.name}</strong>, `}${addressSaid(to)}${order.goes_to === "other" ? html` <span class="faint">for this order only</span>` : nothing}</p>${order.gift_note ? html`<p class="faint">“${order.gift_note}”</p>` : nothing}</dd></div>` : nothing}
          ${order.heat ? html`<div><dt>heat</dt><dd>${order.heat}</dd></div>` : nothing}
          ${order.note ? html`<div><dt>note</dt><dd>${order.note}</dd></div>` : nothing}
          ${view.parcelsOf(order.id).map((parcel) => html`<div><dt>box ${parcel.part}</dt><dd>${view.cartons.get(parcel.carton ?? "")?.name ?? "by eye"}, ${parcel.scale_g ? `${mailingWeightSaid(parcel.scale_g)} on the scale` : `${mailingWeightSaid(parcel.gross_g)} planned`}</dd></div>`)}
          ${heatPacked(order) ? html`<div><dt>packing</dt><dd>${heatPacked(order)}</dd></div>` : nothing}
          <div><dt>money</dt><dd><p>${orderSumSaid(order, view)}</p><p>${owes > 0 ? html`<strong>${money(owes)}</strong> owed` : owes < 0 ? html`<span class="heed">${money(-owes)} to pay back</span>` : "Nothing owed"}${view.paid(order.id) ? `, ${money(view.paid(order.id))} paid` : ""}</p></dd></div>
        </dl>
        ${order.way === "post" && ["packed", "gone"].includes(order.state) ? view.parcelsOf(order.id).map((parcel) => keyed(parcel.id, html`<tracking-form .parcel=${parcel}></tracking-form>`)) : nothing}
        ${order.state === "let_go" ? nothing : html`<pay-otherwise .order=${order.id} .owes=${owes}></pay-otherwise>`}
        <payments-list .order=${order.id}></payments-list>
        ${order.state === "let_go" || view.total(order.id) <= 0 ? nothing : html`<take-off .order=${order.id}></take-off>`}
        <send-again .order=${order.id}></send-again>
        ${open ? html`<note-form .text=${order.note} .write=${(/** @type {string} */ note) => amend(order.id, { note })}></note-form>` : nothing}
      </div></div>
      <div class="deck">
        ${
          owes > 0 && order.state !== "let_go"
            ? html`<div class="keyrow two">${PAID.map(
                ([how, words]) => html`
          <button type="button" class="key" @click=${() => this.#act.run(() => pay(order.id, owes, how), `${money(owes)} paid.`)}>${words}<small>${money(owes)}</small></button>`,
              )}</div>`
            : nothing
        }
        ${order.state === "let_go" ? nothing : html`<button type="button" class="key quiet" @click=${() => this.#act.run(() => printReceipt(order.id), "The receipt is ready to print.")}>print a receipt</button>${canShare(RECEIPT) ? html`<button type="button" class="key quiet" @click=${() => this.#act.run(() => shareReceipt(order.id), "")}>send the receipt</button>` : nothing}`}
        ${order.state === "gone" && order.way === "post" ? html`<arrival-keys .order=${order.id}></arrival-keys>` : nothing}
        ${
          owes < 0
            ? html`<div class="keyrow three" role="group" aria-label="Pay it back">${BACK.map(
                ([how, words]) => html`
          <button type="button" class="key tight" @click=${() => this.#act.run(() => pay(order.id, owes, how), `${money(-owes)} paid back.`)}>${words}<small>${money(-owes)}</small></button>`,
              )}</div>`
            : nothing
        }
        ${
          open
            ? html`<div class="keyrow two"><a class="key" href=${placeOf("bench", order.id)}>to the Bench</a><a class="key" href=${placeOf("counter", "change", order.id)}>change it</a></div>
          <button type="button" class="key undo" @click=${() =>
            this.#act.run(
              async () => pricedApart(await letGo(order.id)),
              ({ posting }) => ["Canceled. Its goods are free again.", posting].filter(Boolean).join(" "),
            )}>cancel the order</button>`
            : nothing
        }
      </div>`;
  }

  /** @param {Line} line @param {number} place */
  #line(line, place) {
    const { view } = house;
    const good = view.goods.get(line.good) ?? { name: line.good };
    const waiting = view.waiting(line.id);
    const words = [
      view.handed(line.id) ? `${view.handed(line.id)} handed over` : "",
      view.sure(line.id) ? `${view.sure(line.id)} sure` : "",
    ]
      .filter(Boolean)
      .join(", ");
    return html`<div><dt>${place ? "and" : "wants"}</dt><dd><p><strong>${unitsSaid(good, line.units)}</strong>, ${money(lineTotal(line))}</p>
      <p class="faint">${words}${waiting > 0 ? html` <span class="heed">${waiting} waiting</span>` : nothing}</p></dd></div>`;
  }
}
customElements.define("order-board", OrderBoard);
