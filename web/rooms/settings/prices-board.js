import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { sayAloud } from "../../parts/aloud.js";
import { notWritten } from "../../parts/not-written.js";
import { placeOf } from "../../parts/route.js";
import { money } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { Question } from "../../kernel/question.js";

/** @import { PriceTable } from "../../kernel/answers.d.ts" */
/** @import { Submitted, Typed } from "../../parts/events.d.ts" */

const KEY = "posting_prices";
const OUNCES_PER_POUND = 16;
const LINES_SHOWN = 80;

/** What mailing costs: the house's own table, typed, pasted or opened as a file. Each line says what was understood; nothing is written until it is confirmed. */
class PricesBoard extends Part {
  static properties = { typed: { state: true } };

  #act = new Act(this);
  #table = new Question(this, "quoting.price_table");
  #draft = new Question(this, "quoting.price_table", { heard: () => this.#said() });

  constructor() {
    super();
    /** What was opened, pasted or typed, as it is to be read. @type {{csv: string | null, add?: object} | null} */
    this.typed = null;
  }

  willUpdate() {
    const kept = house.view.setting(KEY, "") || "";
    this.#table.about(kept ? { csv: kept } : null);
    this.#draft.about(this.typed);
  }

  /** @param {string | null} text @param {object} [add] */
  #read(text, add) {
    this.#act.clear();
    this.typed = { csv: text, ...(add ? { add } : {}) };
  }

  #said() {
    const draft = this.#draft.answer;
    if (!draft) return;
    sayAloud(`${draft.prices.length} prices read, ${draft.errors.length} lines are wrong. Nothing is written yet.`);
    this.querySelector(".board")?.scrollTo(0, 0);
  }

  /** @param {string} csv */
  async #keep(csv) {
    if (await this.#act.run(() => setHouse(KEY, csv), "Written down.")) this.typed = null;
  }

  /**
   * A spreadsheet saves its text in one of several ways: read as it is, with the old Windows letters where it is not UTF-8.
   * @param {HTMLInputElement} input
   */
  async #file(input) {
    const bytes = await /** @type {FileList} */ (input.files)[0].arrayBuffer();
    input.value = "";
    let text;
    try {
      text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    } catch {
      text = new TextDecoder("windows-1252").decode(bytes);
    }
    this.#read(text);
  }

  /** One price more, by hand. @param {Submitted<"zone" | "weight" | "price">} event */
  #typed(event) {
    event.preventDefault();
    const form = event.target.elements;
    /** @param {"zone" | "weight" | "price"} name */
    const number = (name) => Number(form[name].value.replace(/[$\s]/g, ""));
    const [zone, weight, dollars] = [number("zone"), number("weight"), number("price")];
    if (!(zone >= 1 && zone <= 9 && Number.isInteger(zone))) this.#not(`Zone “${form.zone.value}” is none.`, "Zones go from 1 to 9.");
    else if (!(weight > 0)) this.#not("The weight is missing.", "Say up to how many pounds the price holds; 0.5 is 8 oz.");
    else if (!(dollars >= 0) || !form.price.value.trim()) this.#not("The price is missing.", "Write it like 7.10.");
    else
      this.#read(house.view.setting(KEY, "") || "", {
        zone,
        up_to_oz: Math.round(weight * OUNCES_PER_POUND * 1000) / 1000,
        cents: Math.round(dollars * 100),
      });
  }

  /** @param {string} message @param {string} remedy */
  #not = (message, remedy) => this.#act.failed({ kind: "draft", message, remedy });

  /** @param {string} csv */
  #export(csv) {
    const link = Object.assign(document.createElement("a"), {
      href: URL.createObjectURL(new Blob([csv], { type: "text/csv" })),
      download: "mailing-prices.csv",
    });
    link.click();
    URL.revokeObjectURL(link.href);
  }

  render() {
    const mayNot = house.status.device?.role !== "keeper";
    const [table, draft] = [this.#table.answer, this.#draft.answer];
    const shown = draft ?? table;
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Prices of mailing</h1>
      <p class="faint">Copy your carrier's table as it stands in a spreadsheet: weights down, zones (1 to 9) across. The Counter then says what mailing costs. Zones are reckoned by
        distance and can be one off near a limit; what you type for an order goes before the table.</p>
      ${draft ? this.#looked(draft) : mayNot ? nothing : this.#ways()}
      ${this.#act.outcome()}
      ${this.#unread()}
      ${shown ? this.#prices(shown) : this.#table.asked ? nothing : html`<p>There is no table yet: the price of mailing is typed by hand for each order.</p>`}
    </div></div>
    <div class="deck">${
      mayNot
        ? html`<p class="faint">Only an owner's device may change these.</p>`
        : html`
      ${draft ? nothing : html`<label class="key">open a file<input class="spoken" type="file" accept=".csv,.tsv,.txt,text/csv,text/plain" @change=${(/** @type {Typed} */ { target }) => target.files?.[0] && this.#file(target)} /></label>`}
      ${
        draft
          ? nothing
          : html`<div class="keyrow two">
        ${
          this.#table.asked
            ? html`<button type="button" class="key" @click=${() => this.#export(house.view.setting(KEY, ""))}>save as a file</button>
          <button type="button" class="key quiet" @click=${() => this.#keep("")}>take the table away</button>`
            : html`<button type="button" class="key" @click=${() => this.#read(null)}>begin with the example</button>`
        }</div>`
      }`
    }</div>`;
  }

  #ways() {
    return html`<details class="otherwise"><summary class="faint">or paste from a spreadsheet</summary><label class="write"><span>lines of the table</span><textarea rows="3" spellcheck="false" name="pasted"></textarea></label>
        <button type="button" class="key" @click=${() => {
          const value = this.querySelector("textarea")?.value ?? "";
          if (value.trim()) this.#read(value);
        }}>look at it</button></details>
      <details class="otherwise"><summary class="faint">or type one price</summary><form class="fields split" @submit=${this.#typed} novalidate>
        <label class="write"><span>zone</span><input class="figures" name="zone" inputmode="numeric" autocomplete="off" /></label>
        <label class="write"><span>up to, pounds</span><input class="figures" name="weight" inputmode="decimal" autocomplete="off" /></label>
        <label class="write"><span>price, dollars</span><input class="figures" name="price" inputmode="decimal" autocomplete="off" /></label>
        <button class="key">look at it</button></form></details>`;
  }

  /** What cannot be read, or not now, says so; what is being read does too. */
  #unread() {
    const asked = this.typed ? this.#draft : this.#table;
    if (asked.waits) return html`<p class="faint" role="status">reading it …</p>`;
    return asked.why ? notWritten({ kind: "draft", message: asked.why, remedy: asked.remedy }) : nothing;
  }

  /** What each line became, before anything is written. @param {PriceTable} table */
  #looked({ csv, prices, errors, lines = [] }) {
    const bad = lines.filter(({ why }) => why),
      good = lines.filter(({ why, understood }) => !why && understood);
    const shown = [...bad, ...good].slice(0, LINES_SHOWN);
    return html`<div class="state">
      <p><strong>${prices.length} ${prices.length === 1 ? "price" : "prices"} read.</strong> ${errors.length ? html`<span class="heed">${errors.length} ${errors.length === 1 ? "line is" : "lines are"} not understood.</span>` : "Every line is good."} Nothing is written yet.</p>
      <div class="keyrow two"><button type="button" class="key say" ?disabled=${!prices.length} @click=${() => this.#keep(csv)}>use this table</button>
        <button type="button" class="key quiet" @click=${() => {
          this.typed = null;
        }}>leave it</button></div>
      <ol class="dry-run" aria-label="Line by line">${shown.map(
        ({ line, text, understood, why }) => html`<li><strong>line ${line}</strong> <span class="faint figures">${text}</span>
        ${understood ? html`<br />${understood}` : nothing}${why ? html`<br /><span class="heed">${why}</span>` : nothing}</li>`,
      )}</ol>
      ${lines.length > shown.length ? html`<p class="faint">and ${lines.length - shown.length} more lines like these.</p>` : nothing}</div>`;
  }

  /** @param {PriceTable} table */
  #prices({ prices, fees }) {
    return html`${prices.some(({ example }) => example) ? html`<p class="heed">These are examples, no one's prices: put in your own.</p>` : nothing}
      <div class="sheet-scroll" tabindex="0" role="region" aria-label="The table"><table class="prices">
        <thead><tr><th scope="col">service</th><th scope="col">zone</th><th scope="col">up to</th><th scope="col">price</th></tr></thead>
        <tbody>${prices.map(
          ({ service, zone, up_to_oz, cents }) => html`<tr><td>${service}</td><td>${zone}</td>
          <td>${up_to_oz % OUNCES_PER_POUND ? `${up_to_oz} oz` : `${up_to_oz / OUNCES_PER_POUND} lb`}</td><td>${money(cents)}</td></tr>`,
        )}</tbody></table></div>
      ${fees.length ? html`<p class="faint">Extra: ${fees.map(({ what, over, cents }) => `${what === "longest_over_in" ? `longest side over ${over} in` : `over ${over} cubic inches`} ${money(cents)}`).join("; ")}.</p>` : nothing}`;
  }
}
customElements.define("prices-board", PricesBoard);
