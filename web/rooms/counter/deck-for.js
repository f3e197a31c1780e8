import { html, nothing } from "lit";
import { amountKeys, dayKeys, goodsKeys, goodsOffered, payKeys, wayKeys } from "./decks.js";
import { toldOf } from "../../store/reckon.js";
import { usualKey } from "./caller.js";
import { totalOf, withUnits } from "./draft.js";
import { handedOver } from "../../parts/sums.js";
import { money } from "../../parts/words.js";
import { nothingSold } from "../../parts/nothing-sold.js";
import "./deck-number.js";
import "./deck-where.js";
import "./deck-who.js";

/** @import { Told } from "../../parts/events.d.ts" */
/** @import { DeckNow, Take } from "./now.d.ts" */
/** @import { Order } from "../../store/shapes.d.ts" */

const CENTS = 100;

/** The large keys of the blank that is open. @param {string | null} opened @param {DeckNow} now */
export function deckFor(opened, now) {
  const { draft, view, take } = now;
  const [kind, good] = (opened ?? "").split(":");
  switch (kind) {
    case "who":
      return html`<deck-who .person=${now.person} .walkIn=${draft.way === "walk_in"} @take=${(/** @type {Told<Take>} */ { detail }) => take(detail.change, detail.next)}></deck-who>${atTheDoor(now)}`;
    case "what":
      return html`${usualKey(now)}${amounts(goodsOffered(view)[0]?.id, now)}`;
    case "line":
      return amounts(good, now);
    case "more":
      return goodsKeys({
        view,
        way: draft.way,
        today: now.today,
        chosen: new Set(draft.lines.map((line) => line.good)),
        pick: (id) => take({}, `line:${id}`),
      });
    case "number":
      return html`<deck-number .heading=${`How many ${view.goods.get(good)?.plural ?? good}?`} @take=${(/** @type {Told<number>} */ { detail }) => take({ lines: withUnits(draft, good, detail).lines }, `line:${good}`)}></deck-number>`;
    case "way":
      return wayKeys(
        draft.way,
        (/** @type {Order["way"]} */ way) => take({ way, hold_for_cool: false }, way === "walk_in" ? "what" : "day"),
        now.amends,
      );
    case "where":
      return html`<deck-where .person=${now.person} .draft=${draft} @take=${(/** @type {Told<Take>} */ { detail }) => take(detail.change, detail.next)}></deck-where>`;
    case "day":
      return dayKeys({ draft, view, today: now.today, chosen: now.chosen, answer: now.answer, take: (change) => take(change) });
    case "owes":
      return html`<deck-number point .heading=${"Mailing, in dollars"} .done=${"add it"} .start=${draft.posting_cents ? (draft.posting_cents / CENTS).toFixed(2) : ""}
        @take=${(/** @type {Told<number>} */ { detail }) => take({ posting_cents: Math.round(detail * CENTS), posting_typed: true, posting_by: "hand" }, null)}></deck-number>`;
    case "pays":
      return html`${payKeys(draft.pays, (/** @type {Order["pays"]} */ pays) => take({ pays, given_cents: null }, null), draft.way === "walk_in")}${changeKeys(now)}`;
    default:
      return closed(now);
  }
}

/** A walk-in's bill, touched: what goes back is said before and after. @param {DeckNow} now */
function changeKeys({ draft, view, take }) {
  const total = totalOf(draft, view);
  if (draft.way !== "walk_in" || !total) return nothing;
  return html`<h2 class="where">or the bill they hand over</h2>
    <div class="keyrow three" role="group" aria-label="What they hand over">${handedOver(total).map(
      (given) => html`
      <button type="button" class="key tight" aria-pressed=${draft.given_cents === given} @click=${() => take({ pays: "cash", given_cents: given }, null)}>${money(given)}<small>${money(given - total)} back</small></button>`,
    )}</div>`;
}

/** @param {string} id @param {DeckNow} now */
function amounts(id, { draft, view, take }) {
  const good = view.goods.get(id);
  if (!good) return nothingSold();
  const units = draft.lines.find((line) => line.good === id)?.units ?? 0;
  return amountKeys({
    good,
    units,
    price: toldOf({ good: id, units }, draft.way, draft.amends),
    set: (count) => take({ lines: withUnits(draft, id, count).lines }, count ? `line:${id}` : "more"),
    more: () => take({}, "more"),
    typed: () => take({}, `number:${id}`),
  });
}

/** Someone stands at the door: one touch from an empty sentence. @param {DeckNow} now */
function atTheDoor({ draft, take }) {
  if (draft.way === "walk_in" || draft.person || draft.fresh || draft.lines.length) return nothing;
  return html`<button type="button" class="key" @click=${() => take({ way: "walk_in" }, "what")}>someone is here now</button>`;
}

/** No blank is open: what one may add, and the way to begin anew. @param {DeckNow} now */
function closed({ draft, take, clear, park }) {
  return html`<div class="keyrow three">
    <button type="button" class="key tight" @click=${() => take({}, "more")}>something else</button>
    <button type="button" class="key tight" @click=${park}>another call<small>this one on hold</small></button>
    <button type="button" class="key tight undo" @click=${clear}>${draft.amends ? "leave it as it was" : "start over"}</button>
  </div>`;
}
