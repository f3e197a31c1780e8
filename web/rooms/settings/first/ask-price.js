import { html } from "lit";
import { AskNumber } from "./ask-number.js";
import { pricesAround } from "./price-examples.js";
import { money, nameSaid } from "../../../parts/words.js";
import { house } from "../../../store/house.js";
import { setPrice } from "../../../store/acts.js";

const CENTS = 100;

/** What one of a good costs. */
class AskPrice extends AskNumber {
  constructor() {
    super();
    this.point = true;
    this.unit = "dollars";
  }

  get label() {
    return "Price in dollars";
  }
  get #good() {
    return house.view.goods.get(this.subject) ?? null;
  }

  /** @returns {[number, string | number][]} */
  ready() {
    return pricesAround(this.subject, this.#good?.price_cents).map((cents) => [cents / CENTS, money(cents).replace(".00", "")]);
  }
  now() {
    return this.#good?.price_cents ? this.#good.price_cents / CENTS : null;
  }
  /** @param {number} dollars */
  words(dollars) {
    return `${money(dollars * CENTS)} each`;
  }
  /** @param {number} dollars */
  done(dollars) {
    return setPrice(this.subject, Math.round(dollars * CENTS));
  }

  question() {
    return html`<h1>What does one ${nameSaid(this.#good ?? { name: this.subject }, 1)} cost?</h1>
      <p class="faint">The prices to touch are examples. Change it any day; orders already promised keep the price they were told.</p>`;
  }
}
customElements.define("ask-price", AskPrice);
