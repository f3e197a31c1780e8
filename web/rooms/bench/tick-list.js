import { html, nothing } from "lit";
import { given, Part } from "../../parts/part.js";
import { counted } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { ticksOf } from "./tick-rows.js";

/** @import { BenchNote } from "../../parts/bench-notes.js" */
/** @import { Slice, TickRow } from "./tick-rows.js" */

/**
 * The steps to tick off as the pieces go in, a row of ten with its count and - and + for a part of it; and which lot each is of.
 * Properties: `rows` (of tick-rows), `note`. Sends `counts` (the changed ones), `swap` with {row, slice, run, at}.
 */
class TickList extends Part {
  static properties = { rows: {}, note: {} };

  constructor() {
    super();
    /** @type {TickRow[]} */
    this.rows = [];
    /** @type {BenchNote} */
    this.note = given;
  }

  /** @param {TickRow} row @param {number} count */
  #set(row, count) {
    this.dispatchEvent(new CustomEvent("counts", { detail: { ...this.note.counts, [row.key]: Math.max(0, Math.min(row.count, count)) } }));
  }

  render() {
    const several = new Set(this.rows.map(({ part }) => part)).size > 1;
    const next = this.rows.find((row) => ticksOf(row, this.note) < row.count);
    return html`<ol class="ticks" aria-label="Check off as it goes in">${this.rows.map(
      (row, place) => html`
      ${several && row.part !== this.rows[place - 1]?.part ? html`<li class="day">Box ${row.part}: ${row.box}</li>` : nothing}
      ${this.#row(row, row === next)}`,
    )}</ol>`;
  }

  /** @param {TickRow} row @param {boolean} isNext */
  #row(row, isNext) {
    const done = ticksOf(row, this.note);
    const full = done === row.count;
    return html`<li class="tick-row" ?data-next=${isNext} aria-current=${isNext ? "step" : "false"}>
      <button type="button" class="take" role="checkbox" aria-checked=${full ? "true" : done ? "mixed" : "false"} @click=${() => this.#set(row, full ? 0 : row.count)}>
        <span class="tick" aria-hidden="true"></span><span>${row.says}</span></button>
      ${
        row.count > 1
          ? html`<div class="part-of" role="group" aria-label="how many are in">
        <button type="button" class="key tight" aria-label="one less" ?disabled=${!done} @click=${() => this.#set(row, done - 1)}>−</button>
        <p class="figures" role="status">${done} of ${row.count}</p>
        <button type="button" class="key tight" aria-label="one more" ?disabled=${full} @click=${() => this.#set(row, done + 1)}>+</button></div>`
          : nothing
      }
      ${row.slices.flatMap((slice) => this.#lots(row, slice))}</li>`;
  }

  /** The lots of a slice, each with a key for what is really in the hand. @param {TickRow} row @param {Slice} slice */
  #lots(row, slice) {
    let at = slice.at;
    return slice.runs.map((run) => {
      const from = at;
      at += run.units;
      const other = "meant" in run;
      return html`<div class="lot-of"><small class=${other ? "heed" : ""}>${row.count > 1 ? `${counted(run.units, "piece")} ` : ""}${run.lot ? html`from <span class="lot">${run.lot}</span>` : "no lot written"}${
        other ? html`; it was to be ${run.meant ? html`<span class="lot">${run.meant}</span>` : "one without a lot"}` : nothing
      }</small>
        ${house.view.lotBalance(slice.good).some((one) => one.lot) ? html`<button type="button" class="key tight quiet" aria-label=${`another lot than ${run.lot ?? "none"}`} @click=${() => this.dispatchEvent(new CustomEvent("swap", { detail: { row, slice, run, at: from } }))}>another lot</button>` : nothing}</div>`;
    });
  }
}
customElements.define("tick-list", TickList);
