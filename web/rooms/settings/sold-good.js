import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { goodPicture } from "../../parts/good-picture.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { sidesSaid } from "../../parts/lengths.js";
import { nameSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { pricesOf, setGood, setSold } from "../../store/acts.js";
import { USUAL_GOODS } from "../../store/usual-goods.js";
import { ruleSaid } from "./good-prices.js";
import { standsSaid } from "./stands-said.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Good } from "../../store/shapes.d.ts" */

/** One good: its picture, name, price and measures, and whether it is sold. Property `good`: its id. */
class SoldGood extends Part {
  static properties = { good: {}, naming: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.good = "";
    this.naming = false;
  }

  willUpdate() {
    this.#act.about(this.good);
  }

  /** @param {Submitted} event */
  async #name(event) {
    event.preventDefault();
    const [name, plural, short] = ["name", "plural", "short"].map((field) => String(new FormData(event.target).get(field)).trim());
    if (!name) {
      this.#act.failed({ kind: "draft", message: "The good has no name.", remedy: "Write what you call it." });
      return;
    }
    const write = () => setGood({ id: this.good, name, plural: plural || name, short: (short || name).slice(0, 30).trim() });
    if (await this.#act.run(write, `It is called ${name} now.`)) this.naming = false;
  }

  /** @param {Good} good */
  #stop(good) {
    const here = house.view.onHand(good.id);
    const left = here > 0 ? ` ${here} on the shelf stay there.` : "";
    const words = good.sold ? `No longer offered at the Counter.${left}` : "Offered at the Counter again.";
    this.#act.run(() => setSold(good.id, !good.sold), words);
  }

  render() {
    const good = house.view.goods.get(this.good);
    if (!good) return nothing;
    const mayNot = house.status.device?.role !== "keeper";
    const careful = USUAL_GOODS.find(({ id }) => id === good.id)?.careful;
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings", "goods")}>what you sell</a>
      <div class="good-head">${goodPicture(good)}<div><h1>${nameSaid(good, 1)}</h1><p class="faint">${standsSaid(good)}</p></div></div>
      ${
        this.naming
          ? this.#names(good)
          : html`<dl class="under">
        ${pricesOf(good).map((rule, at) => html`<div><dt>${at ? "and" : "price"}</dt><dd>${ruleSaid(rule, house.today())}</dd></div>`)}
        ${house.view.setting("sales_tax")?.on ? html`<div><dt>sales tax</dt><dd>${good.taxed ? "is due on it" : "none"}</dd></div>` : nothing}
        <div><dt>weighs</dt><dd>${good.gross_g ? `${weightSaid(good.gross_g)} with lid and wrap` : "not weighed yet"}</dd></div>
        <div><dt>measures</dt><dd>${good.length_mm ? sidesSaid(good) : "not measured yet"}${good.typical && good.length_mm ? html` <span class="heed">typical: measure yours</span>` : nothing}</dd></div>
        ${careful ? html`<div><dt>careful</dt><dd>${careful}</dd></div>` : nothing}</dl>`
      }
    </div></div>
    <div class="deck">
      ${this.#act.outcome()}
      ${
        mayNot
          ? html`<p class="faint">Only an owner's device may change these.</p>`
          : html`
        <div class="keyrow two"><a class="key say" href=${placeOf("settings", "goods", good.id, "price")}>change the price</a>
          <a class="key" href=${placeOf("settings", "measures", good.id)}>measure it</a>
          <button type="button" class="key" @click=${() => {
            this.naming = !this.naming;
          }}>${this.naming ? "leave the name" : "rename it"}</button>
          <button type="button" class="key undo" @click=${() => this.#stop(good)}>${good.sold ? "stop selling it" : "sell it again"}</button></div>`
      }
    </div>`;
  }

  /** @param {Good} good */
  #names(good) {
    return html`<form class="fields" @submit=${this.#name} novalidate>
      <label class="write"><span>one of it</span><input name="name" maxlength="100" autocomplete="off" .value=${good.name} /></label>
      <label class="write"><span>several of them</span><input name="plural" maxlength="100" autocomplete="off" .value=${good.plural ?? ""} /></label>
      <label class="write"><span>in short</span><input name="short" maxlength="30" autocomplete="off" .value=${good.short ?? ""} /></label>
      <button class="key say">write it down</button></form>`;
  }
}
customElements.define("sold-good", SoldGood);
