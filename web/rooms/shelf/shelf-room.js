import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { nothingSold } from "../../parts/nothing-sold.js";
import { isWide, WideWatch } from "../../parts/wide.js";
import { house } from "../../store/house.js";
import { nameSaid, unitsSaid } from "../../parts/words.js";
import { isLow } from "../../parts/cartons-low.js";
import { countingAsked } from "./counting.js";
import "../../parts/print-key.js";
import "./good-board.js";
import "./labels-board.js";
import "./count-walk.js";

/** @import { Good } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** What is here: every good with its large numerals, and one of them opened. */
class ShelfRoom extends Part {
  static properties = { path: {} };

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
    new WideWatch(this);
  }

  render() {
    const goods = goodsHere(house.view);
    if (!house.status.started)
      return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    if (!goods.length) {
      return html`<div class="room" data-lone><div class="board">${nothingSold("There is nothing on the shelf yet: nothing is sold.")}</div></div>`;
    }
    if (this.path[0] === "walk") return html`<count-walk class="room"></count-walk>`;
    const open = house.view.goods.get(this.path[0]);
    if (open && this.path[1] === "labels")
      return html`<labels-board class="room" .good=${open.id} .made=${this.path[2] ?? ""}></labels-board>`;
    const wide = isWide();
    const shown = open ?? (wide ? goods[0] : null);
    const isOut = (/** @type {Good} */ good) => good.kind === "bulk" && !house.view.onHand(good.id) && good !== shown;
    const [here, none] = [goods.filter((good) => !isOut(good)), goods.filter(isOut)];
    return html`<section class="pair" aria-label="Shelf" ?data-open=${Boolean(shown)}>
      <div class="list">
        <h1 class="where">On the shelf</h1>
        <div class="keyrow"><a class="key tight" href=${placeOf("shelf", "walk")}>count the shelf</a><print-key words="print a counting sheet" .asked=${countingAsked}></print-key></div>
        <ul class="goods-list">${here.map((good) => this.#row(good, shown))}</ul>
        ${none.length ? html`<p class="faint none-here">Nothing here of: ${none.map((good, place) => html`${place ? ", " : ""}<a href=${placeOf("shelf", good.id)}>${good.name}</a>`)}.</p>` : nothing}
      </div>
      ${shown ? html`<good-board class="room" .good=${shown.id} .counting=${this.path[1] === "count"}></good-board>` : nothing}
    </section>`;
  }

  /** @param {Good} good @param {Good | null} shown */
  #row(good, shown) {
    const { view, status } = house;
    const short = Math.max(status.short?.[good.id] ?? 0, -Math.min(0, view.free(good.id)));
    const waits = view.waitingFor(good.id).reduce((sum, { units }) => sum + units, 0);
    const free =
      good.unit === "g"
        ? unitsSaid({ unit: "g", name: "" }, Math.max(0, view.free(good.id))).replace(" of ", "")
        : Math.max(0, view.free(good.id));
    return html`<li><a class="good-row" href=${placeOf("shelf", good.id)} aria-current=${good.id === shown?.id ? "true" : "false"}>
      <span class="count" ?data-wordy=${good.unit === "g"}>${free}</span>
      <span><strong>${good.unit === "g" ? good.name : nameSaid(good)}</strong>
        <small>${good.unit === "g" || good.kind === "carton" ? "on the shelf" : `free of ${view.onHand(good.id)}`}</small>
        ${good.kind === "carton" && isLow(good.id, view) ? html`<small class="heed">runs low</small>` : nothing}
        ${short ? html`<small class="heed">${short} short</small>` : nothing}
        ${waits ? html`<small class="heed">${waits} waiting</small>` : nothing}</span></a></li>`;
  }
}
customElements.define("shelf-room", ShelfRoom);

/** Goods sold, then bulk; cartons last, for they run out too. @param {View} view */
function goodsHere(view) {
  /** @type {Record<string, number>} */
  const kinds = { carton: 2, bulk: 1 };
  return [...view.goods.values()]
    .filter((good) => !good.hidden)
    .sort((a, b) => (kinds[a.kind] ?? 0) - (kinds[b.kind] ?? 0) || a.rank - b.rank);
}
