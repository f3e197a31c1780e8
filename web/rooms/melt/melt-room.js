import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { notWritten } from "../../parts/not-written.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { dayShort, nameSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { lotCode, make } from "../../store/acts.js";
import "../../parts/number-pad.js";
import "../../parts/undo-key.js";

const LOTS_SHOWN = 12;

/** A pour: how many, how many of them specked, from which cappings; then the good ones stand on the shelf as a lot. */
class MeltRoom extends Part {
  static properties = { good: { state: true }, poured: { state: true }, specked: { state: true }, asks: { state: true }, source: { state: true }, done: { state: true }, error: { state: true } };

  constructor() {
    super();
    Object.assign(this, { good: null, poured: "", specked: "", asks: "poured", source: undefined, done: null, error: null });
  }

  render() {
    const { view, status } = house;
    if (!status.started) return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    const goods = [...view.goods.values()].filter((good) => good.sold && !good.hidden && good.unit !== "g").sort((a, b) => a.rank - b.rank);
    if (!goods.length) return html`<div class="room" data-lone><div class="board">${stateSaid({ what: "No goods yet.", todo: html`Put what you make into <a href=${placeOf("keys", "house")}>Keys</a>.` })}</div></div>`;
    const good = view.goods.get(this.good) ?? goods[0];
    const wax = good.kind === "wax";
    return html`<section class="room" aria-label="Melt">
      <div class="board"><div class="column">
        <h1>${wax ? "A pour" : "A filling"}</h1>
        ${this.done ? this.#done() : nothing}
        ${this.error ? notWritten(this.error) : nothing}
        ${wax ? html`<p class="faint">Melt over water, never on a flame; keep it under 185 °F (85 °C); stay with it. Never put water on burning wax: lid on, heat off.</p>` : nothing}
        <div class="keyrow goods" role="group" aria-label="What was made">${goods.map((one) => html`
          <button type="button" class="key tight" aria-pressed=${one.id === good.id} @click=${() => { this.good = one.id; this.source = undefined; }}>${nameSaid(one)}</button>`)}</div>
        ${this.#sources(good)}
        <h2 class="where">Lots made</h2>
        ${this.#lots()}
      </div></div>
      <div class="deck">
        <div class="keyrow two">
          <button type="button" class="key tight" aria-pressed=${this.asks === "poured"} @click=${() => { this.asks = "poured"; }}>made<small>${this.poured || "0"}</small></button>
          <button type="button" class="key tight" aria-pressed=${this.asks === "specked"} @click=${() => { this.asks = "specked"; }}>specked<small>${this.specked || "0"}</small></button>
        </div>
        <h2 class="where">${this.asks === "poured" ? `How many ${good.plural || good.name} came out, all counted?` : "How many of them are specked, to be melted again?"}</h2>
        <number-pad .value=${this[this.asks]} .unit=${good.short || good.plural || good.name} .label=${this.asks} @change=${({ detail }) => { this[this.asks] = detail; }}></number-pad>
        <button type="button" class="key say" ?disabled=${this.#goodOnes() <= 0} @click=${() => this.#make(good)}>
          ${this.#goodOnes() > 0 ? `${this.#goodOnes()} good ones to the shelf` : "to the shelf"}<small>lot ${lotCode(good.id, house.today())}</small></button>
      </div>
    </section>`;
  }

  #goodOnes = () => Number(this.poured || 0) - Number(this.specked || 0);

  #done() {
    const { words, op, lot } = this.done;
    return html`<div class="state" role="status"><p><strong>${words}</strong></p><p>Write <strong class="figures">${lot}</strong> on them.</p><undo-key .op=${op} @undone=${() => { this.done = null; }}></undo-key></div>`;
  }

  /** What it was made from: cappings for wax, a bucket for honey. */
  #sources(good) {
    const { view } = house;
    const wanted = good.kind === "wax" ? /cappings|wax/i : /honey|bucket/i;
    const lots = [...view.lots.values()].filter((lot) => {
      const from = view.goods.get(lot.good);
      return from?.kind === "bulk" && wanted.test(from.name);
    }).sort((a, b) => b.made_on.localeCompare(a.made_on)).slice(0, 6);
    if (!lots.length) return nothing;
    return html`<h2 class="where">Made from</h2><div class="keyrow goods" role="group" aria-label="Made from">
      ${lots.map((lot) => html`<button type="button" class="key tight" aria-pressed=${this.source === lot.id} @click=${() => { this.source = this.source === lot.id ? undefined : lot.id; }}>${lot.id}<small>${view.goods.get(lot.good).name}</small></button>`)}</div>`;
  }

  #lots() {
    const { view } = house;
    const lots = [...view.lots.values()].sort((a, b) => b.made_on.localeCompare(a.made_on) || b.id.localeCompare(a.id)).slice(0, LOTS_SHOWN);
    if (!lots.length) return html`<p class="faint">None yet. The first pour makes the first.</p>`;
    return html`<dl class="under lots">${lots.map((lot) => {
      const good = view.goods.get(lot.good);
      const left = view.lotBalance(lot.good).find((found) => found.lot === lot.id)?.units ?? 0;
      return html`<div><dt><a class="figures" href=${placeOf("book", "lot", lot.id)}>${lot.id}</a></dt>
        <dd>${!good ? lot.good : good.unit === "g" ? `${weightSaid(left)} of ${good.name} left` : `${unitsSaid(good, left)} left`}<small class="faint"> · ${dayShort(lot.made_on)}</small></dd></div>`;
    })}</dl>`;
  }

  /** Only the good ones come to the shelf; the specked go back into the pot and are kept as a measure of the lot. */
  async #make(good) {
    const specked = Number(this.specked || 0);
    try {
      const made = await make({ lots: [{ good: good.id, units: this.#goodOnes(), sources: this.source ? [this.source] : [], measures: { poured: Number(this.poured), specked } }] });
      const words = `${unitsSaid(good, this.#goodOnes())} on the shelf${specked ? `, ${specked} to melt again` : ""}.`;
      Object.assign(this, { done: { words, op: made.op, lot: made.lots[0] }, error: null, poured: "", specked: "", asks: "poured" });
      sayAloud(words);
    } catch (error) {
      this.error = error;
    }
  }
}
customElements.define("melt-room", MeltRoom);
