import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { go, placeOf } from "../../parts/route.js";
import { capital, counted, countSaid, dayShort, unitsSaid, weightSaid, whoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import "../../parts/picture.js";
import { hurtBy, hurtSaid, ring } from "./hurt.js";
import "./like-on-shelf.js";
import "../../parts/melt-by.js";
import "./count-deck.js";
import "./low-marks.js";

/** @import { Good } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** One good: free, promised, on the shelf, in numerals read from two metres; the shelf drawn; who waits, who goes short; its lots. */
class GoodBoard extends Part {
  static properties = { good: {}, counting: { type: Boolean } };

  constructor() {
    super();
    this.good = "";
    this.counting = false;
  }

  render() {
    const { view } = house;
    const good = view.goods.get(this.good);
    if (!good) return nothing;
    return html`
      <div class="board"><div class="column">
        <a class="key tight back" href=${placeOf("shelf")}>all goods</a>
        <h1 class="where">${heading(good)}</h1>
        ${this.#numerals(good, view)}
        ${
          good.unit === "each" && good.kind !== "carton"
            ? html`
          <kernel-picture name="stock.shelf_picture" .request=${shelfRequest(good, view)} waiting="drawing the shelf …"></kernel-picture>
          `
            : nothing
        }
        <dl class="under">${this.#shorts(good, view)}</dl>
        ${good.sold && good.kind !== "carton" ? html`<melt-by .good=${good.id}></melt-by>` : nothing}
        <dl class="under goes-on">${this.#waiting(good, view)}${this.#lots(good, view)}</dl>
      </div></div>
      <div class="deck">${good.kind === "carton" && !this.counting ? html`<low-marks .good=${good.id}></low-marks>` : nothing}${
        good.sold && good.kind !== "carton" && !this.counting ? html`<like-on-shelf .good=${good.id}></like-on-shelf>` : nothing
      }${
        this.counting
          ? html`<count-deck .good=${good.id} @done=${() => go("shelf", good.id)}></count-deck>`
          : html`<div class="keyrow"><a class="key" href=${placeOf("shelf", good.id, "count")}>${good.kind === "carton" ? "count or add cartons" : "count by hand"}</a>${
              good.sold && good.kind !== "carton" && good.unit === "each"
                ? html`<a class="key quiet" href=${placeOf("shelf", good.id, "labels")}>print labels</a>`
                : nothing
            }</div>`
      }</div>`;
  }

  /** @param {Good} good @param {View} view */
  #numerals(good, view) {
    /** @param {number} units */
    const said = (units) => (good.unit === "g" ? weightSaid(units) : countSaid(units));
    const free = view.free(good.id);
    /** @type {[number, string][]} */
    const three = [
      [Math.max(0, free), "free"],
      [view.promised(good.id), "promised"],
      [view.onHand(good.id), "on the shelf"],
    ];
    const shown = good.kind === "bulk" || good.kind === "carton" ? three.slice(2) : three;
    return html`<div class="numerals" ?data-wordy=${good.unit === "g"}>${shown.map(
      ([units, word]) => html`
      <p><span class="numeral">${said(units)}</span><small class="faint">${word}</small></p>`,
    )}</div>
      ${good.sold ? html`<p class="faint">${counted(house.share(good.id), "is", "are")} sure on this device without signal.</p>` : nothing}`;
  }

  /** Promised more than lies here: whose promise is hurt, latest first, before anyone drives over. @param {Good} good @param {View} view */
  #shorts(good, view) {
    const hurt = hurtBy(good, view);
    if (!hurt.length) return nothing;
    return html`<div><dt class="heed">short</dt><dd>${hurtSaid(good, hurt)}
      <p class="faint">Call before they drive over, or change the order. Count again if the shelf says otherwise.</p></dd></div>`;
  }

  /** @param {Good} good @param {View} view */
  #waiting(good, view) {
    const waits = view.waitingFor(good.id);
    if (!waits.length) return nothing;
    return html`<div><dt>waiting</dt><dd>${waits.map(
      ({ order, person, units }, place) => html`
      <p><a href=${placeOf("book", "order", order.id)}><strong>${whoSaid(person, order.number)}</strong></a>, ${unitsSaid(good, units)}${place ? "" : ": first from the next pour"}. ${ring(person)}</p>`,
    )}</dd></div>`;
  }

  /** @param {Good} good @param {View} view */
  #lots(good, view) {
    const lots = view.lotBalance(good.id);
    if (!lots.length) return nothing;
    const there = lots.filter(({ units }) => units > 0);
    return html`<div><dt>lots</dt><dd>${lots.map(
      ({ lot, units, made_on }) => html`
      <p class="figures">${lot ? html`<a href=${placeOf("book", "lot", lot)}>${lot}</a>` : "no lot written"}: <strong>${good.unit === "g" ? weightSaid(units) : countSaid(units)}</strong>
        <span class="faint">${made_on ? dayShort(made_on) : ""}${lot === there[0]?.lot && lots.length > 1 ? `${made_on ? ", " : ""}leaves first` : ""}</span></p>`,
    )}</dd></div>`;
  }
}
customElements.define("good-board", GoodBoard);

/** @param {Good} good */
const heading = (good) => capital(good.unit === "g" ? good.name : good.plural || good.name);

/** The request of `stock.shelf_picture`. @param {Good} good @param {View} view */
function shelfRequest(good, view) {
  return {
    good,
    on_hand: view.onHand(good.id),
    promised: view.promised(good.id),
    share: house.share(good.id),
    lots: view.lotBalance(good.id),
    row: good.row || 10,
  };
}
