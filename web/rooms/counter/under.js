import { html, nothing } from "lit";
import { addressSaid, capital, listed, money, unitsSaid } from "../../parts/words.js";
import "../../parts/heat-pictures.js";
import { verdictSaid } from "../../parts/heat-words.js";
import { hasAddress, sentTo } from "../../store/destination.js";
import { house } from "../../store/house.js";
import { babies, hasHoney } from "../../parts/safety.js";
import { mailingUnknown, postingSaid } from "../../parts/posting.js";
import { whyNotSaid } from "../../parts/why-not.js";
import { priceRows } from "./prices-said.js";
import { waitKey } from "./tiles.js";
import { surenessOf, whoseItMayBe } from "../../store/sureness.js";

/** @import { Advice } from "../../kernel/answers.d.ts" */
/** @import { Call } from "../../parts/call-answer.js" */
/** @import { Drawn } from "../../parts/events.d.ts" */
/** @import { Now } from "./now.d.ts" */
/** @import { ComposedLine, Good } from "../../store/shapes.d.ts" */
/** @import { Sureness } from "../../store/sureness.js" */

/** What stands under the sentence while the caller is still on the line. @param {Now} now */
export function underSentence(now) {
  const { draft, call, person } = now;
  const posts = draft.way === "post" && draft.lines.length > 0;
  return html`<dl class="under" aria-label="What is known so far">
    ${sureLines(now)}
    ${priceRows(now, house.today())}
    ${posts ? honeyOff(now, call) : nothing}
    ${posts ? parcelLine(now) : nothing}
    ${posts ? heatLine(now, call) : nothing}
    ${toLine(now)}
    ${person?.note ? row("note", person.note) : nothing}
    ${posts ? (call.answer?.cautions ?? []).map((caution) => row("careful", caution)) : nothing}
    ${hasHoney(draft, now.view) && !(posts && call.answer?.cautions.some((one) => one.includes("12 months"))) ? row("careful", babies()) : nothing}
  </dl>`;
}

/** Where it goes: for this order alone, to their own address, or still to the one they had. @param {Now} now */
function toLine({ draft, person, receiver, take }) {
  if (draft.way !== "post" || !hasAddress(receiver)) return nothing;
  const { goes } = draft;
  const alone = goes?.goes_to === "other" ? html` <span class="faint">for this order only</span>` : nothing;
  const moved = goes?.goes_to === "own" && person && hasAddress(person) && addressSaid(person) !== addressSaid(receiver);
  const asks = moved
    ? html`<p><span class="heed">They live at ${addressSaid(person)} now.</span></p>
      <div class="keyrow"><button type="button" class="key" @click=${() => take({ goes: goes.to_name ? sentTo("own", goes.to_name, person) : null })}>use the new address</button></div>`
    : nothing;
  return row(
    "to",
    html`<p>${goes?.to_name ? html`<strong>${goes.to_name}</strong>, ` : nothing}${addressSaid(receiver)}${alone}</p>
    ${draft.gift_note ? html`<p class="faint">“${draft.gift_note}”</p>` : nothing}${asks}`,
  );
}

/** @param {string} word @param {Drawn} meaning */
const row = (word, meaning) => html`<div class=${word === "heat" ? "whole" : ""}><dt>${word}</dt><dd>${meaning}</dd></div>`;

/** When all of it is sure, one line says so; else each good has its own, and heat waits its turn below. @param {Now} now */
function sureLines(now) {
  const { draft, view } = now;
  const found = draft.lines.map((line) => surenessOf(line, draft, view, now.share(line.good)));
  if (found.length < 2 || found.some(({ rest }) => rest)) return draft.lines.map((line) => sureLine(line, now));
  const spare = found.filter((one) => one.spare > 0).map((one) => unitsSaid(view.goods.get(one.good) ?? { name: one.good }, one.spare));
  return row(
    "sure",
    html`<strong>All of it.</strong> ${spare.length ? `Without signal, then still ${listed(spare)}.` : "No more without signal."}`,
  );
}

/** @param {Partial<Good> & {name: string}} good */
const shortOf = (good) => good.short || good.plural || good.name;

/** @param {ComposedLine} line @param {Now} now */
function sureLine(line, now) {
  const good = now.view.goods.get(line.good) ?? { name: line.good };
  const found = surenessOf(line, now.draft, now.view, now.share(line.good));
  const word = shortOf(good);
  if (!found.rest) return row(word, html`<strong>Sure.</strong> ${spareSaid(found)}`);
  if (now.asking.has(line.good)) return row(word, html`${found.sure} sure, asking for ${found.rest} more …`);
  return row(word, now.draft.way === "walk_in" ? beyondShare(found, now) : restWaits(found, now));
}

/** @param {Sureness} sureness */
function spareSaid({ kept, wanted, spare }) {
  if (kept >= wanted && kept) return "Set aside already.";
  return spare > 0
    ? `${spare} more ${spare === 1 ? "is" : "are"} sure without signal.`
    : "That is all this device may promise without signal.";
}

/**
 * A call: so many are sure, the rest is asked for or waits for the next pour.
 * @param {Sureness} found
 * @param {Now} now
 */
function restWaits(found, now) {
  const { sure, rest } = found;
  const why = now.signal ? "the main computer has no more free" : "no signal to ask for more";
  return html`
    <p><strong>${sure ? `${sure} sure` : "None sure"}</strong>, <span class="heed">${rest} ${now.signal ? "must wait" : "not certain yet"}</span>: ${why}.</p>`;
}

/**
 * A walk-in: more than is sure here, though it lies on the shelf. Whose it may be is said; the keeper decides.
 * @param {Sureness} sureness
 * @param {Now} now
 */
function beyondShare({ good, rest, sure }, now) {
  const lie = now.view.onHand(good);
  const named = whoseItMayBe(good, Math.max(0, rest - Math.max(0, now.view.free(good) - sure)), now.view);
  return html`
    <p><strong>${sure ? `${sure} free here` : "None free here"}</strong>, <span class="heed">${rest} more may be spoken for</span>${
      named.length ? html`: ${listed(named.map(({ name, units }) => `${units} of ${name}`))}` : nothing
    }.
      ${lie} ${lie === 1 ? "is" : "are"} on the shelf by the book.</p>`;
}

/**
 * Not all of a line is sure: the keeper says how many, among the keys.
 * @param {ComposedLine} line
 * @param {Now} now
 */
export function choiceKeys(line, now) {
  const { good, sure, rest, wanted } = surenessOf(line, now.draft, now.view, now.share(line.good));
  const here = now.draft.way === "walk_in";
  return html`<div class="keyrow choice" role="group" aria-label="Not all of it is sure">
      ${sure ? html`<button type="button" class="key" @click=${() => now.settle(good, sure)}>${here ? "sell" : "take"} ${sure}</button>` : nothing}
      <button type="button" class="key" aria-pressed=${Boolean(line.settled)} @click=${() => now.settle(good, wanted)}>
        ${here ? `sell ${wanted} all the same` : `take ${wanted}, ${rest} waiting`}</button>
      <button type="button" class="key quiet" @click=${() => now.goWithout(good, wanted)}>they go without</button>
    </div>`;
}

/** What the table cannot say is typed: the carrier's own counter or chart knows it. @param {Now["take"]} take */
const typeKey = (take) =>
  html`<div class="keyrow"><button type="button" class="key" @click=${() => take({}, "owes")}>type the price of mailing</button></div>`;

/** @param {Now} now */
function parcelLine({ draft, receiver, call, take }) {
  if (call.state === "working") return row("parcel", html`<span class="faint">choosing the carton …</span>`);
  if (!call.answer) return row("parcel", notKnown(call));
  const { parcel } = call.answer;
  if (!parcel) return nothing;
  const words = parcel.ok ? parcel.words : html`<span class="heed">${capital(parcel.words)}.</span>`;
  const posting = postingSaid(draft, receiver, parcel);
  if (!parcel.ok)
    return row(
      "parcel",
      html`<p>${words}</p>${whyNotSaid(parcel.why_not)}${mailingUnknown(draft) ? html`<p class="heed">Price of mailing not known.</p>${typeKey(take)}` : nothing}`,
    );
  if (mailingUnknown(draft)) return row("parcel", html`<p>${words}</p><p class="heed">${posting}</p>${typeKey(take)}`);
  return row("parcel", posting ? html`<p>${words}</p><p class="faint">${posting}</p>` : words);
}

/** Honey by post before the state was asked: said plainly, and never held up by it. @param {Now} now @param {Call} call */
function honeyOff(now, { answer }) {
  if (!answer?.posting_off) return nothing;
  return row("honey", html`<p><span class="heed">${answer.posting_off}</span></p>${now.draft.ask_state ? honeyKeys(now) : nothing}`);
}

/** Honey that may not go by post yet: it is picked up, or the order waits. Among the keys until one is chosen. @param {Now} now */
export const honeyKeys = ({ draft, take }) => html`<div class="keyrow two" role="group" aria-label="Mailing honey is off">
    <button type="button" class="key" @click=${() => take({ way: "pick_up", ask_state: false })}>they pick it up</button>
    <button type="button" class="key" aria-pressed=${draft.ask_state} @click=${() => take({ ask_state: !draft.ask_state, leave_on: null })}>it waits until I asked</button>
  </div>`;

/** @param {Now} now @param {Call} call */
function heatLine(now, call) {
  if (call.state === "working" || call.state === "half")
    return row("heat", html`<span class="faint">checking the weather along the way …</span>`);
  if (call.state === "unknown") return row("heat", "Not known yet; it is asked again. Decide before it leaves.");
  if (call.state === "refused") return call.answer ? row("heat", html`<span class="heed">${call.why}</span>`) : nothing;
  const { heat, advice, unknown = [], half, basis } = call.answer ?? {};
  if (!heat) return unknown.length ? row("heat", html`<p class="faint">${unknown.join(" ")}</p>`) : nothing;
  const verdict = html`<span class=${heat.harmless ? "" : "heed"}><strong>${capital(verdictSaid(heat))}</strong></span>`;
  return row(
    "heat",
    html`
    <p>${heat.harmless ? html`${verdict}: ${heat.chance_words} of harm.` : html`${verdict}, ${heat.chance_words}${heat.when_words ? ` (${heat.when_words})` : ""}.`}${heat.hold ? " Held at the post office counter." : ""}</p>
    ${basis ? html`<p class="faint">By the ${basis}.</p>` : nothing}
    ${heat.harmless ? nothing : half ? html`<p class="faint">comparing days and packings …</p>` : advice ? adviceMore(now, advice) : nothing}
    ${half ? nothing : html`<heat-pictures .request=${call.asked} .who=${now.receiver.name}></heat-pictures>`}`,
  );
}

/** What the remedy above adds, and the other way out of it. @param {Now} now @param {Advice} advice */
const adviceMore = (now, advice) => html`
    <p>${capital(advice.words)}${advice.adds ? `: ${advice.adds}` : ""}${advice.extra_cents > 0 ? `, ${money(advice.extra_cents)} more` : ""}.</p>
    <div class="keyrow">${waitKey(now)}</div>`;

/** @param {Call} call */
const notKnown = (call) =>
  call.state === "refused"
    ? html`<span class="heed">${call.why}</span>`
    : html`Not known yet: ${call.why} The order can be taken all the same.`;
