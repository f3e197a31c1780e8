import { html, nothing } from "lit";
import { given, Part } from "../../parts/part.js";
import { dayShort, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** @import { Submitted } from "../../parts/events.d.ts" */

/** @param {string} code */
const plain = (code) => code.toUpperCase().replace(/\s+/g, "");

/**
 * What is really in the hand: the lot typed, read by a scanner that types, or chosen. Property `pick` ({good, lot, units}: what it was to be).
 * Sends `taken` with the lot's code (null: none is written on it), `close`.
 */
class LotDeck extends Part {
  static properties = { pick: {}, trouble: { state: true } };

  constructor() {
    super();
    /** @type {{good: string, lot: string | null, units: number}} */
    this.pick = given;
    this.trouble = "";
  }

  connectedCallback() {
    super.connectedCallback();
    addEventListener("keydown", this.#keyed);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    removeEventListener("keydown", this.#keyed);
  }

  /** A scanner types wherever the keyboard stands: what it types goes into the field. @param {KeyboardEvent} event */
  #keyed = (event) => {
    if (
      event.key.length === 1 &&
      !event.ctrlKey &&
      !event.metaKey &&
      !event.altKey &&
      !(event.target instanceof HTMLInputElement) &&
      /\w/.test(event.key)
    )
      this.querySelector("input")?.focus();
  };

  /** @param {string | null} lot */
  #take = (lot) => this.dispatchEvent(new CustomEvent("taken", { detail: lot }));

  /** @param {Submitted<"lot">} event */
  #typed(event) {
    event.preventDefault();
    const typed = plain(event.target.elements.lot.value);
    if (!typed) return;
    const found = [...house.view.lots.values()].find((lot) => plain(lot.id) === typed);
    if (found?.good === this.pick.good) return void this.#take(found.id);
    const good = found && house.view.goods.get(found.good);
    this.trouble = found
      ? `${found.id} is ${good?.plural || good?.name || found.good}: put it back and take what this step says.`
      : `No lot ${typed} is in the book. Read it again, or choose it below.`;
    event.target.elements.lot.select();
  }

  render() {
    const { good, lot, units } = this.pick;
    const row = house.view.goods.get(good) ?? { name: good };
    const lots = house.view.lotBalance(good).filter((one) => one.lot && one.units > 0);
    return html`
      <h2 class="where">This order was to take ${unitsSaid(row, units)} of ${lot ?? "no written lot"}. Which did you take?</h2>
      <form class="lot-typed" @submit=${this.#typed}><label class="write"><span>lot, typed or scanned</span><input name="lot" class="figures" autocomplete="off" autocapitalize="characters" enterkeyhint="done" placeholder=${lot ?? ""} /></label>
        <button class="key tight">this one</button></form>
      ${this.trouble ? html`<p class="heed" role="alert">${this.trouble}</p>` : nothing}
      <div class="keyrow two">${lots.map(
        (one) => html`
        <button type="button" class="key tight" aria-pressed=${one.lot === lot} @click=${() => this.#take(one.lot)}>
          ${one.lot}<small>${one.units} here${one.made_on ? `, ${dayShort(one.made_on)}` : ""}</small></button>`,
      )}
        <button type="button" class="key tight quiet" @click=${() => this.#take(null)}>no lot is written on it</button></div>
      <button type="button" class="key quiet lot-as-planned" @click=${() => this.dispatchEvent(new CustomEvent("close"))}>as planned</button>`;
  }
}
customElements.define("lot-deck", LotDeck);
