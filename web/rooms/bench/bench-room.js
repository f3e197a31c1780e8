import { html, nothing } from "lit";
import { Many } from "../../parts/many.js";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { counted, daySaid, listed, unitsSaid, whoSaid } from "../../parts/words.js";
import { isWide, WideWatch } from "../../parts/wide.js";
import { house } from "../../store/house.js";
import { dropOldNotes, isOver } from "../../parts/bench-notes.js";
import { printGathering } from "./gather.js";
import { heatPacked } from "../../parts/heat-words.js";
import { linesToPack, standing } from "./order-work.js";
import { cartonsLow } from "../../parts/cartons-low.js";
import "../../parts/again-list.js";
import "./day-papers.js";
import "./parcel-board.js";

/** @import { Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** Today's and coming parcels and pick-ups in packing order, one of them opened large. */
class BenchRoom extends Part {
  static properties = { path: {}, sheet: { state: true } };

  #many = new Many(this);

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
    /** What printing the sheet of a day came to. @type {{day: string, words: string} | null} */
    this.sheet = null;
    new WideWatch(this);
  }

  willUpdate() {
    if (house.status.started) dropOldNotes((order) => isOver(house.view.orders.get(order), house.today()));
  }

  render() {
    if (!house.status.started)
      return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    const { view } = house;
    const orders = view.openOrders().filter((order) => !view.hostOf(order)); // what goes with another is packed with it
    const asked = view.orders.get(this.path[0]);
    if (!orders.length && !asked) {
      return html`<div class="room" data-lone><div class="board">${stateSaid({ what: "Nothing to pack.", todo: html`Orders promised at the <a href=${placeOf("counter")}>Counter</a> come here, by the day they leave.` })}</div></div>`;
    }
    const shown = asked ?? (isWide() ? orders[0] : null);
    return html`<section class="pair" aria-label="Bench" ?data-open=${Boolean(shown)}>
      <div class="list"><h1 class="where">To pack and to hand over</h1><again-list all></again-list>${lowSaid(view)}${byDay(orders).map(([day, group]) => this.#day(day, group, shown))}</div>
      ${shown ? html`<parcel-board class="room" .order=${shown.id} .place=${placeSaid(shown, orders)}></parcel-board>` : nothing}
    </section>`;
  }

  /** @param {string} day @param {Order[]} orders @param {Order | null} shown */
  #day(day, orders, shown) {
    const today = house.today();
    const late = day && day < today;
    return html`
      <h2 class=${late ? "day heed" : "day"}>${late ? `${daySaid(day, today)}, still here` : daySaid(day || null, today)}</h2>
      <ol>${this.#many.of(day, orders, (order) => this.#row(order, shown))}</ol>
      ${
        day && orders.some((order) => order.state === "promised" && linesToPack(order, house.view).length)
          ? html`
        <button type="button" class="key tight quiet gather" @click=${() => this.#gather(day, orders)}>print the gathering sheet</button>
        ${this.sheet?.day === day ? html`<p role="status">${this.sheet.words}</p>` : nothing}`
          : nothing
      }${day && orders.length > 1 ? html`<day-papers .day=${day} .orders=${orders}></day-papers>` : nothing}`;
  }

  /** @param {string} day @param {Order[]} orders */
  async #gather(day, orders) {
    this.sheet = { day, words: "working out every parcel …" };
    this.sheet = { day, words: await printGathering(day || null, orders) };
  }

  /** @param {Order} order @param {Order | null} shown */
  #row(order, shown) {
    const { view } = house;
    const person = order.person ? view.people.get(order.person) : null;
    const goods = [order, ...view.ridersOf(order.id)]
      .flatMap(({ id }) => view.linesOf(id))
      .map((line) => unitsSaid(view.goods.get(line.good) ?? { name: line.good }, line.units));
    const stands = standing(order, view);
    return html`<li><a class="order-row" href=${placeOf("bench", order.id)} data-state=${order.state} aria-current=${order.id === shown?.id ? "true" : "false"}>
      <span class="tick" aria-hidden="true"></span>
      <span><strong>${whoSaid(person, order.number)}</strong>
        <small>${order.way === "pick_up" ? "picks up" : view.destination(order).city || "post"} · ${briefly(goods)}</small>
        ${heatPacked(order) ? html`<small>${heatPacked(order)}</small>` : nothing}
        ${stands ? html`<small class=${stands === "packed" ? "" : "heed"}>${stands}</small>` : nothing}</span></a></li>`;
  }
}
customElements.define("bench-room", BenchRoom);

/** Cartons that run low, before one is missed. @param {View} view */
function lowSaid(view) {
  const low = cartonsLow(view, house.today());
  return low.length
    ? html`<p class="faint">Cartons run low: ${low.map(({ id, words }, at) => html`${at ? "; " : ""}<a href=${placeOf("shelf", id)}>${words}</a>`)}.</p>`
    : nothing;
}

const MOST_NAMED = 3;
/** @param {string[]} goods */
const briefly = (goods) =>
  goods.length <= MOST_NAMED ? listed(goods) : `${goods.slice(0, MOST_NAMED - 1).join(", ")} and ${goods.length - MOST_NAMED + 1} more`;

/** @param {Order[]} orders */
function byDay(orders) {
  /** @type {Map<string, Order[]>} */
  const days = new Map();
  for (const order of orders) {
    const day = order.leave_on ?? "";
    const others = days.get(day);
    if (others) others.push(order);
    else days.set(day, [order]);
  }
  return [...days].sort(([a], [b]) => (a || "9").localeCompare(b || "9"));
}

/** "1 of 3 today" @param {Order} order @param {Order[]} orders */
function placeSaid(order, orders) {
  const group = orders.filter((other) => other.leave_on === order.leave_on && other.way === order.way);
  const place = group.findIndex((other) => other.id === order.id) + 1;
  if (!place) return "";
  const kind = order.way === "pick_up" ? counted(group.length, "pick-up") : counted(group.length, "parcel");
  return `${place} of ${kind} ${daySaid(order.leave_on, house.today())}`;
}
