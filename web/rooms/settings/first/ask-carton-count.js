import { html } from "lit";
import { AskNumber } from "./ask-number.js";
import { stocked } from "./stocked.js";
import { house } from "../../../store/house.js";

/** How many of one carton lie here. */
class AskCartonCount extends AskNumber {
  get #name() {
    return house.view.cartons.get(this.part)?.name ?? "";
  }
  get label() {
    return `How many cartons ${this.#name}`;
  }

  ready = () => [5, 10, 25, 50].map((units) => [units, units]);
  now = () => house.view.onHand(this.part) || null;
  words = (units) => `${units.toLocaleString("en-US")} of them`;
  done = (units) => stocked(this.part, Math.round(units));

  question() {
    return html`<h1>How many cartons <span class="held">${this.#name}</span> are here?</h1>
      <p class="faint">Each parcel packed takes one away. The Bench says when they run low.</p>`;
  }
}
customElements.define("ask-carton-count", AskCartonCount);
