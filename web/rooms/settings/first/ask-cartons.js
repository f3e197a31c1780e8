import { html, nothing } from "lit";
import { Ask } from "./ask.js";
import { keepAnswer, keptAnswer } from "./kept-answers.js";
import { addCarton, checkedSides, sizeName } from "../../../parts/cartons.js";
import { cartonsAsked } from "../../../parts/first-questions.js";
import { USUAL_CARTONS } from "../../../parts/usual-cartons.js";
import { house } from "../../../store/house.js";
import { setGood } from "../../../store/acts.js";

/** @import { Submitted } from "../../../parts/events.d.ts" */
/** @import { Trouble } from "../../../store/shapes.d.ts" */

const SIDES = ["length", "width", "height"];

/** @typedef {{name: string, sides: string[]}} Size */

/** The cartons of the book. */
const cartonsHere = () => cartonsAsked(house.view).flatMap(({ id }) => house.view.cartons.get(id) ?? []);

/** Which cartons lie here: touched from the usual sizes, any other typed. How many of each is asked next. */
class AskCartons extends Ask {
  static properties = { chosen: { state: true }, own: { state: true }, trouble: { state: true } };

  constructor() {
    super();
    const { chosen = cartonsHere().map(({ name }) => name), own = [] } = keptAnswer("cartons") ?? {};
    /** @type {Set<string>} */
    this.chosen = new Set(chosen);
    /** @type {Size[]} */
    this.own = own;
    /** @type {Trouble | null} */
    this.trouble = null;
  }

  /** @param {Set<string>} chosen */
  #keep(chosen, own = this.own) {
    Object.assign(this, { chosen, own });
    keepAnswer("cartons", { chosen: [...chosen], own });
  }

  /** @param {string} name */
  #touch(name) {
    const chosen = new Set(this.chosen);
    if (!chosen.delete(name)) chosen.add(name);
    this.#keep(chosen);
  }

  /** @param {Submitted} event */
  #add(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    try {
      const sides = checkedSides(SIDES.map((side) => String(form.get(side)).trim()));
      const name = sizeName(sides);
      this.#keep(new Set([...this.chosen, name]), [...this.own.filter((one) => one.name !== name), { name, sides }]);
      this.trouble = null;
      event.target.reset();
    } catch (error) {
      this.trouble = /** @type {Trouble} */ (error);
    }
  }

  #write() {
    return this.answer(
      async () => {
        const rows = [...house.view.cartons.values()];
        for (const { name, sides } of this.#sizes()) {
          const row = rows.find((carton) => carton.name === name);
          const wanted = this.chosen.has(name);
          if (!row && wanted) await addCarton({ sides });
          else if (row && Boolean(row.hidden) === wanted) await setGood({ id: row.id, hidden: !wanted }, { hidden: !wanted });
        }
        keepAnswer("cartons", null);
      },
      this.chosen.size ? "answered" : "skipped",
    );
  }

  /** The usual sizes, those typed here, and those that are in the book already. */
  #sizes() {
    const sizes = [...USUAL_CARTONS, ...this.own.filter(({ name }) => !USUAL_CARTONS.some((usual) => usual.name === name))];
    const others = cartonsHere().filter(({ name }) => !sizes.some((size) => size.name === name));
    return [...sizes, ...others.map(({ name, inner }) => ({ name, sides: inner }))];
  }

  question() {
    return html`<h1>Which cartons do you have?</h1>
      <p class="faint">Inside, in inches: length × width × height. Their empty weight is <em>typical, weigh yours</em> later.</p>`;
  }

  below() {
    return html`<div class="keyrow three sizes">${this.#sizes().map(
      ({ name }) => html`
        <button type="button" class="key tight" aria-pressed=${this.chosen.has(name)} @click=${() => this.#touch(name)}>${name}</button>`,
    )}</div>
      <details class="otherwise"><summary>another size</summary>
        <form class="fields three-of" @submit=${(/** @type {Submitted} */ event) => this.#add(event)} novalidate>
          ${SIDES.map((side) => html`<label class="write"><span>${side}, inside</span><input class="figures" name=${side} autocomplete="off" placeholder="8 5/8" /></label>`)}
          <button class="key tight">add this size</button></form>
        ${this.trouble ? html`<p class="heed" role="alert">${this.trouble.message} ${this.trouble.remedy ?? ""}</p>` : nothing}</details>`;
  }

  answers() {
    const count = this.chosen.size;
    return html`<button type="button" class="key say" ?disabled=${this.working} @click=${() => this.#write()}>${!count ? "none yet" : count === 1 ? "this one" : `these ${count}`}</button>`;
  }
}
customElements.define("ask-cartons", AskCartons);
