import { html } from "lit";
import { AskNumber } from "./ask-number.js";
import { stocked } from "./stocked.js";
import { house } from "../../../store/house.js";

/** How many of one carton lie here. */
class AskCartonCount extends AskNumber {
  get #name() {
    return house.view.cartons.get(this.subject)?.name ?? "";
  }
  get label() {
    return `How many cartons ${this.#name}`;
  }

  /** @returns {[number, string | number][]} */
  ready() {
    return [5, 10, 25, 50].map((units) => [units, units]);
  }
  now() {
    return house.view.onHand(this.subject) || null;
  }
  /** @param {number} units */
  words(units) {
    return `${units.toLocaleString("en-US")} of them`;
  }
  /** @param {number} units */
  done(units) {
    return stocked(this.subject, Math.round(units));
  }

  question() {
    return html`<h1>How many cartons <span class="held">${this.#name}</span> are here?</h1>
      <p class="faint">Each parcel packed takes one away. The Bench says when they run low.</p>`;
  }
}
customElements.define("ask-carton-count", AskCartonCount);
