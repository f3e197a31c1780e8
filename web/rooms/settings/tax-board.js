import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { nameSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { goodsKept, setGood, setHouse } from "../../store/acts.js";
import { RATE_PER_WHOLE } from "../../store/pricing.js";
import "../../parts/number-pad.js";

/** @import { Told, Typed } from "../../parts/events.d.ts" */

const KEY = "sales_tax";
const PER_PERCENT = 1000; // rates are kept in thousandths of a percent
const OFF = { on: false, rate: 0, mailing: false, elsewhere: false };

/** Sales tax: off until the owner has asked the state; then a rate, and the goods it is due on. */
class TaxBoard extends Part {
  static properties = { typed: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    /** @type {string | null} */
    this.typed = null;
  }

  /** @param {() => Promise<{op: string | null}>} act */
  async #write(act) {
    const done = await this.#act.run(act, "Written down.", { focus: false });
    this.requestUpdate(); // a tick that was not written down goes back
    return done;
  }

  /** @param {Partial<typeof OFF>} change */
  #set(change) {
    return this.#write(() => setHouse(KEY, { ...OFF, ...house.view.setting(KEY), ...change }));
  }

  async #rate() {
    const { typed } = this;
    const rate = Math.round(Number(typed) * PER_PERCENT);
    if (!(rate >= 0 && rate <= RATE_PER_WHOLE)) {
      this.#act.failed({ kind: "draft", message: `${typed} % is no rate of tax.`, remedy: "Write it like 5.5 or 8.875." });
      return;
    }
    if ((await this.#set({ rate })) && this.typed === typed) this.typed = null; // a good that is ticked takes no figure away
  }

  render() {
    const tax = { ...OFF, ...house.view.setting(KEY) };
    const mayNot = house.status.device?.role !== "keeper";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Sales tax</h1>
      <p>Whether you must collect it, on what, and how much, your state says: <strong>ask your state</strong>. Many do not tax food such as honey; wax and candles are usually no food. This is off until you switch it on.</p>
      <fieldset class="plain" ?disabled=${mayNot}>
        <div class="keyrow two" role="group" aria-label="Sales tax">${
          /** @type {[boolean, string][]} */ ([
            [false, "off"],
            [true, "on"],
          ]).map(
            ([on, words]) => html`
          <button type="button" class="key" aria-pressed=${tax.on === on} @click=${() => this.#set({ on })}>${words}</button>`,
          )
        }</div>
        ${tax.on ? this.#on(tax) : nothing}
      </fieldset>
    </div></div>
    <div class="deck">
      ${this.#act.outcome()}
      ${
        mayNot
          ? html`<p class="faint">Only an owner's device may change these.</p>`
          : tax.on
            ? html`
        <h2 class="where">The rate, in percent</h2>
        <number-pad point .value=${this.typed ?? String(tax.rate / PER_PERCENT)} .unit=${"%"} .label=${"The rate, in percent"} @change=${(
          /** @type {Told<string>} */ { detail },
        ) => {
          this.typed = detail;
        }}></number-pad>
        <button type="button" class="key say" ?disabled=${this.typed === null || this.typed === ""} @click=${() => this.#rate()}>use this rate</button>`
            : nothing
      }
    </div>`;
  }

  /** @param {typeof OFF} tax */
  #on(tax) {
    /** @param {string} words @param {boolean} on @param {(on: boolean) => void} act */
    const tick = (words, on, act) =>
      html`<label class="tickline"><input type="checkbox" .checked=${on} @change=${(/** @type {Typed} */ { target }) => act(target.checked)} />${words}</label>`;
    return html`<h2 class="where">${tax.rate / PER_PERCENT} % is due on</h2>
      ${goodsKept()
        .filter(({ sold }) => sold)
        .map((good) => tick(nameSaid(good), Boolean(good.taxed), (taxed) => this.#write(() => setGood({ id: good.id, taxed }))))}
      ${tick("the mailing too", tax.mailing, (mailing) => this.#set({ mailing }))}
      ${tick("what is mailed to other states too", tax.elsewhere, (elsewhere) => this.#set({ elsewhere }))}
      <p class="faint">The tax is worked out on the whole order and rounded to the cent, half a cent up. It is said apart in the sentence and on the receipt. Orders already promised keep the rate they were told.</p>`;
  }
}
customElements.define("tax-board", TaxBoard);
