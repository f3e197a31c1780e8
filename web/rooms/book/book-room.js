import { html, nothing } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { Many } from "../../parts/many.js";
import { Part } from "../../parts/part.js";
import { go, placeOf } from "../../parts/route.js";
import { counted, money, phoneSaid, whoSaid } from "../../parts/words.js";
import { toCall } from "../../store/calling.js";
import { house } from "../../store/house.js";
import { owing } from "../../store/owing.js";
import { isWide, WideWatch } from "../../parts/wide.js";
import { bookAtAGlance, ledgerKeys } from "./ledgers.js";
import "../../parts/person-finder.js";
import "./person-board.js";
import "./order-board.js";
import "./arrivals-board.js";
import "./calls-board.js";
import "./lot-board.js";
import "./looking-back-board.js";
import "./season-board.js";
import "./till-board.js";
import { orderRow } from "./order-row.js";

/** @import { Told } from "../../parts/events.d.ts" */
/** @import { Order, Person } from "../../store/shapes.d.ts" */

/** People, orders and what they owe; where a lot went. */
class BookRoom extends Part {
  static properties = { path: {} };

  #many = new Many(this);

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
    new WideWatch(this);
  }

  render() {
    if (!house.status.started)
      return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    const [what, id] = this.path;
    const board = this.#board(what, id);
    return html`<section class="pair" aria-label="Book" ?data-open=${Boolean(board)}>
      <div class="list">
        <h1 class="where">Find someone</h1>
        <person-finder @pick=${(/** @type {Told<Person>} */ { detail }) => go("book", "person", detail.id)} @fresh=${(/** @type {Told<string>} */ { detail }) => go("book", "person", "new", detail)}></person-finder>
        ${this.#calls()}
        ${this.#owing()}
        ${this.#payBack()}
        ${this.#listed("Use the new address?", "moved", house.view.moved())}
        ${this.#listed("Open orders", "open", house.view.openOrders())}
        ${board || !isWide() ? ledgerKeys() : nothing}
      </div>
      ${board ?? bookAtAGlance()}
    </section>`;
  }

  /** @param {Order} order */
  #row = (order) => orderRow(order, house.view, house.today(), order.id === this.path[1]);

  /** Orders under a heading; where there are none, no heading stands over nothing. @param {string} words @param {string} name @param {Order[]} orders */
  #listed(words, name, orders) {
    if (!orders.length) return nothing;
    return html`<h2 class="where">${words}</h2>
      <ol>${this.#many.of(name, orders, this.#row)}</ol>`;
  }

  /** Whose order is here, goes now, or is to be fetched. */
  #calls() {
    const count = toCall(house.view, house.today()).length;
    return count
      ? html`<h2 class="where">To call</h2><p><a class="key" href=${placeOf("book", "calls", "")}>${counted(count, "person", "people")} to call</a></p>`
      : nothing;
  }

  /** Canceled after they were paid, or paid too much. */
  #payBack() {
    const back = house.view.toPayBack();
    if (!back.length) return nothing;
    return html`<h2 class="where">To pay back</h2><ul>${this.#many.of("back", back, ({ order, cents }) => {
      const person = house.view.people.get(order.person ?? "");
      const why = order.state === "let_go" ? "canceled" : "paid too much";
      return html`<li><a class="order-row" href=${placeOf("book", "order", order.id)} aria-current=${order.id === this.path[1]}><span></span><span><strong>${whoSaid(person)}</strong><small>${money(cents)} · ${why} · ${order.number}</small></span></a></li>`;
    })}</ul>`;
  }

  /** A person, an order and a lot each have a board of their own: what was typed for one never stands at the next. @param {string} what @param {string} id */
  #board(what, id) {
    if (what === "calls") return html`<calls-board class="room"></calls-board>`;
    if (what === "till") return html`<till-board class="room" .day=${id ?? ""}></till-board>`;
    if (what === "person") {
      const [, , typed = ""] = this.path;
      return keyed(`${id}/${typed}`, html`<person-board class="room" .person=${id} .typed=${typed}></person-board>`);
    }
    if (what === "order") return keyed(id, html`<order-board class="room" .order=${id}></order-board>`);
    if (what === "arrivals") return html`<arrivals-board class="room"></arrivals-board>`;
    if (what === "season") return html`<season-board class="room" .season=${id ?? ""}></season-board>`;
    if (what === "back") return html`<looking-back-board class="room" .season=${id ?? ""}></looking-back-board>`;
    if (what === "lot") return keyed(id, html`<lot-board class="room" .lot=${id ?? ""}></lot-board>`);
    return null;
  }

  /** Who still owes for what has gone, the most first. */
  #owing() {
    const { view } = house;
    const rows = owing(view).filter(([person]) => person);
    if (!rows.length) return nothing;
    return html`<h2 class="where">They owe for what they have</h2><ul>${this.#many.of("owing", rows, ([id, cents]) => {
      const person = view.people.get(id);
      return html`<li><a class="order-row" href=${placeOf("book", "person", id)}><span></span><span><strong>${whoSaid(person, "someone")}</strong><small>${money(cents)} · ${phoneSaid(person?.phone ?? "")}</small></span></a></li>`;
    })}</ul>`;
  }
}
customElements.define("book-room", BookRoom);
