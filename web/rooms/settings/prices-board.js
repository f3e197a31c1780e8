import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { notWritten } from "../../parts/not-written.js";
import { placeOf } from "../../parts/route.js";
import { money } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { work } from "../../kernel/work.js";
import "../../parts/undo-key.js";

const KEY = "posting_prices";
const OUNCES_PER_POUND = 16;

/** What posting costs: the house's own table, as a spreadsheet opens and saves it. Every bad line says what is wrong with it. */
class PricesBoard extends Part {
  static properties = { table: { state: true }, draft: { state: true }, done: { state: true }, error: { state: true } };

  #asked = null;

  constructor() {
    super();
    Object.assign(this, { table: null, draft: null, done: null, error: null });
  }

  willUpdate() {
    const kept = house.view.setting(KEY, "") || "";
    if (kept === this.#asked) return;
    this.#asked = kept;
    if (!kept) this.table = null;
    else work("answers.price_table", { csv: kept }).then((table) => { this.table = table; }, (error) => { this.error = error; });
  }

  async #read(text) {
    try {
      this.draft = await work("answers.price_table", { csv: text });
      this.error = null;
      sayAloud(`${this.draft.prices.length} prices read, ${this.draft.errors.length} lines are wrong.`);
    } catch (error) {
      Object.assign(this, { draft: null, error });
    }
  }

  async #keep(csv) {
    try {
      this.done = await setHouse(KEY, csv);
      Object.assign(this, { draft: null, error: null });
    } catch (error) {
      this.error = error;
    }
  }

  #export(csv) {
    const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(new Blob([csv], { type: "text/csv" })), download: "posting-prices.csv" });
    link.click();
    URL.revokeObjectURL(link.href);
  }

  render() {
    const mayNot = house.status.device?.role !== "keeper";
    const shown = this.draft ?? this.table;
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Posting prices</h1>
      <p class="faint">Copy them from your carrier: a line for each service, zone (1 to 9) and weight. The Counter then says what posting costs. Zones are reckoned by
        distance and can be one off near a limit; what you type for an order goes before the table.</p>
      ${this.draft ? this.#draft(this.draft) : nothing}
      ${this.done?.op ? html`<p role="status"><strong>Written down.</strong></p><undo-key .op=${this.done.op} @undone=${() => { this.done = null; }}></undo-key>` : nothing}
      ${this.error ? notWritten(this.error) : nothing}
      ${shown ? this.#table(shown) : html`<p>There is no table yet: posting is typed by hand for each order.</p>`}
    </div></div>
    <div class="deck">${mayNot ? html`<p class="faint">Only a keeper's device may change these.</p>` : html`
      <label class="key">take in a file<input class="spoken" type="file" accept=".csv,text/csv" @change=${async ({ target }) => { if (target.files[0]) this.#read(await target.files[0].text()); target.value = ""; }} /></label>
      <details class="otherwise"><summary class="faint">or paste the lines</summary><label class="write"><span>lines of the table</span><textarea rows="2" spellcheck="false" @change=${({ target }) => { if (target.value.trim()) this.#read(target.value); target.value = ""; }}></textarea></label></details>
      <div class="keyrow two">
        ${this.table ? html`<button type="button" class="key" @click=${() => this.#export(this.table.csv)}>save as a file</button>
          <button type="button" class="key quiet" @click=${() => this.#keep("")}>take the table away</button>`
        : html`<button type="button" class="key" @click=${() => this.#read(null)}>begin with the example</button>`}</div>`}</div>`;
  }

  #draft({ csv, prices, errors }) {
    return html`<div class="state">
      <p><strong>${prices.length} prices read.</strong> ${errors.length ? html`<span class="heed">${errors.length} ${errors.length === 1 ? "line is" : "lines are"} left out:</span>` : "Every line is good."}</p>
      ${errors.length ? html`<ul class="why-not">${errors.map(({ line, why }) => html`<li><strong>line ${line}</strong>: ${why}</li>`)}</ul>` : nothing}
      <div class="keyrow two"><button type="button" class="key say" ?disabled=${!prices.length} @click=${() => this.#keep(csv)}>use this table</button>
        <button type="button" class="key quiet" @click=${() => { this.draft = null; }}>leave it</button></div></div>`;
  }

  #table({ prices, fees }) {
    return html`${prices.some(({ example }) => example) ? html`<p class="heed">These are examples, no one's prices: put in your own.</p>` : nothing}
      <div class="sheet-scroll" tabindex="0" role="region" aria-label="The table"><table class="prices">
        <thead><tr><th scope="col">service</th><th scope="col">zone</th><th scope="col">up to</th><th scope="col">price</th></tr></thead>
        <tbody>${prices.map(({ service, zone, up_to_oz, cents }) => html`<tr><td>${service}</td><td>${zone}</td>
          <td>${up_to_oz % OUNCES_PER_POUND ? `${up_to_oz} oz` : `${up_to_oz / OUNCES_PER_POUND} lb`}</td><td>${money(cents)}</td></tr>`)}</tbody></table></div>
      ${fees.length ? html`<p class="faint">Extra: ${fees.map(({ what, over, cents }) => `${what === "longest_over_in" ? `longest side over ${over} in` : `over ${over} cubic inches`} ${money(cents)}`).join("; ")}.</p>` : nothing}`;
  }
}
customElements.define("prices-board", PricesBoard);
