import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { notWritten } from "../../parts/not-written.js";
import { placeOf } from "../../parts/route.js";
import { counted, dayShort, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { count, takeAway } from "../../store/acts.js";
import { hurtBy, hurtSaid } from "./hurt.js";
import "../../parts/number-pad.js";
import "../../parts/undo-key.js";

/** @import { Told } from "../../parts/events.d.ts" */
/** @import { Good } from "../../store/shapes.d.ts" */
/** @import { TakenReason } from "../../store/stocking.js" */

/** @type {[Why, string][]} */
const WHY = [
  ["lost", "lost"],
  ["gift", "given away"],
  ["broken", "broken"],
  ["specked", "specked"],
  ["spoiled", "spoiled"],
  ["counted", "nobody knows"],
];
const KEY = "honeyhold.walk";

/** One lot of one good, and what the book says of it. @typedef {{good: Good, lot: string | null, units: number, made_on: string | null}} Stop */
/** @typedef {TakenReason | "counted"} Why */
/** @typedef {{good: string, lot: string | null, gap: number, reason: Why | null, op: string | null}} FoundAt what was counted there */

/** The walk along the shelf: good by good, lot by lot; a difference is explained before the next. Kept on this device until it is done. */
class CountWalk extends Part {
  static properties = { text: { state: true }, found: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    const kept = keptWalk(house.today());
    /** @type {FoundAt[]} */
    this.found = kept.found;
    this.text = "";
  }

  /** Every lot of what is sold or packed with, in the order of the shelf; what is weighed is not walked. @returns {Stop[]} */
  #stops() {
    const { view } = house;
    const goods = [...view.goods.values()]
      .filter((good) => !good.hidden && good.unit !== "g" && (good.sold || good.kind === "carton" || view.onHand(good.id) > 0))
      .sort((a, b) => Number(a.kind === "carton") - Number(b.kind === "carton") || a.rank - b.rank);
    return goods.flatMap((good) => {
      const lots = view.lotBalance(good.id);
      return (lots.length ? lots : [{ lot: null, units: 0, made_on: null }]).map((lot) => ({ good, ...lot }));
    });
  }

  /** Stops are named, for a count changes which lots there are. @param {Stop[]} stops */
  #left(stops) {
    const done = new Set(this.found.map(({ good, lot }) => `${good} ${lot ?? ""}`));
    return stops.filter(({ good, lot }) => !done.has(`${good.id} ${lot ?? ""}`));
  }

  /** @param {Stop} stop @param {Why | null} reason */
  async #seen(stop, reason) {
    const units = Number(this.text);
    const gap = units - stop.units;
    const write = () =>
      gap < 0 && reason && reason !== "counted" ? takeAway(stop.good.id, stop.lot, -gap, reason) : count(stop.good.id, stop.lot, units);
    const words = gap ? `${unitsSaid(stop.good, Math.abs(gap))} ${gap > 0 ? "more" : "fewer"} than the book.` : "As the book says.";
    const done = await this.#act.run(write, words, { focus: false });
    if (!done) return;
    this.found = [...this.found, { good: stop.good.id, lot: stop.lot, gap, reason: gap ? reason : null, op: done.op }];
    this.text = "";
    keepWalk(house.today(), this.found);
  }

  #again = () => {
    this.found = [];
    keepWalk(house.today(), []);
  };

  render() {
    const left = this.#left(this.#stops());
    const [stop] = left;
    return html`<div class="board"><div class="column">
        <a class="key tight back walk-back" href=${placeOf("shelf")}>all goods</a>
        <h1>Count the shelf</h1>
        <p class="faint">${stop ? `${counted(this.found.length, "count")} done, ${left.length} to go.` : "All counted."}</p>
        ${this.#told()}
      </div></div>
      <div class="deck">${stop ? this.#ask(stop) : html`<button type="button" class="key" @click=${this.#again}>walk again</button>`}</div>`;
  }

  /** @param {Stop} stop */
  #ask(stop) {
    const { good, lot, units, made_on } = stop;
    const seen = this.text === "" ? null : Number(this.text);
    const gap = seen === null ? 0 : seen - units;
    return html`
      <h2 class="where">${lot ? `${lot}${made_on ? `, ${dayShort(made_on)}` : ""}` : "no lot written"}</h2>
      <p class="walk-good"><strong>${good.plural || good.name}</strong>: the book says <strong class="figures">${units}</strong></p>
      <button type="button" class="key say" ?disabled=${seen !== null && gap !== 0} @click=${() => {
        this.text = String(units);
        this.#seen(stop, null);
      }}>${units} lie there</button>
      <number-pad .value=${this.text} .unit=${good.short || good.plural} .label=${"lie there"} @change=${(
        /** @type {Told<string>} */ { detail },
      ) => {
        this.text = detail;
      }}></number-pad>
      ${
        gap < 0
          ? html`<h2 class="where">${-gap} fewer than the book. Why?</h2>
        <div class="keyrow two">${WHY.map(([reason, words]) => html`<button type="button" class="key tight" @click=${() => this.#seen(stop, reason)}>${words}</button>`)}</div>`
          : nothing
      }
      ${gap > 0 ? html`<button type="button" class="key on" @click=${() => this.#seen(stop, "counted")}>${gap} more than the book: write them down</button>` : nothing}
      ${this.#act.error ? notWritten(this.#act.error) : nothing}`;
  }

  /** What was found, with its undo, and whose promise it hurts. */
  #told() {
    const { view } = house;
    const words = Object.fromEntries(WHY);
    const short = [...new Set(this.found.map(({ good }) => good))]
      .map((id) => view.goods.get(id))
      .filter((good) => good !== undefined)
      .map((good) => ({ good, hurt: hurtBy(good) }))
      .filter(({ hurt }) => hurt.length);
    return html`
      ${
        short.length
          ? html`<div class="state" role="alert"><p><strong>Too few for these orders:</strong></p>${short.map(({ good, hurt }) => hurtSaid(good, hurt))}
        <p class="faint">The latest promise first. Call before they drive over.</p></div>`
          : nothing
      }
      ${
        this.found.some(({ gap }) => gap)
          ? html`<dl class="under">${this.found
              .filter(({ gap }) => gap)
              .map(
                ({ good, lot, gap, reason, op }) => html`
        <div><dt>${gap > 0 ? `${gap} more` : `${-gap} fewer`}</dt><dd>${view.goods.get(good)?.plural ?? good}${lot ? `, ${lot}` : ""}${gap < 0 ? `: ${words[reason ?? ""]}` : ""}
          <undo-key .op=${op} @undone=${() => {
            this.found = this.found.filter((one) => one.op !== op);
            keepWalk(house.today(), this.found);
          }}></undo-key></dd></div>`,
              )}</dl>`
          : this.found.length
            ? html`<p>So far as the book says.</p>`
            : nothing
      }`;
  }
}
customElements.define("count-walk", CountWalk);

/** What was counted today, if the page was loaded again in between. @param {string} today */
function keptWalk(today) {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "null");
    return kept?.on === today && Array.isArray(kept.found) ? { found: kept.found } : { found: [] };
  } catch {
    return { found: [] };
  }
}

/** @param {string} on @param {FoundAt[]} found */
function keepWalk(on, found) {
  try {
    localStorage.setItem(KEY, JSON.stringify({ on, found }));
  } catch {
    /* the counts are written down all the same */
  }
}
