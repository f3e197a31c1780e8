import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { sayAloud } from "../../parts/aloud.js";
import { listed, money, unitsSaid } from "../../parts/words.js";
import { orderTotal } from "../../store/pricing.js";
import { house } from "../../store/house.js";
import { stateWords } from "./order-row.js";

/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Line, Order, Trouble } from "../../store/shapes.d.ts" */

const PAGE = 20;

/**
 * So many orders of long ago, and what belongs to them.
 * @typedef {{orders: Order[], lines: Line[], handed: {line: string, units: number}[], payments: {order: string, cents: number}[],
 *   adjustments?: {order: string, cents: number}[],
 *   before: string | null}} OlderPage
 */

/** A person's orders of long ago: no device carries them, so they are asked of the house. Property `person`: an id. */
class OlderOrders extends Part {
  static properties = { person: {}, orders: { state: true }, earlier: { state: true } };

  constructor() {
    super();
    this.person = "";
    /** @type {ReturnType<typeof told>[] | null} */
    this.orders = null;
    /** @type {string | null} */
    this.earlier = null;
  }

  #act = new Act(this, { asks: true });

  /** @param {Changed} changed */
  willUpdate(changed) {
    this.#act.about(this.person);
    if (changed.has("person")) Object.assign(this, { orders: null, earlier: null });
  }

  async #ask() {
    const { person, earlier } = this;
    const page = await this.#act.run(() => olderPage(person, earlier), "", { focus: false });
    if (!page || person !== this.person) return;
    const older = page.orders.filter(({ id }) => !house.view.orders.has(id)).map((order) => told(order, page));
    const orders = [...(this.orders ?? []), ...older];
    Object.assign(this, { orders, earlier: page.before });
    sayAloud(orders.length ? `${orders.length} older orders.` : "The main computer has no older orders.");
  }

  render() {
    const today = house.today();
    const more = this.orders === null || this.earlier !== null;
    return html`
      ${
        this.orders?.length
          ? html`<h2>older, from the main computer</h2><ol class="older">${this.orders.map(
              ({ order, goods, owed }) => html`<li><div class="order-row" data-state=${order.state}>
        <span class="tick" aria-hidden="true"></span>
        <span><strong>${order.number}</strong><small>${listed(goods)}</small><small>${stateWords(order, today)}${owed > 0 ? ` · owes ${money(owed)}` : ""}</small></span></div></li>`,
            )}</ol>`
          : nothing
      }
      ${this.orders?.length === 0 && !more ? html`<p class="faint" role="status">The main computer has no older orders.</p>` : nothing}
      ${this.#act.outcome()}
      ${
        more
          ? html`<button type="button" class="key whole" ?disabled=${this.#act.busy} @click=${() => this.#ask()}>
        ${this.#act.busy ? "asking the main computer" : this.orders ? "still older" : "older orders"}<small>from the main computer</small></button>`
          : nothing
      }`;
  }
}
customElements.define("older-orders", OlderOrders);

/**
 * @param {string} person
 * @param {string | null} before the place where the last page ended
 * @returns {Promise<OlderPage>}
 */
async function olderPage(person, before) {
  try {
    return await house.call(`/api/orders?person=${encodeURIComponent(person)}&limit=${PAGE}${before ? `&before=${before}` : ""}`, {
      wait_s: 8,
    });
  } catch (error) {
    if (/** @type {Trouble} */ (error).kind !== "no answer") throw error;
    const remedy = "Nothing is lost; ask again when it is in reach.";
    throw Object.assign(new Error("No signal: the older orders are on the main computer."), { remedy });
  }
}

/** One order of a page with what it held, in words, and what is still owed. @param {Order} order @param {OlderPage} page */
function told(order, page) {
  const lines = page.lines.filter((line) => line.order === order.id && line.units > 0);
  const left = lines.some((line) => page.handed.some((sum) => sum.line === line.id && sum.units > 0));
  const paid = page.payments.filter((payment) => payment.order === order.id).reduce((sum, { cents }) => sum + cents, 0);
  const off = (page.adjustments ?? []).filter((one) => one.order === order.id).reduce((sum, one) => sum + one.cents, 0);
  const cents = orderTotal(order, lines) + off;
  const goods = lines.map((line) => unitsSaid(house.view.goods.get(line.good) ?? { name: line.good }, line.units));
  return { order, goods, owed: (order.state === "gone" && left ? cents : 0) - paid };
}
