import { html, nothing } from "lit";
import { PACKINGS } from "../../parts/heat-words.js";
import { priceOn, priceSaid } from "../../store/pricing.js";
import { comingDays, dayAfter, daySaid, dayShort, mailingDays, nameSaid } from "../../parts/words.js";

/** @import { CallAnswer } from "../../kernel/answers.d.ts" */
/** @import { DeckNow } from "./now.d.ts" */
/** @import { Composed, Good, Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

const TENS = [5, 10, 15, 20];
const FEW = [1, 2, 3, 4];
const ROW_FOR_TENS = 10;
const DAYS_SHOWN = 6;

/** The goods a caller can have, in the house's order. @param {View} view */
export const goodsOffered = (view) =>
  [...view.goods.values()].filter((good) => good.sold && !good.hidden && good.kind !== "carton").sort((a, b) => a.rank - b.rank);

/** Bars poured by the row go by fives; jars and blocks one by one. @param {Good | undefined} good */
export const soldByFives = (good) => good?.kind === "wax" && (good.row ?? 0) >= ROW_FOR_TENS;

/**
 * How many of one good: the usual numbers, one less, one more, or something else.
 * @param {{good: Good, units: number, price: {price_cents: number, steps: [number, number][]} | null, set: (units: number) => void, more: () => void, typed: () => void}} keys
 */
export function amountKeys({ good, units, set, more, typed, price }) {
  const usual = soldByFives(good) ? TENS : FEW;
  return html`
    <h2 class="where">How many ${good.plural || good.name}?${price?.steps.length ? html` <small>${priceSaid(price)}</small>` : nothing}</h2>
    <div class="keyrow six usual" role="group" aria-label="How many ${good.plural || good.name}">
      ${usual.map((count) => html`<button type="button" class="key" aria-pressed=${count === units} @click=${() => set(count)}>${count}</button>`)}
      <button type="button" class="key" aria-label="one less" ?disabled=${!units} @click=${() => set(units - 1)}>−</button>
      <button type="button" class="key" aria-label="one more" @click=${() => set(units + 1)}>+</button>
    </div>
    <div class="keyrow three">
      <button type="button" class="key tight" @click=${typed}>another number</button>
      <button type="button" class="key tight" @click=${more}>something else</button>
      <button type="button" class="key tight quiet" ?disabled=${!units} @click=${() => set(0)}>none of these</button>
    </div>`;
}

/**
 * The goods to choose from, with what they cost and how many are free.
 * @param {{view: View, pick: (good: string) => void, chosen: Set<string>, way: Order["way"], today: string}} keys
 */
export function goodsKeys({ view, pick, chosen, way, today }) {
  return html`
    <h2 class="where">What else?</h2>
    <div class="keyrow goods">
      ${goodsOffered(view).map(
        (good) => html`
        <button type="button" class="key left" aria-pressed=${chosen.has(good.id)} @click=${() => pick(good.id)}>
          <span>${nameSaid(good)}</span>
          <small>${priceSaid(priceOn(good, way, today))} · ${Math.max(0, view.free(good.id))} free</small></button>`,
      )}
    </div>`;
}

/** Post, pick up, or here now. @param {Order["way"]} way @param {(way: Order["way"]) => void} set @param {string | null} amends */
export function wayKeys(way, set, amends) {
  /** @type {[Order["way"], string, string][]} */
  const ways = [
    ["post", "by mail", ""],
    ["pick_up", "they pick it up", ""],
  ];
  if (!amends) ways.push(["walk_in", "here now", "a sale over the counter"]);
  return html`
    <h2 class="where">How does it get there?</h2>
    <div class="keylist">${ways.map(
      ([key, words, more]) => html`
      <button type="button" class="key" aria-pressed=${way === key} @click=${() => set(key)}>${words}${more ? html`<small>${more}</small>` : nothing}</button>`,
    )}
    </div>`;
}

/**
 * Days as words; under each what heat says of leaving then, as far as it is known.
 * @param {Pick<DeckNow, "draft" | "view" | "today" | "chosen" | "answer" | "take">} keys
 */
export function dayKeys({ draft, view, today, chosen, answer, take }) {
  const post = draft.way === "post";
  const days = post ? mailingDays(today, view.setting("posting_days", []), DAYS_SHOWN) : comingDays(today, [], DAYS_SHOWN);
  if (chosen && !days.includes(chosen)) days.push(chosen);
  return html`
    <h2 class="where">${post ? "Which mailing day?" : "Which day do they come?"}</h2>
    <div class="keyrow three" role="group" aria-label="Days">
      ${days.map(
        (day) => html`
        <button type="button" class="key tight" aria-pressed=${day === chosen} @click=${() => take({ leave_on: day, hold_for_cool: false })}>
          <span class="held">${daySaid(day, today)}</span><small>${verdictOn(day, draft, answer) || dayBelow(day, today)}</small></button>`,
      )}
    </div>
    ${
      post
        ? html`
      <div class="keyrow three" role="group" aria-label="Packing">
        ${
          /** @type {[Order["dressing"], string][]} */ (Object.entries(PACKINGS)).map(
            ([key, words]) => html`
          <button type="button" class="key tight" aria-pressed=${draft.dressing === key} @click=${() => take({ dressing: key })}>${words}</button>`,
          )
        }
      </div>
      <div class="keyrow two">
        <button type="button" class="key tight quiet" aria-pressed=${draft.hold_for_cool} @click=${() => take({ leave_on: null, hold_for_cool: !draft.hold_for_cool })}>wait for a cool spell</button>
        <button type="button" class="key tight quiet" aria-pressed=${draft.hold_at_counter} @click=${() => take({ hold_at_counter: !draft.hold_at_counter })}>held at the post office</button>
      </div>`
        : nothing
    }`;
}

/** @param {string} day @param {string} today */
const dayBelow = (day, today) =>
  day === today || day === dayAfter(today, 1) || !/\d/.test(daySaid(day, today)) ? dayShort(day).slice(4) : "";

/** @param {string} day @param {Composed} draft @param {CallAnswer | null} answer */
function verdictOn(day, { dressing, hold_at_counter: hold }, answer) {
  const row = answer?.days?.find(({ leave_on }) => leave_on === day);
  if (row?.closed) return "no mail";
  const cell = row?.cells?.find((found) => found.dressing === dressing && found.hold === hold);
  return !cell ? "" : cell.harmless ? "fine" : cell.chance_words;
}

/** How they pay. @param {Order["pays"] | null} pays @param {(pays: Order["pays"]) => void} set @param {boolean} walkIn */
export function payKeys(pays, set, walkIn) {
  /** @type {[Order["pays"], string][]} */
  const ways = walkIn
    ? [
        ["cash", "cash"],
        ["check", "check"],
        ["later", "owes it"],
      ]
    : [
        ["cash", "cash"],
        ["check", "check in the mail"],
        ["later", "later"],
        ["paid", "already paid"],
      ];
  return html`
    <h2 class="where">How do they pay?</h2>
    <div class="keyrow two">${ways.map(
      ([key, words]) => html`
      <button type="button" class="key" aria-pressed=${pays === key} @click=${() => set(key)}>${words}</button>`,
    )}
    </div>`;
}
