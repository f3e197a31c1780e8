import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { isOwner } from "../../parts/first-questions.js";
import { labelSheet } from "../../parts/label-sheet.js";
import { lengthMm, lengthText } from "../../parts/lengths.js";
import { paperFacts, paperSize, SIZES } from "../../parts/papers.js";
import { placeOf } from "../../parts/route.js";
import { smallPicture } from "../../parts/small-picture.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { canonical } from "../../store/canonical.js";
import "../../parts/print-key.js";

/** @import { Typed } from "../../parts/events.d.ts" */
/** @import { LabelSheet } from "../../parts/label-sheet.js" */

/** @type {[keyof LabelSheet, string][]} */
const COUNTS = [
  ["columns", "labels across"],
  ["rows", "labels down"],
];
/** @type {[keyof LabelSheet, string][]} */
const LENGTHS = [
  ["width", "width of a label"],
  ["height", "height of a label"],
  ["left", "paper’s left edge to the first label"],
  ["top", "paper’s top edge to the first label"],
  ["across", "left edge of one label to the next"],
  ["down", "top edge of one label to the next"],
  ["nudge_x", "move all to the right by"],
  ["nudge_y", "move all down by"],
];
/** @type {["label" | "paper", string][]} */
const LABEL_SIZES = [
  ["label", "labels, 4 by 6 in"],
  ["paper", "plain paper"],
];
const COUNT_MOST = 40;
/** @type {(keyof LabelSheet)[]} */
const MAY_BE_NONE = ["left", "top", "nudge_x", "nudge_y"];
const LEFT = { focus: false, touched: false };

/** Papers: their size, the sheet of labels by its measures, the picture on labels; what hangs on the wall and lies beside the till. */
class PapersBoard extends Part {
  #act = new Act(this);

  /** @param {string} key @param {unknown} value @param {{focus?: boolean, touched?: boolean}} [how] */
  #set(key, value, how = { focus: false }) {
    if (canonical(value) === canonical(house.view.setting(key) ?? null)) return Promise.resolve(this.#act.stands());
    return this.#act.run(() => setHouse(key, value), "Written down.", how);
  }

  /** @param {Partial<LabelSheet>} change */
  #sheet(change) {
    return this.#set("label_sheet", { ...labelSheet(), ...change }, LEFT);
  }

  /** @param {keyof LabelSheet} key @param {Typed} event */
  #count(key, { target }) {
    const count = Number(target.value);
    if (Number.isInteger(count) && count >= 1 && count <= COUNT_MOST) this.#sheet({ [key]: count });
    else this.#act.failed({ kind: "draft", message: `${target.value} is no count of labels.`, remedy: "Count one row and one column." });
  }

  /** @param {keyof LabelSheet} key @param {Typed} event */
  #length(key, { target }) {
    const text = target.value.trim();
    const back = key.startsWith("nudge") && /^[-−]/.test(text) ? "-" : "";
    const bare = back ? text.slice(1).trim() : text;
    const nothingAtAll = /^0(\.0+)?\s*(in|mm|")?$/i.test(bare);
    if (nothingAtAll ? !MAY_BE_NONE.includes(key) : lengthMm(bare) === null)
      this.#act.failed({ kind: "draft", message: `“${text}” is no length.`, remedy: "Write it like 2 5/8 in or 66 mm." });
    else this.#sheet({ [key]: nothingAtAll ? "0 mm" : back + lengthText(bare) });
  }

  /** @param {HTMLInputElement} input */
  async #picture(input) {
    const [file] = input.files ?? [];
    if (!file) return;
    await this.#act.run(async () => setHouse("label_picture", await smallPicture(file)), "The picture goes on the labels.", LEFT);
    input.value = "";
  }

  render() {
    const mayNot = !isOwner();
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Papers and labels</h1>
      ${mayNot ? html`<p class="faint">Only an owner’s device may change these; any may print.</p>` : nothing}
      <h2 class="where">For the wall and the till</h2>
      <print-key words="print the price list" .asked=${pricesAsked}></print-key>
      <print-key words="print care cards" .asked=${careAsked}></print-key>
      <fieldset class="plain" ?disabled=${mayNot}>
        <h2 class="where">Paper in the printer</h2>
        <div class="keyrow three">${SIZES.map(([size, words]) => html`<button type="button" class="key tight" aria-pressed=${paperSize() === size} @click=${() => this.#set("paper", size)}>${words}</button>`)}</div>
        <h2 class="where">Address labels on</h2>
        <div class="keyrow two">${LABEL_SIZES.map(([size, words]) => html`<button type="button" class="key tight" aria-pressed=${house.view.setting("label_size", "label") === size} @click=${() => this.#set("label_size", size)}>${words}</button>`)}</div>
        ${this.#act.outcome()}
        ${this.#measures()}
        ${this.#pictureSaid()}
      </fieldset>
    </div></div>`;
  }

  #measures() {
    const sheet = labelSheet();
    return html`<h2 class="where">Sheets of labels for jars and bars</h2>
      <p class="faint">Measure one sheet, or read its package. Lengths like 2 5/8 in or 66 mm.</p>
      <div class="keyrow two" role="group" aria-label="Paper of the label sheets">${SIZES.slice(0, 2).map(([size, words]) => html`<button type="button" class="key tight" aria-pressed=${sheet.paper === size} @click=${() => this.#sheet({ paper: size })}>${words}</button>`)}</div>
      <div class="fields split">
        ${COUNTS.map(([key, words]) => html`<label class="write"><span>${words}</span><input inputmode="numeric" autocomplete="off" .value=${String(sheet[key])} @change=${(/** @type {Typed} */ event) => this.#count(key, event)} /></label>`)}
        ${LENGTHS.map(([key, words]) => html`<label class="write"><span>${words}</span><input autocomplete="off" .value=${String(sheet[key])} @change=${(/** @type {Typed} */ event) => this.#length(key, event)} /></label>`)}
      </div>
      <p class="faint">Print the test sheet on plain paper at 100 %, not fitted to the page. Hold it against a sheet of labels in front of a window, and write what the printer is off: −1 mm moves to the left or up.</p>
      <print-key words="print the test sheet" .asked=${trialAsked}></print-key>`;
  }

  #pictureSaid() {
    const picture = house.view.setting("label_picture", "");
    return html`<h2 class="where">Your picture on the labels</h2>
      ${picture ? html`<p><img class="label-picture" src=${picture} alt="The picture on your labels" /></p>` : html`<p class="faint">None yet. Dark lines on white print best.</p>`}
      <div class="keyrow two"><label class="key">choose a picture<input class="spoken" type="file" accept="image/png,image/jpeg" ?disabled=${!isOwner()} @change=${(/** @type {Typed} */ { target }) => this.#picture(target)} /></label>
        ${picture ? html`<button type="button" class="key" @click=${() => this.#set("label_picture", "")}>leave it out</button>` : nothing}</div>`;
  }
}
customElements.define("papers-board", PapersBoard);

const soldNow = () =>
  [...house.view.goods.values()].filter((good) => good.sold && !good.hidden && good.kind !== "carton").sort((a, b) => a.rank - b.rank);

/** @returns {[string, Record<string, any>]} */
const pricesAsked = () => [
  "documents.prices",
  { ...paperFacts(), goods: soldNow().filter(({ price_cents, prices }) => price_cents || prices?.length) },
];

/** @returns {[string, Record<string, any>]} */
const careAsked = () => {
  const kinds = new Set(soldNow().map(({ kind }) => kind));
  return ["documents.care", { ...paperFacts(), honey: kinds.has("honey"), wax: kinds.has("wax") }];
};

/** @returns {[string, Record<string, any>]} */
const trialAsked = () => ["documents.jar_labels", { ...paperFacts(), sheet: labelSheet(), trial: true }];
