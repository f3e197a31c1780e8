import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { addressFields, addressTrouble, addressWritten, troubleSaid } from "../../parts/address-form.js";
import { addressSaid } from "../../parts/words.js";
import { destinationOf, hasAddress, sentTo } from "../../store/destination.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Caller, Composed } from "../../store/shapes.d.ts" */

/** @param {boolean} first */
const alone = (first) =>
  html`<button class=${first ? "key on" : "key"} name="whose" value="other">for this order only<small>their own stays</small></button>`;
/** @param {string} words @param {boolean} first */
const own = (words, first) =>
  html`<button class=${first ? "key on" : "key"} name="whose" value="own">${words}<small>as their own</small></button>`;

/**
 * Where the parcel goes: to their own address, or to another for this order alone, which their own never hears of.
 * Properties `person` and `draft`; sends `take` with a change of the draft.
 */
class DeckWhere extends Part {
  static properties = { person: {}, draft: {}, trouble: { state: true } };

  constructor() {
    super();
    /** @type {Caller | null} */
    this.person = null;
    /** @type {Pick<Composed, "goes" | "gift_note">} */
    this.draft = { goes: null, gift_note: "" };
    this.trouble = "";
  }

  firstUpdated() {
    this.querySelector("input")?.focus();
  }

  /** @param {Partial<Composed>} change */
  #take(change) {
    this.dispatchEvent(new CustomEvent("take", { detail: { change, next: null } }));
  }

  /** @param {Submitted} event */
  #write(event) {
    event.preventDefault();
    const address = addressWritten(event.target);
    this.trouble = addressTrouble(address);
    if (this.trouble) return;
    const written = new FormData(event.target);
    const [to_name, gift_note] = ["to_name", "gift_note"].map((name) => String(written.get(name) ?? "").trim());
    const onlyThis = /** @type {HTMLButtonElement | null} */ (event.submitter)?.value === "other";
    if (onlyThis) this.#take({ goes: sentTo("other", to_name, address), gift_note });
    else this.#take({ address, goes: to_name ? sentTo("own", to_name, address) : null, gift_note });
  }

  render() {
    const { person, draft } = this;
    const lives = hasAddress(person);
    const other = draft.goes?.goes_to === "other";
    return html`
      <form class="fields split" @submit=${this.#write} novalidate>
        <h2 class="where whole">Where does it go${person?.name ? `, for ${person.name}` : ""}?</h2>
        ${other && lives ? html`<button type="button" class="key tight whole" @click=${() => this.#take({ goes: null, gift_note: "" })}>to their own address<small>${addressSaid(person ?? {})}</small></button>` : nothing}
        ${addressFields(destinationOf(draft.goes ?? {}, person))}
        <details class="otherwise whole" ?open=${Boolean(draft.goes?.to_name || draft.gift_note)}><summary>somebody else receives it</summary>
          <label class="write"><span>who receives it</span><input name="to_name" autocomplete="off" autocapitalize="words" maxlength="200" .value=${draft.goes?.to_name ?? ""} /></label>
          <label class="write"><span>words for them, printed on the slip</span><textarea name="gift_note" rows="2" maxlength="500" .value=${draft.gift_note}></textarea></label>
        </details>
        <div class="whole">${troubleSaid(this.trouble)}</div>
        <div class="keyrow two whole">${lives ? [alone(true), own("they live here now", false)] : [own("write it down", true), alone(false)]}</div>
      </form>`;
  }
}
customElements.define("deck-where", DeckWhere);
