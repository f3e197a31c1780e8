import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { listed, money, unitsSaid } from "../../parts/words.js";
import { orderTotal } from "../../store/pricing.js";
import { house } from "../../store/house.js";
import { stateWords } from "./order-row.js";

/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Line, Order, Trouble } from "../../store/shapes.d.ts" */

const PAGE = 20;

/** @typedef {{orders: Order[], lines: Line[], handed: {line: string, units: number}[], payments: {order: string, cents: number}[], before: string | null}} OlderPage */

/** A person's orders of long ago: no device carries them, so they are asked of the house. Property `person`: an id. */
class OlderOrders extends Part {
  static properties = { person: {}, orders: { state: true }, earlier: { state: true }, asking: { state: true }, trouble: { state: true } };

  constructor() {
    super();
    this.person = "";
    /** @type {ReturnType<typeof told>[] | null} */
    this.orders = null;
    /** @type {string | null} */
    this.earlier = null;
    this.asking = false;
    this.trouble = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("person")) Object.assign(this, { orders: null, earlier: null, asking: false, trouble: "" });
  }

  async #ask() {
    const { person, earlier } = this;
    this.asking = true;
    try {
      /** @type {OlderPage} */
      const page = await house.call(
        `/api/orders?person=${encodeURIComponent(person)}&limit=${PAGE}${earlier ? `&before=${earlier}` : ""}`,
        {
          wait_s: 8,
        },
      );
      if (person !== this.person) return;
      const orders = [
        ...(this.orders ?? []),
        ...page.orders.filter(({ id }) => !house.view.orders.has(id)).map((order) => told(order, page)),
      ];
      Object.assign(this, { orders, earlier: page.before, trouble: "" });
      sayAloud(orders.length ? `${orders.length} older orders.` : "The house has no older orders.");
    } catch (error) {
      const { kind, message, remedy = "" } = /** @type {Trouble} */ (error);
      this.trouble =
        kind === "no answer"
          ? "No signal: the older orders lie with the house. Nothing is lost; ask again when it is in reach."
          : `${message} ${remedy}`;
      sayAloud(this.trouble);
    } finally {
      this.asking = false;
    }
  }

  render() {
    const today = house.today();
    const more = this.orders === null || this.earlier !== null;
    return html`
      ${
        this.orders?.length
          ? html`<h2>older, from the house</h2><ol class="older">${this.orders.map(
              ({ order, goods, owed }) => html`<li><div class="order-row" data-state=${order.state}>
        <span class="tick" aria-hidden="true"></span>
        <span><strong>${order.number}</strong><small>${listed(goods)}</small><small>${stateWords(order, today)}${owed > 0 ? ` · owes ${money(owed)}` : ""}</small></span></div></li>`,
            )}</ol>`
          : nothing
      }
      ${this.orders?.length === 0 && !more ? html`<p class="faint" role="status">The house has no older orders.</p>` : nothing}
      ${this.trouble ? html`<p role="status"><strong>${this.trouble}</strong></p>` : nothing}
      ${
        more
          ? html`<button type="button" class="key whole" ?disabled=${this.asking} @click=${() => this.#ask()}>
        ${this.asking ? "asking the house" : this.orders ? "still older" : "older orders"}<small>from the house</small></button>`
          : nothing
      }`;
  }
}
customElements.define("older-orders", OlderOrders);

/** One order of a page with what it held, in words, and what is still owed. @param {Order} order @param {OlderPage} page */
function told(order, page) {
  const lines = page.lines.filter((line) => line.order === order.id && line.units > 0);
  const left = lines.some((line) => page.handed.some((sum) => sum.line === line.id && sum.units > 0));
  const paid = page.payments.filter((payment) => payment.order === order.id).reduce((sum, { cents }) => sum + cents, 0);
  const cents = orderTotal(order, lines);
  const goods = lines.map((line) => unitsSaid(house.view.goods.get(line.good) ?? { name: line.good }, line.units));
  return { order, goods, owed: (order.state === "gone" && left ? cents : 0) - paid };
}
