/** The sentence as it stood when it was touched to be read: what is spoken, shown and written from then on. Nothing that comes later changes it. */
import { html, nothing } from "lit";
import { verdictSaid } from "../../parts/heat-words.js";
import { babies, hasHoney } from "../../parts/safety.js";
import { listed, unitsSaid } from "../../parts/words.js";
import { asActed, totalOf } from "./draft.js";
import { mailingSaid, mailingUnknown, postingChanged } from "../../parts/posting.js";
import { sentenceAloud } from "./sentence.js";
import { surenessOf } from "../../store/sureness.js";

/** @import { CallAnswer } from "../../kernel/answers.d.ts" */
/** @import { Call } from "../../parts/call-answer.js" */
/** @import { Now } from "./now.d.ts" */
/** @import { Composed } from "../../store/shapes.d.ts" */
/** @import { Sureness } from "../../store/sureness.js" */
/** @import { View } from "../../store/view.js" */

/** @typedef {ReturnType<typeof freeze>} Frozen */

export const NOT_KNOWN = "not known when promised";
const HEAT_MOST = 200;

/** What an order by mail still waits to be told, in the words of the key. @param {Call} call @returns {string} */
export function stillOut(call) {
  if (!call.waits) return "";
  return call.answer?.parcel ? "heat" : "the carton and heat";
}

/** What an order by mail is read without, whether its answer is still out or cannot be had now. @param {Call} call */
const unheard = ({ answer }) => (answer?.heat ? "" : answer?.parcel ? "heat" : "the carton and heat");

/**
 * @param {Pick<Now, "draft" | "view" | "share" | "call"> & {today: string}} now
 * @param {string | null} sentence its id
 */
export function freeze({ draft: live, view, today, share, call }, sentence) {
  const draft = structuredClone(live);
  const answer = draft.way === "post" ? structuredClone(call.answer) : null;
  const found = draft.lines.map((line) => surenessOf(line, draft, view, share(line.good)));
  const heat = heatWords(draft, answer);
  const acted = {
    ...asActed(draft, view, today, heat, answer?.told ?? {}),
    sentence: sentence ?? undefined,
    said_sure: sureUnits(draft, found),
  };
  return deeply({
    id: sentence,
    draft,
    acted,
    heat: answer?.heat ?? null,
    parcel: answer?.parcel ?? null,
    without: draft.way === "post" ? unheard(call) : "",
    total_cents: totalOf(draft, view),
    aloud: sentenceAloud(draft, view, today),
    rest: waitingSaid(draft, found, view),
    honey: hasHoney(draft, view),
    posting: mailingUnknown(draft) ? mailingSaid(draft) : postingChanged(draft),
  });
}

/** One sentence for the order's own record of what the caller was told. @param {Composed} draft @param {CallAnswer | null} answer */
function heatWords(draft, answer) {
  if (draft.way !== "post") return "";
  const { heat } = answer ?? {};
  return heat ? [verdictSaid(heat), heat.chance_words, heat.when_words].filter(Boolean).join(", ").slice(0, HEAT_MOST) : NOT_KNOWN;
}

/** @param {Composed} draft @param {Sureness[]} found */
const sureUnits = (draft, found) => (draft.way === "walk_in" ? {} : Object.fromEntries(found.map(({ good, sure }) => [good, sure])));

/** @param {Composed} draft @param {Sureness[]} found @param {View} view */
function waitingSaid(draft, found, view) {
  const rest = draft.way === "walk_in" ? [] : found.filter((one) => one.rest);
  return {
    words: listed(rest.map((one) => unitsSaid(view.goods.get(one.good) ?? { name: one.good }, one.rest))),
    one: rest.length === 1 && rest[0].rest === 1,
  };
}

/** What the caller must hear before they agree. @param {Frozen} frozen */
export function toTell({ posting, rest, heat, without, honey }) {
  return html`
    ${posting === nothing ? nothing : html`<p class="tell">${posting}</p>`}
    ${rest.words ? html`<p class="tell">Of these, <strong>${rest.words}</strong> ${rest.one ? "waits" : "wait"} for the next pour. We call when they are here.</p>` : nothing}
    ${heat && !heat.harmless ? html`<p class="tell">On the way <strong>${verdictSaid(heat)}</strong>${heat.chance_words ? `, ${heat.chance_words}` : ""}.</p>` : nothing}
    ${honey ? html`<p class="tell">${babies()}</p>` : nothing}
    ${without ? html`<p class="tell">Read without ${without}: not known yet.</p>` : nothing}`;
}

/**
 * Plain data is frozen to the bottom; what lit made of it is a picture already.
 * @template {object} T
 * @param {T} frozen
 */
function deeply(frozen) {
  /** @param {unknown} value */
  const still = (value) => {
    if (value && typeof value === "object" && !Object.isFrozen(value)) {
      Object.freeze(value);
      Object.values(value).forEach(still);
    }
    return value;
  };
  for (const name of ["draft", "acted", "heat", "parcel", "rest"]) still(/** @type {Record<string, unknown>} */ (frozen)[name]);
  return Object.freeze(frozen);
}
