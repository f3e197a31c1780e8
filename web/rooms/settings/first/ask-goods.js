import { html, nothing } from "lit";
import { Ask } from "./ask.js";
import { keepAnswer, keptAnswer } from "./kept-answers.js";
import { goodsAsked } from "../../../parts/first-questions.js";
import { house } from "../../../store/house.js";
import { addGoods, setSold } from "../../../store/acts.js";
import { USUAL_GOODS } from "../../../store/usual-goods.js";

const KINDS = [
  ["wax", "wax and candles"],
  ["honey", "honey"],
];

/** What is sold: touched from the usual goods; their measures and weights are typical ones until somebody measures. */
class AskGoods extends Ask {
  static properties = { chosen: { state: true } };

  constructor() {
    super();
    /** @type {Set<string>} */
    this.chosen = new Set(keptAnswer("goods") ?? goodsAsked(house.view).map(({ id }) => id));
  }

  /** @param {string} id */
  #touch(id) {
    const chosen = new Set(this.chosen);
    if (!chosen.delete(id)) chosen.add(id);
    this.chosen = chosen;
    keepAnswer("goods", [...chosen]);
  }

  #write() {
    return this.answer(
      async () => {
        const sold = new Set(goodsAsked(house.view).map(({ id }) => id));
        const fresh = USUAL_GOODS.filter(({ id }) => this.chosen.has(id) && !sold.has(id));
        if (fresh.length) await addGoods(fresh.map(({ id }) => ({ usual: id })));
        for (const id of sold) if (!this.chosen.has(id)) await setSold(id, false);
        keepAnswer("goods", null);
      },
      this.chosen.size ? "answered" : "skipped",
    );
  }

  question() {
    return html`<h1>What do you sell?</h1>
      <p class="faint">Touch all that you have. Sizes and weights are <em>typical, measure yours</em> later. Anything else is added under Settings.</p>`;
  }

  below() {
    const own = goodsAsked(house.view).filter((good) => !USUAL_GOODS.some(({ id }) => id === good.id));
    return html`${own.length ? html`<h2 class="where">your own</h2>${this.#keys(own)}` : nothing}
      ${KINDS.map(([kind, words]) => html`<h2 class="where">${words}</h2>${this.#keys(USUAL_GOODS.filter((good) => good.kind === kind))}`)}`;
  }

  /** @param {readonly {id: string, name: string}[]} goods */
  #keys = (goods) =>
    html`<div class="keyrow two">${goods.map(
      ({ id, name }) => html`
    <button type="button" class="key tight" aria-pressed=${this.chosen.has(id)} @click=${() => this.#touch(id)}>${name}</button>`,
    )}</div>`;

  answers() {
    const count = this.chosen.size;
    return html`<button type="button" class="key say" ?disabled=${this.working} @click=${() => this.#write()}>
      ${!count ? "nothing yet" : count === 1 ? "this one" : `these ${count}`}</button>`;
  }
}
customElements.define("ask-goods", AskGoods);
