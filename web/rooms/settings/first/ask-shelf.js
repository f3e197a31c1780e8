import { html } from "lit";
import { AskNumber } from "./ask-number.js";
import { stocked } from "./stocked.js";
import { nameSaid } from "../../../parts/words.js";
import { house } from "../../../store/house.js";

const ROW_FOR_TENS = 10;

/** How many of a good lie on the shelf now: the opening stock. Told once more, it is a count. */
class AskShelf extends AskNumber {
  get #good() {
    return house.view.goods.get(this.subject) ?? null;
  }
  get #named() {
    return this.#good ?? { name: this.subject };
  }
  get label() {
    return `How many ${nameSaid(this.#named)}`;
  }

  /** @returns {[number, string | number][]} */
  ready() {
    return ((this.#good?.row ?? 0) >= ROW_FOR_TENS ? [0, 10, 20, 40] : [0, 6, 12, 24]).map((units) => [units, units || "none"]);
  }
  now() {
    return house.view.onHand(this.subject) || null;
  }
  /** @param {number} units */
  words(units) {
    return `${units.toLocaleString("en-US")} ${nameSaid(this.#named, units)}`;
  }
  /** @param {number} units */
  done(units) {
    return stocked(this.subject, Math.round(units));
  }

  question() {
    const here = house.view.onHand(this.subject);
    const promised = house.view.promised(this.subject);
    return html`<h1>How many ${nameSaid(this.#named)} are on the shelf now?</h1>
      ${here ? html`<p class="faint">The book says ${here.toLocaleString("en-US")}${promised ? `, ${promised.toLocaleString("en-US")} of them promised` : ""}.</p>` : html`<p class="faint">Whole ones that may be sold. What is in the molds or still in buckets comes later.</p>`}`;
  }
}
customElements.define("ask-shelf", AskShelf);
