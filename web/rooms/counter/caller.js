/** Who is on the line, at a glance, before anything is wanted: what is open, waits, is owed; the usual in one touch; more of an open order. */
import { html, nothing } from "lit";
import { dayShort, leavesSaid, listed, money, unitsSaid } from "../../parts/words.js";
import { placeOf } from "../../parts/route.js";
import { glanceOf } from "../../store/glance.js";
import { soldByFives } from "./decks.js";

/** @import { Now } from "./now.d.ts" */
/** @import { Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

const FIVE = 5;

/** Only while nothing is in the sentence but a caller of the book. @param {Pick<Now, "draft">} now */
const begins = ({ draft }) => draft.person && !draft.lines.length && !draft.amends && draft.way !== "walk_in";

/** @param {View} view @param {{good: string, units: number}[]} lines */
const goodsSaid = (view, lines) => listed(lines.map(({ good, units }) => unitsSaid(view.goods.get(good) ?? { name: good }, units)));

/**
 * What is known of them, under the sentence.
 * @param {Now} now @param {string} today @param {(order: string, good?: string, units?: number) => void} change
 */
export function callerRows(now, today, change) {
  const { draft, view } = now;
  if (!begins(now)) return nothing;
  const { open, waiting, owed_cents, back_cents, last } = glanceOf(view, draft.person ?? "");
  if (!open.length && !last && !owed_cents && !back_cents) return nothing;
  return html`<dl class="under" aria-label="What is known of them">
    ${open.map((order) => openRow(order, view, today, change))}
    ${waiting.length ? html`<div><dt>waits</dt><dd class="heed">${goodsSaid(view, waiting)}, from the next pour</dd></div>` : nothing}
    ${owed_cents ? html`<div><dt>owes</dt><dd><a href=${placeOf("book", "person", draft.person ?? "")}><strong>${money(owed_cents)}</strong></a> for what they have</dd></div>` : nothing}
    ${back_cents ? html`<div><dt>pay back</dt><dd><a class="heed" href=${placeOf("book", "person", draft.person ?? "")}>${money(back_cents)}</a></dd></div>` : nothing}
    ${last ? html`<div><dt>last time</dt><dd>${goodsSaid(view, view.linesOf(last.id))}, ${dayShort(last.gone_on ?? last.taken_on)}</dd></div>` : nothing}
  </dl>`;
}

/** @param {Order} order @param {View} view @param {string} today @param {(order: string, good?: string, units?: number) => void} change */
function openRow(order, view, today, change) {
  const lines = view.linesOf(order.id);
  const when = leavesSaid(order, today);
  const [line] = lines;
  const more = lines.length === 1 ? line.units + (soldByFives(view.goods.get(line.good)) ? FIVE : 1) : 0;
  return html`<div><dt>open</dt><dd><p><strong>${goodsSaid(view, lines)}</strong>${when} <span class="faint">${order.number}</span></p>
    <div class="keyrow two">
      ${more ? html`<button type="button" class="key tight" @click=${() => change(order.id, line.good, more)}>make it ${more}</button>` : nothing}
      <button type="button" class="key tight" @click=${() => change(order.id)}>change that order</button></div></dd></div>`;
}

/** What they usually take, in one touch, above the keys of what they may want. @param {Now} now */
export function usualKey(now) {
  const { draft, view, take } = now;
  const usual = begins(now) ? glanceOf(view, draft.person ?? "").usual : null;
  if (!usual) return nothing;
  return html`<button type="button" class="key" @click=${() => take({ lines: usual }, null)}>the usual<small>${goodsSaid(view, usual)}</small></button>`;
}
