import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { goodPicture } from "../../parts/good-picture.js";
import { Act } from "../../parts/act.js";
import { go, placeOf } from "../../parts/route.js";
import { nameSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { addGood, goodsKept, orderGoods, setSold } from "../../store/acts.js";
import { priceOn, priceSaid } from "../../store/pricing.js";
import { USUAL_GOODS } from "../../store/usual-goods.js";
import "./good-new.js";
import "./good-prices.js";
import "./sold-good.js";
import { standsSaid } from "./stands-said.js";

/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Good } from "../../store/shapes.d.ts" */

/** What you sell: each with its picture and price; to add, put in order, stop and bring back. Property `path`: what follows in the address. */
class GoodsBoard extends Part {
  static properties = {
    path: { hasChanged: (/** @type {unknown} */ now, /** @type {unknown} */ before) => String(now) !== String(before) },
    moving: { state: true },
  };

  #act = new Act(this);

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
    this.moving = false;
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("path")) return;
    this.moving = false;
    if (this.#act.error) this.#act.clear();
  }

  /** @param {string} id @param {number} by */
  #move(id, by) {
    const ids = goodsKept()
      .filter(({ sold }) => sold)
      .map((good) => good.id);
    const at = ids.indexOf(id);
    const to = Math.min(ids.length - 1, Math.max(0, at + by));
    if (to === at) return;
    ids.splice(to, 0, ...ids.splice(at, 1));
    const stopped = goodsKept()
      .filter(({ sold }) => !sold)
      .map((good) => good.id);
    const words = `${nameSaid(house.view.goods.get(id) ?? { name: id }, 1)} stands ${to + 1} now.`;
    this.#act.run(() => orderGoods([...ids, ...stopped]), words, { focus: false });
  }

  /** @param {string} usual */
  async #add(usual) {
    const added = await this.#act.run(() => addGood({ usual }), "Added. What does one cost?", { focus: false });
    if (added) go("settings", "goods", added.good, "price");
  }

  render() {
    const [at, part] = this.path;
    if (at === "add") return this.#adding(part);
    if (at && house.view.goods.has(at))
      return part === "price" ? html`<good-prices .good=${at}></good-prices>` : html`<sold-good .good=${at}></sold-good>`;
    return this.#list();
  }

  #list() {
    const mayNot = house.status.device?.role !== "keeper";
    const goods = goodsKept();
    const sold = goods.filter((good) => good.sold);
    const stopped = goods.filter((good) => !good.sold);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>What you sell</h1>
      ${sold.length ? nothing : html`<p>Nothing yet. Add what stands on your shelf: touch it in the list of usual goods, or name your own.</p>`}
      <ul class="goods-list">${sold.map((good) => this.#row(good))}</ul>
      ${stopped.length ? html`<h2 class="where">Not sold now</h2><ul class="goods-list">${stopped.map((good) => this.#row(good, mayNot))}</ul>` : nothing}
    </div></div>
    <div class="deck">
      ${this.#act.outcome()}
      ${
        mayNot
          ? html`<p class="faint">Only an owner's device may change these.</p>`
          : this.moving
            ? html`<button type="button" class="key on" @click=${() => {
                this.moving = false;
              }}>this is the order</button>`
            : html`<div class="keyrow two"><a class="key say" href=${placeOf("settings", "goods", "add")}>add something</a>
          <button type="button" class="key" ?disabled=${sold.length < 2} @click=${() => {
            this.moving = true;
          }}>change the order</button></div>`
      }
    </div>`;
  }

  /** @param {Good} good */
  #row(good, mayNot = true) {
    const words = html`<span><strong>${nameSaid(good, 1)}</strong><small>${priceHere(good)}</small>${standsSaid(good)}</span>`;
    if (this.moving && good.sold) {
      return html`<li class="good-row moved">${goodPicture(good)}${words}
        <button type="button" class="key" aria-label="${good.name}: up" @click=${() => this.#move(good.id, -1)}>↑</button>
        <button type="button" class="key" aria-label="${good.name}: down" @click=${() => this.#move(good.id, 1)}>↓</button></li>`;
    }
    return html`<li class=${good.sold ? "" : "stopped-good"}><a class="good-row ${good.sold ? "" : "stopped"}" href=${placeOf("settings", "goods", good.id)}>${goodPicture(good)}${words}</a>
      ${good.sold || mayNot ? nothing : html`<button type="button" class="key tight" @click=${() => this.#act.run(() => setSold(good.id, true), `${good.plural ? `${good.plural} are` : `${good.name} is`} offered again.`)}>sell it again</button>`}</li>`;
  }

  /** @param {string} part */
  #adding(part) {
    if (part === "own") return html`<good-new></good-new>`;
    const here = new Set(
      goodsKept()
        .filter(({ sold }) => sold)
        .map(({ id }) => id),
    );
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings", "goods")}>what you sell</a>
      <h1>Add something</h1>
      <p class="faint">Touch what you sell. Measures and weights are typical of such pieces: measure your own when you have a minute.</p>
      <div class="usual-goods">${USUAL_GOODS.map(
        (good) => html`<button type="button" class="key" ?disabled=${here.has(good.id)} @click=${() => this.#add(good.id)}>
        ${goodPicture(good)}<span>${nameSaid(good, 1)}${here.has(good.id) ? html`<small>you have it</small>` : nothing}</span></button>`,
      )}</div>
    </div></div>
    <div class="deck">${this.#act.outcome()}<a class="key" href=${placeOf("settings", "goods", "add", "own")}>something of my own</a></div>`;
  }
}
customElements.define("goods-board", GoodsBoard);

/** The price; where the counter and the mail have others, both by name. @param {Good} good */
function priceHere(good) {
  const [counter, mail] = ["pick_up", "post"].map((way) => priceSaid(priceOn(good, way, house.today())));
  return counter === mail ? counter : `${counter} at the counter; ${mail} by mail`;
}
