import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { dayShort, phoneSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { printSheet } from "../../parts/print-sheet.js";
import { work } from "../../kernel/work.js";
import { house } from "../../store/house.js";
import { noteLot } from "../../store/acts.js";
import { traceRequest } from "../../store/recall.js";
import "./note-form.js";

/** @import { TraceAnswer } from "../../kernel/answers.d.ts" */
/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Lot, Trouble } from "../../store/shapes.d.ts" */

/** What is known of a lot; with `error`: nothing, for the house is out of reach. @typedef {TraceAnswer & {error?: Trouble}} Traced */
/** @typedef {Pick<Lot, "id" | "good" | "made_on" | "sources"> & Partial<Lot>} LotShown */

/** One lot: what it was made from, what was made of it, and what is left of it here. Without one: all lots to choose from. */
class LotBoard extends Part {
  static properties = { lot: {}, traced: { state: true }, printed: { state: true } };

  constructor() {
    super();
    this.lot = "";
    /** @type {Traced | null} */
    this.traced = null;
    this.printed = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("lot")) return;
    this.traced = null;
    this.printed = "";
    if (this.lot) this.#trace(this.lot);
  }

  /** First what this device knows, at once; then all of it from the house, when that is in reach. @param {string} lot */
  async #trace(lot) {
    /** @param {Traced | null} traced */
    const told = (traced) => {
      if (this.lot === lot && traced) this.traced = traced;
    };
    told(
      await traceRequest(lot)
        .then(async ({ since, request }) => ({ ...(await work("stock.trace", request)), since }))
        .catch(() => null),
    );
    if (house.status.signal === "none" && this.traced) return;
    told(await house.call(`/api/lots/${encodeURIComponent(lot)}/trace`).catch((error) => (this.traced ? null : { error })));
  }

  /** The recall sheet, printed from here. */
  #print = async () => {
    const { view } = house;
    const settings = Object.fromEntries([...view.settings.values()].map(({ id, value }) => [id, value]));
    const request = {
      house: { ...settings, name: settings.name || "Honey house" },
      trace: this.traced,
      goods: [...view.goods.values()].map(({ id, name, plural, unit }) => ({ id, name, plural, unit })),
      day: house.today(),
      since: this.traced?.since ?? null,
      size: view.setting("paper", "letter") === "a5" ? "a5" : "letter",
    };
    try {
      await printSheet((await work("documents.recall", request)).html);
      this.printed = "Printed from this device.";
    } catch (error) {
      const { message, remedy = "Copy the numbers by hand." } = /** @type {Trouble} */ (error);
      this.printed = `No sheet: ${message} ${remedy}`;
    }
  };

  render() {
    const { view } = house;
    const lot = view.lots.get(this.lot) ?? this.#usedUp();
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      ${lot ? this.#told(lot) : this.#all()}
    </div></div>`;
  }

  /** A lot with nothing left has gone from this device, not from the house. */
  #usedUp() {
    const known = this.traced?.lots?.find(({ lot }) => lot === this.lot);
    return known
      ? { id: known.lot, good: known.good, made_on: known.made_on, sources: (this.traced?.made_from ?? []).map(({ lot }) => lot) }
      : null;
  }

  #whoHasIt() {
    if (!this.traced) return html`<span class="faint">asking the house …</span>`;
    if (this.traced.error) return html`<span class="faint">The house knows; it is out of reach now.</span>`;
    const { who_has: people, not_named: unnamed, since } = this.traced;
    const part = since
      ? html`<p class="faint">Complete only with signal; from this device: orders since ${dayShort(since)} ${since.slice(0, 4)}.</p>`
      : nothing;
    if (!people.length && !unnamed.length) return html`Nobody yet.${part}`;
    return html`${part}
      <button type="button" class="key tight" @click=${this.#print}>print the recall sheet</button>${this.printed ? html`<p role="status">${this.printed}</p>` : nothing}
      ${people.map(({ name, phone, units, person }) => html`<p><a href=${placeOf("book", "person", person)}>${name}</a>, ${units}${phone ? html`, <a class="figures ring" href="tel:${phone}">${phoneSaid(phone)}</a>` : nothing}</p>`)}
      ${unnamed.length ? html`<p class="faint">${unnamed.reduce((sum, { units }) => sum + units, 0)} to people who gave no name</p>` : nothing}`;
  }

  #all() {
    const lots = [...house.view.lots.values()].sort((a, b) => b.made_on.localeCompare(a.made_on) || a.id.localeCompare(b.id));
    return html`${this.lot && this.traced ? html`<p class="heed" role="alert">No lot is called ${this.lot}.</p>` : nothing}<h1>Which lot?</h1>
      ${
        lots.length
          ? html`<dl class="under lots">${lots.map(
              (lot) => html`<div><dt><a class="figures" href=${placeOf("book", "lot", lot.id)}>${lot.id}</a></dt>
        <dd>${house.view.goods.get(lot.good)?.plural ?? lot.good}, ${dayShort(lot.made_on)}</dd></div>`,
            )}</dl>`
          : html`<p class="faint">No lot is on the shelf now.</p>`
      }`;
  }

  /** @param {LotShown} lot */
  #told(lot) {
    const { view } = house;
    const good = view.goods.get(lot.good);
    const left = view.lotBalance(lot.good).find((found) => found.lot === lot.id)?.units ?? 0;
    const of = [...view.lots.values()].filter((other) => (other.sources ?? []).includes(lot.id));
    /** @param {string[]} codes */
    const links = (codes) =>
      codes.map((code, place) => html`${place ? ", " : ""}<a class="figures" href=${placeOf("book", "lot", code)}>${code}</a>`);
    const measures = Object.entries(lot.measures ?? {});
    return html`<h1 class="figures">${lot.id}</h1>
      <p class="faint">${good?.plural ?? lot.good}, made ${dayShort(lot.made_on)}</p>
      <dl class="under">
        <div><dt>left here</dt><dd>${!good ? left : good.unit === "g" ? weightSaid(left) : unitsSaid(good, left)}</dd></div>
        <div><dt>made from</dt><dd>${lot.sources?.length ? links(lot.sources) : "not written"}</dd></div>
        ${of.length ? html`<div><dt>went into</dt><dd>${links(of.map(({ id }) => id))}</dd></div>` : nothing}
        <div><dt>who has it</dt><dd>${this.#whoHasIt()}</dd></div>
        ${measures.map(([name, value]) => html`<div><dt>${name.replaceAll("_", " ")}</dt><dd class="figures">${value}</dd></div>`)}
        ${lot.note ? html`<div><dt>note</dt><dd>${lot.note}</dd></div>` : nothing}
      </dl>
      ${view.lots.has(lot.id) ? html`<note-form .text=${lot.note ?? ""} .write=${(/** @type {string} */ note) => noteLot({ id: lot.id, note })}></note-form>` : nothing}`;
  }
}
customElements.define("lot-board", LotBoard);
