import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { addCarton, centsTyped } from "../../parts/cartons.js";
import { placeOf } from "../../parts/route.js";
import { USUAL_CARTONS } from "../../parts/usual-cartons.js";
import { money } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setGood } from "../../store/acts.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */
/** @import { Carton } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** The cartons that lie here: added from usual sizes or typed, measured, priced, counted, put away and brought back. Property `carton`: an id, "new", or none. */
class CartonsBoard extends Part {
  static properties = { carton: {}, size: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.carton = "";
    /** The usual size that was touched. @type {(typeof USUAL_CARTONS)[number] | null} */
    this.size = null;
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("carton")) return;
    this.size = null;
    if (this.#act.error) this.#act.clear();
  }

  /** @param {() => Promise<object>} write */
  async #write(write) {
    if (!(await this.#act.run(async () => write(), "Written down."))) return;
    this.size = null;
    this.querySelector(".board")?.scrollTo(0, 0);
  }

  /** @param {Submitted} event */
  #add(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    /** @param {string} name */
    const text = (name) => String(form.get(name) ?? "").trim();
    return this.#write(() => {
      const count = text("count") ? Number(text("count")) : 0;
      if (!Number.isInteger(count))
        throw Object.assign(new Error(`“${text("count")}” is no number of cartons.`), {
          remedy: "Count them, or leave it empty.",
          kind: "draft",
        });
      return addCarton({ sides: this.size?.sides ?? ["L", "W", "H"].map(text), cost_cents: centsTyped(text("cost")), count });
    });
  }

  /** @param {Submitted} event */
  #price(event) {
    event.preventDefault();
    const text = String(new FormData(event.target).get("cost") ?? "");
    return this.#write(() => setGood({ id: this.carton }, { cost_cents: centsTyped(text) }));
  }

  /** @param {string} id @param {boolean} hidden */
  #hide = (id, hidden) => this.#write(() => setGood({ id, hidden }, { hidden }));

  render() {
    const { view, status } = house;
    const mayNot = status.device?.role !== "keeper";
    const row = view.cartons.get(this.carton);
    const adding = this.carton === "new";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${row || adding ? placeOf("settings", "cartons") : placeOf("settings")}>${row || adding ? "all cartons" : "all settings"}</a>
      <h1>${adding ? "One more carton" : row ? `Carton ${row.name}` : "Cartons"}</h1>
      ${mayNot ? html`<p class="faint">Only an owner's device may change these.</p>` : nothing}
      ${this.#act.outcome()}
      <fieldset class="plain" ?disabled=${mayNot}>${adding ? this.#adding() : row ? this.#one(row, view) : this.#list(view)}</fieldset>
    </div></div>
    ${row || adding || mayNot ? nothing : html`<div class="deck"><a class="key say" href=${placeOf("settings", "cartons", "new")}>add a carton</a></div>`}`;
  }

  /** @param {View} view */
  #list(view) {
    const rows = [...view.cartons.values()].sort((a, b) => (view.goods.get(a.id)?.rank ?? 0) - (view.goods.get(b.id)?.rank ?? 0));
    const [here, away] = [rows.filter(({ hidden }) => !hidden), rows.filter(({ hidden }) => hidden)];
    return html`${here.length ? nothing : html`<p>No carton yet. Add those that lie here: then a parcel can be planned while the caller is on the line.</p>`}
      <ul class="goods-list">${here.map(
        (row) => html`<li><a class="good-row plain" href=${placeOf("settings", "cartons", row.id)}>
        <span><strong>${row.name}</strong><small>${view.onHand(row.id)} here${row.cost_cents ? ` · ${money(row.cost_cents)} each` : ""}</small></span></a></li>`,
      )}</ul>
      ${
        away.length
          ? html`<h2 class="where">Put away</h2><ul class="goods-list">${away.map(
              (row) => html`<li class="keyrow two"><span>${row.name}</span>
        <button type="button" class="key tight" @click=${() => this.#hide(row.id, false)}>bring ${row.name} back</button></li>`,
            )}</ul>`
          : nothing
      }`;
  }

  #adding() {
    return html`<h2 class="where">Usual sizes, inside, in inches</h2>
      <div class="keyrow three" role="group" aria-label="Usual sizes">${USUAL_CARTONS.map(
        (usual) => html`
        <button type="button" class="key tight" aria-pressed=${this.size?.name === usual.name} @click=${() => {
          this.size = this.size?.name === usual.name ? null : usual;
        }}>${usual.name}</button>`,
      )}</div>
      <form class="fields split" @submit=${this.#add} novalidate>
        ${
          this.size
            ? html`<p class="whole"><strong>${this.size.name}</strong> inches inside.</p>`
            : html`<h2 class="where whole">or your own size, inside</h2>
          ${[
            ["L", "length"],
            ["W", "width"],
            ["H", "height"],
          ].map(
            ([name, words]) =>
              html`<label class="write"><span>${words}</span><input class="figures" name=${name} autocomplete="off" placeholder="8 5/8" /></label>`,
          )}`
        }
        <label class="write"><span>how many lie here</span><input class="figures" name="count" inputmode="numeric" autocomplete="off" placeholder="0" /></label>
        <label class="write"><span>cost of one, dollars</span><input class="figures" name="cost" inputmode="decimal" autocomplete="off" placeholder="0.58" /></label>
        <p class="faint whole">Its empty weight is reckoned from the board: weigh one under Measures.</p>
        <button class="key say whole">add it</button></form>`;
  }

  /** @param {Carton} row @param {View} view */
  #one(row, view) {
    return html`<dl class="under"><div><dt>inside</dt><dd>${row.inner.join(" × ")}</dd></div><div><dt>here</dt><dd>${view.onHand(row.id)}</dd></div>
        <div><dt>empty</dt><dd>${row.tare_g} g</dd></div></dl>
      <form class="fields" @submit=${this.#price} novalidate><label class="write"><span>cost of one, dollars</span>
        <input class="figures" name="cost" inputmode="decimal" autocomplete="off" .value=${row.cost_cents ? (row.cost_cents / 100).toFixed(2) : ""} /></label>
        <button class="key">write it down</button></form>
      <div class="keyrow two"><a class="key" href=${placeOf("settings", "measures", row.id)}>measure it</a><a class="key" href=${placeOf("shelf", row.id, "count")}>count or add some</a></div>
      <button type="button" class="key quiet" @click=${() => this.#hide(row.id, !row.hidden)}>${row.hidden ? "bring it back" : "put it away: none are bought any more"}</button>`;
  }
}
customElements.define("cartons-board", CartonsBoard);
