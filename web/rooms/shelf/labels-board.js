import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { labelSheet, labelsUsed, labelWords, nextLabel, onASheet } from "../../parts/label-sheet.js";
import { paperFacts, printPaper } from "../../parts/papers.js";
import { isOwner } from "../../parts/first-questions.js";
import { placeOf } from "../../parts/route.js";
import { counted, dayShort } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { lotsLatestFirst } from "../../store/sorting.js";
import "../../parts/number-pad.js";

/** @import { Changed, Told, Typed, TypedLines } from "../../parts/events.d.ts" */
/** @import { Good } from "../../store/shapes.d.ts" */

const LOTS_SHOWN = 6;
const MOST = 2000;

/** A place that the sheet has. @param {string} typed */
const onTheSheet = (typed) => String(Math.min(Math.max(Number(typed.replace(/\D/g, "")), 1), onASheet(labelSheet())));

/** Labels of one good: of which lot, how many, where on the sheet, with the owner's own words. Properties: `good` (id), `made` (the lot that was just made, or empty). */
class LabelsBoard extends Part {
  static properties = { good: {}, made: {}, lot: { state: true }, count: { state: true }, first: { state: true } };

  constructor() {
    super();
    this.good = "";
    this.made = "";
    /** @type {string | null} */
    this.lot = null;
    this.count = "";
    this.first = "";
  }

  #act = new Act(this, { asks: true });
  #words = new Act(this);

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("good") && !changed.has("made")) return;
    this.lot = this.made || (this.#lots()[0]?.lot ?? "");
    this.count = "";
    this.first = String(nextLabel());
    this.#act.about(this.good);
    this.#words.about(this.good);
  }

  /** The newest first: it is what was just filled. */
  #lots() {
    const lots = house.view.lotBalance(this.good).filter(({ lot, units }) => lot && units > 0);
    const row = (/** @type {{lot: string | null, made_on: string | null}} */ { lot, made_on }) => ({
      id: lot ?? "",
      made_on: made_on ?? "",
    });
    return lots.sort((a, b) => Number(b.lot === this.made) - Number(a.lot === this.made) || lotsLatestFirst(row(a), row(b)));
  }

  /** As many as the lot has pieces, unless another number was typed. */
  get many() {
    const left = this.#lots().find(({ lot }) => lot === this.lot)?.units ?? onASheet(labelSheet());
    return Number(this.count) || Math.min(left, MOST);
  }

  /** @param {"title" | "words"} field @param {string} text */
  #write(field, text) {
    const all = house.view.setting("label_words", {});
    const words = { ...labelWords(this.good), [field]: text.trim() };
    if (labelWords(this.good)[field] === words[field]) return;
    this.#words.run(() => setHouse("label_words", { ...all, [this.good]: words }), "Written down.", { focus: false, touched: false });
  }

  #print = async () => {
    const { many } = this;
    const first = Number(onTheSheet(this.first));
    const done = await this.#act.run(
      () => printPaper("documents.jar_labels", { ...this.#asked(), count: many, first }),
      ({ notes }) => [`${counted(many, "label")} printed from this device.`, ...notes].join(" "),
    );
    if (!done) return;
    labelsUsed(first, many);
    this.first = String(nextLabel());
  };

  #asked() {
    const good = house.view.goods.get(this.good);
    const picture = house.view.setting("label_picture", "");
    return { ...paperFacts(), sheet: labelSheet(), good, ...labelWords(this.good), picture, lot: this.lot ?? "" };
  }

  render() {
    const good = house.view.goods.get(this.good);
    if (!good) return nothing;
    const sheet = labelSheet();
    return html`<div class="board"><div class="column">
        <a class="key tight back" href=${placeOf("shelf", good.id)}>${good.plural || good.name}</a>
        <h1>Labels</h1>
        <p class="faint">Net weight, lot, your name and address, and the caution about babies on honey go on by themselves. Ask your state what else a label must say.</p>
        ${this.#own(good)}
        <h2 class="where">Of which lot?</h2>
        <div class="keyrow three" role="group" aria-label="Of which lot">${this.#lots()
          .slice(0, LOTS_SHOWN)
          .map(({ lot, made_on }) =>
            this.#lotKey(lot ?? "", `${lot}`, made_on ? dayShort(made_on) : ""),
          )}${this.#lotKey("", "no lot on it", "")}</div>
        <p class="faint">${onASheet(sheet)} on a sheet, ${sheet.width} by ${sheet.height}. <a href=${placeOf("settings", "papers")}>another sheet</a></p>
        ${this.#act.outcome()}
      </div></div>
      <div class="deck">
        <label class="write"><span>first free label on the sheet</span><input inputmode="numeric" autocomplete="off" .value=${onTheSheet(this.first)} @change=${(
          /** @type {Typed} */ event,
        ) => {
          this.first = onTheSheet(event.target.value);
          event.target.value = this.first; // the screen says what is printed
        }} /></label>
        <number-pad .value=${this.count} .usual=${String(this.many)} .unit=${"labels"} .label=${"how many labels"} @change=${(
          /** @type {Told<string>} */ { detail },
        ) => {
          this.count = detail;
        }}></number-pad>
        <button type="button" class="key say" ?disabled=${this.#act.busy} @click=${this.#print}>print ${counted(this.many, "label")}</button>
      </div>`;
  }

  /** @param {Good} good */
  #own(good) {
    const { title, words } = labelWords(good.id);
    return html`<fieldset class="plain" ?disabled=${!isOwner()}><div class="fields">
      <label class="write whole"><span>name on the label</span><input autocomplete="off" maxlength="60" placeholder=${good.name} .value=${title} @change=${(/** @type {Typed} */ event) => this.#write("title", event.target.value)} /></label>
      <label class="write whole"><span>your own words on it</span><textarea rows="2" maxlength="400" .value=${words} @change=${(/** @type {TypedLines} */ event) => this.#write("words", event.target.value)}></textarea></label>
    </div></fieldset>${this.#words.outcome()}`;
  }

  /** @param {string} lot @param {string} words @param {string} more */
  #lotKey(lot, words, more) {
    return html`<button type="button" class="key tight" aria-pressed=${this.lot === lot} @click=${() => {
      this.lot = lot;
      this.count = "";
    }}>${words}${more ? html`<small>${more}</small>` : nothing}</button>`;
  }
}
customElements.define("labels-board", LabelsBoard);
