import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { centsWritten } from "../../parts/cents.js";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { dayShort, money, timeSaid } from "../../parts/words.js";
import { till } from "../../store/acts.js";
import { house } from "../../store/house.js";
import { standing, tillOf } from "../../store/till.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */
/** @import { TillEntry } from "../../store/shapes.d.ts" */

/** @type {[TillEntry["what"], string, string][]} */
const DONE = [
  ["counted", "that is what I counted", "Counted"],
  ["opening", "put in", "Put in"],
  ["taken", "taken out", "Taken out"],
];
const WHAT_SAID = { counted: "counted", opening: "put in", taken: "taken out" };
const CAME = /** @type {const} */ ([
  ["cash", "in cash"],
  ["check", "by check"],
  ["transfer", "by transfer"],
  ["other", "another way"],
]);
const DAYS_MOST = 6;

/** The till of a day: what lay there, what came, what should lie there now, what was counted, and the difference. Property `day`, or today. */
class TillBoard extends Part {
  static properties = { day: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.day = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("day")) this.#act.about(this.day);
  }

  /** @param {Submitted} event */
  async #write(event) {
    event.preventDefault();
    const form = event.target;
    const written = new FormData(form);
    const [what, , said] = DONE.find(([name]) => name === /** @type {HTMLButtonElement | null} */ (event.submitter)?.value) ?? DONE[0];
    const nothingThere = what === "counted" && /^0+([.,]0{1,2})?$/.test(String(written.get("amount") ?? "").trim());
    const cents = nothingThere ? 0 : centsWritten(written.get("amount"), this.#act);
    if (!cents && !nothingThere) return;
    if (await this.#act.run(() => till(what, cents, String(written.get("note") ?? "")), `${said}: ${money(cents)}.`)) form.reset();
  }

  render() {
    const { view } = house;
    const today = house.today();
    const day = this.day || today;
    const sums = tillOf(day, view.money(), view.till.values());
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      <h1>The till, ${dayShort(day)}</h1>
      <dl class="under sums">
        ${line("from before", sums.carried_cents)}
        ${sums.opening_cents ? line("put in", sums.opening_cents) : nothing}
        ${CAME.map(([way, words]) => (way === "cash" || sums.came[way] ? line(words, sums.came[way], way !== "cash") : nothing))}
        ${sums.taken_cents ? line("taken out", -sums.taken_cents) : nothing}
        <div><dt>should be</dt><dd class="figures"><strong>${money(sums.expected_cents)}</strong> in cash</dd></div>
        ${sums.counted_cents === null ? nothing : html`${line("counted", sums.counted_cents)}<div><dt>difference</dt><dd>${differenceSaid(sums.difference_cents ?? 0)}${sums.note ? html` <span class="faint">${sums.note}</span>` : nothing}</dd></div>`}
      </dl>
      ${day === today ? this.#form() : nothing}
      ${this.#act.outcome()}
      ${this.#entries(day)}
      ${this.#days(day)}
    </div></div>`;
  }

  #form() {
    return html`<form class="fields split" @submit=${(/** @type {Submitted} */ event) => this.#write(event)} novalidate>
      <label class="write"><span>dollars</span><input name="amount" class="figures" inputmode="decimal" autocomplete="off" /></label>
      <label class="write"><span>note</span><input name="note" autocomplete="off" /></label>
      <div class="keyrow three whole" role="group" aria-label="What was done">${DONE.map(([what, words]) => html`<button class="key tight" name="what" value=${what} ?disabled=${this.#act.busy}>${words}</button>`)}</div>
    </form>`;
  }

  /** @param {string} day */
  #entries(day) {
    const rows = standing(house.view.till.values())
      .filter(({ on }) => on === day)
      .sort((a, b) => (a.at < b.at ? -1 : 1));
    if (!rows.length) return nothing;
    return html`<details class="otherwise"><summary>entry by entry</summary><dl class="under">${rows.map(
      ({ at, what, cents, note }) =>
        html`<div><dt>${timeSaid(at)}</dt><dd>${money(cents)} ${WHAT_SAID[what]}${note ? `, ${note}` : ""}</dd></div>`,
    )}</dl></details>`;
  }

  /** @param {string} here */
  #days(here) {
    const { view } = house;
    const days = [...new Set([house.today(), ...view.money().map(({ on }) => on), ...[...view.till.values()].map(({ on }) => on)])]
      .sort((a, b) => (a < b ? 1 : -1))
      .slice(0, DAYS_MOST);
    if (days.length < 2) return nothing;
    return html`<h2 class="where">Other days</h2><div class="keyrow three" role="group" aria-label="Days">${days
      .filter((day) => day !== here)
      .map((day) => html`<a class="key tight" href=${placeOf("book", "till", day)}>${dayShort(day)}</a>`)}</div>`;
  }
}
customElements.define("till-board", TillBoard);

/** @param {string} words @param {number} cents @param {boolean} [beside] it lies beside the cash */
const line = (words, cents, beside = false) =>
  html`<div><dt>${words}</dt><dd class=${beside ? "figures faint" : "figures"}>${money(cents)}${beside ? ", beside the cash" : ""}</dd></div>`;

/** @param {number} cents */
function differenceSaid(cents) {
  if (!cents) return html`<strong>none, to the cent</strong>`;
  return html`<span class="heed">${money(Math.abs(cents))} ${cents < 0 ? "missing" : "too much"}</span>`;
}
