import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { phoneSaid } from "../../parts/words.js";
import { readPhone } from "../../store/acts.js";
import "../../parts/person-finder.js";

/** @import { Submitted, Told } from "../../parts/events.d.ts" */
/** @import { Caller, Composed, Person } from "../../store/shapes.d.ts" */

/**
 * The keys under "Who?": find someone, or write down someone new, name and number first, for the line may drop.
 * Properties: `person` as the sentence has them, `walkIn`. Sends `take` with a change of the draft and what to open next.
 */
class DeckWho extends Part {
  static properties = { person: {}, walkIn: { attribute: false }, fresh: { state: true }, trouble: { state: true } };

  constructor() {
    super();
    /** @type {Caller | null} */
    this.person = null;
    this.walkIn = false;
    /** @type {{name: string, phone: string} | null} */
    this.fresh = null;
    this.trouble = "";
  }

  /** @param {Partial<Composed>} change */
  #take(change) {
    this.dispatchEvent(new CustomEvent("take", { detail: { change, next: "what" } }));
  }

  /** @param {string} text */
  #begin(text) {
    const number = /\d/.test(text) && !/[a-z]/i.test(text);
    this.fresh = { name: number ? "" : text, phone: number ? text : "" };
    this.focusOn(number ? "input[name=name]" : "input[name=phone]");
  }

  /** @param {Submitted} event */
  async #write(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    const name = String(form.get("name")).trim();
    const typed = String(form.get("phone")).trim();
    const { phone, trouble } = await readPhone(typed);
    if (!name) this.trouble = "Write a name first, even a short one.";
    else if (trouble) this.trouble = trouble;
    else
      this.#take({
        fresh: { name, phone, street: "", unit: "", city: "", state: "", zip: "" },
        person: null,
        address: null,
        goes: null,
        gift_note: "",
      });
  }

  render() {
    if (this.fresh) return this.#newPerson(this.fresh);
    return html`
      <h2 class=${this.person ? "where" : "spoken"}>${this.person ? html`now ${this.person.name}, ${phoneSaid(this.person.phone)}` : "Who is it?"}</h2>
      ${this.walkIn ? html`<button type="button" class="key" @click=${() => this.#take({ person: null, fresh: null, address: null, goes: null, gift_note: "" })}>no name needed</button>` : nothing}
      <person-finder @pick=${(/** @type {Told<Person>} */ { detail }) => this.#take({ person: detail.id, fresh: null, address: null, goes: null, gift_note: "" })} @fresh=${(/** @type {Told<string>} */ { detail }) => this.#begin(detail)}></person-finder>`;
  }

  /** @param {{name: string, phone: string}} fresh */
  #newPerson({ name, phone }) {
    return html`
      <form class="fields" @submit=${this.#write} novalidate>
        <h2 class="where">Someone new: name and number first, the line may drop</h2>
        <label class="write"><span>name</span><input name="name" autocomplete="off" autocapitalize="words" .value=${name} /></label>
        <label class="write"><span>number to call</span><input name="phone" inputmode="tel" autocomplete="off" .value=${phone} /></label>
        ${this.trouble ? html`<p class="heed" role="alert">${this.trouble}</p>` : nothing}
        <div class="keyrow two">
          <button type="button" class="key" @click=${() => {
            this.fresh = null;
            this.trouble = "";
          }}>back</button>
          <button class="key on">write it down</button>
        </div>
      </form>`;
  }
}
customElements.define("deck-who", DeckWho);
