import { html, nothing } from "lit";
import { notDone } from "../../parts/not-written.js";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { FREE_SAID, WHY_SAID } from "../../parts/sums.js";
import { counted, daySaid, dayShort, listed, money } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { Question } from "../../kernel/question.js";
import "../../parts/picture.js";

/** @import { Asking } from "../../kernel/question.js" */
/** @import { Drawn } from "../../parts/events.d.ts" */
/** @import { Trouble } from "../../store/shapes.d.ts" */

/** @typedef {{calls: number, units: number, cents: number}} Calls */
/** @typedef {{why: string, orders: number, cents: number}} Why */
/**
 * The sums of one season.
 * @typedef {{orders: number, by_mail: number, sold_cents: number, mailing_cents: number, tax_cents: number, taken_off_cents: number,
 *   received_cents: number, owed_cents: number, waited: Calls, given_up: Calls, went_without: Calls, held: number, again: Why[],
 *   taken_off: Why[]}} Sums
 */
/** @typedef {{id: string, name: string, units: number, cents: number, before_units: number, before_cents: number}} GoodSold */
/** @typedef {{week: number, monday: string, cents: number, before_cents: number, units: {good: string, units: number}[]}} Week */
/** @typedef {{season: number, now: Sums, before: Sums, goods: GoodSold[], weeks: Week[], words: string[]}} LookingBack */

const KEPT = "honeyhold.looking-back";
const SEASONS_BACK = 3;
const ASK_WAIT_S = 30;

/**
 * From the main computer, which alone has every order; out of its reach what it said last, with the day it said so.
 * @param {Asking} asking
 * @returns {Promise<LookingBack & {on: string}>}
 */
async function looked({ request: { season } }) {
  try {
    const answer = await house.call(`/api/looking-back?season=${season}`, { wait_s: ASK_WAIT_S });
    const told = { ...answer, on: house.today() };
    keep(told);
    return told;
  } catch (error) {
    const trouble = /** @type {Trouble & Error} */ (error);
    const kept = lastTold();
    if (trouble.kind === "no answer" && kept && kept.season === season) return kept;
    throw Object.assign(trouble, { unknown: trouble.kind === "no answer" });
  }
}

/** @param {LookingBack & {on: string}} told */
function keep(told) {
  try {
    localStorage.setItem(KEPT, JSON.stringify(told));
  } catch {
    // A device that keeps nothing more still shows what it was told.
  }
}

/** @returns {(LookingBack & {on: string}) | null} */
function lastTold() {
  try {
    return JSON.parse(localStorage.getItem(KEPT) ?? "null");
  } catch {
    return null;
  }
}

/** A season beside the one before: what was sold by week and good, what came in and is owed, who had to wait, what was put right. */
class LookingBackBoard extends Part {
  static properties = { season: {} };

  #looked = new Question(this, looked);

  constructor() {
    super();
    this.season = "";
  }

  get #year() {
    return Number(this.season || house.today().slice(0, 4));
  }

  willUpdate() {
    this.#looked.about({ season: this.#year, day: house.today(), reached: house.status.signal !== "none" });
  }

  render() {
    const { answer } = this.#looked;
    const now = Number(house.today().slice(0, 4));
    const years = Array.from({ length: SEASONS_BACK }, (_, back) => now - back);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      <h1>Looking back: ${this.#year}</h1>
      <div class="keyrow three" role="group" aria-label="Which season">${years.map(
        (year) =>
          html`<a class="key tight" href=${placeOf("book", "back", String(year))} aria-current=${year === this.#year ? "page" : "false"}>${year}</a>`,
      )}</div>
      ${answer ? this.#told(answer) : this.#notTold()}
    </div></div>`;
  }

  /** Not yet, not now, or refused: then in the main computer's own words. */
  #notTold() {
    const { waits, state, why, remedy } = this.#looked;
    if (state === "refused") return notDone({ message: why, remedy });
    return html`<p class="faint" role="status">${waits ? "asking the main computer …" : "The main computer adds this up; it is out of reach now."}</p>`;
  }

  /** @param {LookingBack & {on: string}} answer */
  #told({ season, now, before, goods, weeks, on }) {
    const today = house.today();
    return html`
      ${on === today ? nothing : html`<p class="faint">As the main computer said it ${daySaid(on, today)}.</p>`}
      ${weeks.some(({ cents, before_cents: earlier }) => cents || earlier) ? nothing : html`<p>Nothing was sold in ${season} or ${season - 1}.</p>`}
      <kernel-picture .name=${"stock.weeks_picture"} .request=${{ season, weeks: weeks.map(({ monday, cents, before_cents }) => ({ monday, cents, before_cents })) }}></kernel-picture>
      ${sideBySide(season, now, before)}
      ${goods.length ? byGood(season, goods) : nothing}
      ${callers(now)}
      ${putRight(now)}
      ${byWeek(season, weeks, goods)}
      <p><a class="key tight" href=${placeOf("book", "season", String(season))}>the season by weight</a></p>`;
  }
}
customElements.define("looking-back-board", LookingBackBoard);

/** @param {string} label @param {string[]} head @param {Drawn[][]} rows */
const table = (
  label,
  head,
  rows,
) => html`<div class="sheet-scroll" tabindex="0" role="region" aria-label=${label}><table class="sums-table">
  <thead><tr>${head.map((words, at) => (at ? html`<th scope="col" class="figures">${words}</th>` : html`<td>${words}</td>`))}</tr></thead>
  <tbody>${rows.map(([first, ...rest]) => html`<tr><th scope="row">${first}</th>${rest.map((cell) => html`<td class="figures">${cell}</td>`)}</tr>`)}</tbody></table></div>`;

/** @param {number} season @param {Sums} now @param {Sums} before */
function sideBySide(season, now, before) {
  /** @type {[string, (sums: Sums) => string | number][]} */
  const lines = [
    ["orders that left", ({ orders }) => orders],
    ["of them by mail", ({ by_mail: many }) => many],
    ["goods", ({ sold_cents: cents }) => money(cents)],
    ["mailing", ({ mailing_cents: cents }) => money(cents)],
    ["sales tax", ({ tax_cents: cents }) => money(cents)],
    ["taken off", ({ taken_off_cents: cents }) => money(cents)],
    ["money that came", ({ received_cents: cents }) => money(cents)],
    ["still owed", ({ owed_cents: cents }) => money(cents)],
    ["parcels kept for a cool spell", ({ held }) => held],
  ];
  const rows = lines
    .map(([words, of]) => [words, of(now), of(before)])
    .filter(([, a, b]) => [a, b].some((one) => one !== 0 && one !== "$0.00"));
  return rows.length ? table("Two seasons side by side", ["", String(season), String(season - 1)], rows) : nothing;
}

/** @param {number} season @param {GoodSold[]} goods */
const byGood = (season, goods) =>
  html`<h2 class="where">What was sold</h2>${table(
    "Sold by good",
    ["", String(season), String(season - 1)],
    goods.map(({ name, units, cents, before_units: earlier, before_cents: earlier_cents }) => [
      name,
      soldSaid(units, cents),
      soldSaid(earlier, earlier_cents),
    ]),
  )}`;

/** @param {number} units @param {number} cents */
const soldSaid = (units, cents) => (units ? `${units} for ${money(cents)}` : "–");

/** Calls that the shelf was too bare for. @param {Sums} sums */
function callers({ waited, given_up, went_without }) {
  /** @type {[string, Calls][]} */
  const all = [
    ["had to wait", waited],
    ["waited and gave up", given_up],
    ["went without", went_without],
  ];
  const told = all.filter(([, { calls }]) => calls);
  if (!told.length) return nothing;
  return html`<h2 class="where">When the shelf was bare</h2><dl class="under sums">${told.map(
    ([words, { calls, units, cents }]) =>
      html`<div><dt>${words}</dt><dd>${counted(calls, "call")} for ${counted(units, "piece")}, worth <strong>${money(cents)}</strong></dd></div>`,
  )}</dl>`;
}

/** @param {Sums} sums */
function putRight({ again, taken_off: off }) {
  if (!again.length && !off.length) return nothing;
  const words = (/** @type {Why[]} */ rows, /** @type {Record<string, string>} */ said) =>
    listed(rows.map(({ why, orders, cents }) => `${counted(orders, "order")} ${said[why] ?? why}, ${money(cents)}`));
  return html`<h2 class="where">Put right</h2><dl class="under">
    ${again.length ? html`<div><dt>sent again</dt><dd>${words(again, FREE_SAID)}</dd></div>` : nothing}
    ${off.length ? html`<div><dt>taken off</dt><dd>${words(off, WHY_SAID)}</dd></div>` : nothing}</dl>`;
}

/** The picture's own table. @param {number} season @param {Week[]} weeks @param {GoodSold[]} goods */
function byWeek(season, weeks, goods) {
  const names = new Map(goods.map(({ id, name }) => [id, name]));
  const rows = weeks
    .filter(({ cents, before_cents: before, units }) => cents || before || units.length)
    .map(({ monday, cents, before_cents: before, units }) => [
      html`${dayShort(monday)}<small class="faint">${listed(units.map(({ good, units: many }) => `${many} ${names.get(good) ?? good}`))}</small>`,
      money(cents),
      money(before),
    ]);
  if (!rows.length) return nothing;
  return html`<details class="otherwise"><summary>week by week</summary>${table("Sold by week", ["week of", String(season), String(season - 1)], rows)}</details>`;
}
