import { html } from "lit";
import { Part } from "../../parts/part.js";
import { addressFields, addressTrouble, addressWritten, troubleSaid } from "../../parts/address-form.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Caller } from "../../store/shapes.d.ts" */

/** Where the parcel goes. Property `person`; sends `take` with a change of the draft. */
class DeckWhere extends Part {
  static properties = { person: {}, trouble: { state: true } };

  constructor() {
    super();
    /** @type {Caller | null} */
    this.person = null;
    this.trouble = "";
  }

  firstUpdated() {
    this.querySelector("input")?.focus();
  }

  /** @param {Submitted} event */
  #write(event) {
    event.preventDefault();
    const address = addressWritten(event.target);
    this.trouble = addressTrouble(address);
    if (!this.trouble) this.dispatchEvent(new CustomEvent("take", { detail: { change: { address }, next: null } }));
  }

  render() {
    return html`
      <form class="fields split" @submit=${this.#write} novalidate>
        <h2 class="where whole">Where does it go${this.person?.name ? `, for ${this.person.name}` : ""}?</h2>
        ${addressFields(this.person)}
        <div class="whole">${troubleSaid(this.trouble)}</div>
        <button class="key on whole">write it down</button>
      </form>`;
  }
}
customElements.define("deck-where", DeckWhere);
