import { html, nothing } from "lit";
import { addressSaid, daySaid, phoneSaid, unitsSaid } from "../../parts/words.js";
import { dayOf, personOf, receiverOf, sumsOf } from "./draft.js";
import { sumSaid } from "../../parts/sums.js";
import { mailingUnknown } from "../../parts/posting.js";
import { taxSaid } from "./prices-said.js";

/** @import { Composed, Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** A piece of the sentence: words, or a blank to touch; `open`: nothing is in it yet, `still`: it is not touched. */
/** @typedef {string | {blank: string, words: string, open?: boolean, still?: boolean}} Piece */

/** @type {Record<Order["pays"], string>} */
const PAYS = { cash: "in cash", check: "by check", later: "later", paid: "already" };
const STOPS = /^[,.]/; // a comma stays with the blank before it: none stands at the head of a line
const WORDY = 92;
const LONG = 4;
const VERY_LONG = 9;

/**
 * The order as pieces of one sentence: text, or a blank `{blank, words, open}`; open means nothing is in it yet.
 * The same pieces are touched on the Counter and read aloud to the caller.
 * @param {Composed} draft
 * @param {View} view
 * @param {string} today
 * @returns {Piece[]}
 */
export function piecesOf(draft, view, today) {
  const goods = goodsPieces(draft, view);
  const [parts, sum] = owedSaid(draft, view);
  const owes = {
    blank: "owes",
    words: `${sum}${(draft.posting_open && draft.way === "post") || mailingUnknown(draft) ? " plus mailing" : ""}`,
  };
  const pays = { blank: "pays", words: draft.pays ? PAYS[draft.pays] : "how?", open: !draft.pays };
  if (draft.way === "walk_in") {
    const who = { blank: "who", words: personOf(draft, view)?.name ?? "Someone" };
    const how = draft.pays ? pays : { blank: "pays", words: "in cash" };
    /** @type {Piece[]} */
    const paying =
      draft.pays === "later"
        ? [" and owes ", { ...owes, still: true }, taxSaid(draft, view) || ",", " to pay "]
        : [" and pays ", { ...owes, still: true }, taxSaid(draft, view), " "];
    return [who, " ", { blank: "way", words: "here now" }, " takes ", ...goods, ...paying, how, "."];
  }
  const name = personOf(draft, view)?.name;
  const who = { blank: "who", words: name || "Who?", open: !name, still: Boolean(draft.amends) };
  return [
    who,
    draft.amends ? " now wants " : " wants ",
    ...goods,
    ...wayPieces(draft, view, today),
    `. They owe ${parts}`,
    owes,
    taxSaid(draft, view),
    " and pay ",
    pays,
    ".",
  ];
}

/**
 * "$15.00 and $12.40 mailing: " and "$27.40": what it is made of, and what is touched; the tax is said behind it.
 * @param {Composed} draft
 * @param {View} view
 */
function owedSaid(draft, view) {
  const { posting_cents, total_cents } = sumsOf(draft, view);
  const said = sumSaid({ goods_cents: total_cents - posting_cents, posting_cents });
  const end = said.lastIndexOf(" ") + 1;
  return [said.slice(0, end), said.slice(end)];
}

/** @param {Composed} draft @param {View} view @returns {Piece[]} */
function goodsPieces(draft, view) {
  if (!draft.lines.length) return [{ blank: "what", words: "what?", open: true }];
  const blanks = draft.lines.map(({ good, units }) => ({
    blank: `line:${good}`,
    words: unitsSaid(view.goods.get(good) ?? { name: good }, units),
  }));
  return blanks.flatMap((blank, place) => {
    if (!place) return [blank];
    return [place === blanks.length - 1 ? " and " : ", ", blank];
  });
}

/** @param {Composed} draft @param {View} view @param {string} today @returns {Piece[]} */
function wayPieces(draft, view, today) {
  const day = dayOf(draft, view, today);
  const when =
    draft.hold_for_cool && !draft.leave_on
      ? "when it is cool"
      : draft.ask_state && !draft.leave_on
        ? "when our state allows it"
        : day
          ? daySaid(day, today)
          : "";
  if (draft.way === "pick_up") {
    return [", to ", { blank: "way", words: "pick up" }, " ", { blank: "day", words: when || "which day?", open: !when }];
  }
  const { city, state } = receiverOf(draft, view);
  const place = city && state && (draft.address || draft.goes?.goes_to === "other") ? `${city} ${state}` : city;
  const known = place && draft.goes?.to_name ? `${draft.goes.to_name}, ${place}` : place;
  return [
    ", by ",
    { blank: "way", words: "mail" },
    " to ",
    { blank: "where", words: known || "where?", open: !known },
    draft.hold_at_counter ? ", held at the post office there, leaving " : ", leaving ",
    { blank: "day", words: when || "which day?", open: !when },
  ];
}

/** More letters than a phone shows in large type beside all else that counts. @param {Piece[]} pieces */
const wordy = (pieces) => pieces.reduce((sum, piece) => sum + (typeof piece === "string" ? piece : piece.words).length, 0) > WORDY;

/** How long the sentence is, so that forty lines stay as readable as two. @param {Composed} draft */
const long = (draft) => draft.lines.length >= LONG;
/** @param {Composed} draft */
const veryLong = (draft) => draft.lines.length >= VERY_LONG;

/**
 * The sentence with its blanks to touch.
 * @param {string | null} opened the blank whose keys are open
 * @param {(blank: string) => void} touch
 * @param {Composed} draft
 * @param {View} view
 * @param {string} today
 */
export function sentenceToTouch(draft, view, today, opened, touch) {
  const pieces = piecesOf(draft, view, today);
  return html`<p class="sentence" ?data-wordy=${wordy(pieces)} ?data-long=${long(draft)} ?data-very-long=${veryLong(draft)}>${pieces.map(
    (piece, place) => {
      if (typeof piece === "string") return typeof pieces[place - 1] === "object" ? piece.replace(STOPS, "") : piece;
      const stop = String(pieces[place + 1] ?? "").match(STOPS)?.[0] ?? "";
      if (piece.still) return html`<strong>${piece.words}</strong>${stop}`;
      return html`<span class="held"><button type="button" class="blank" data-blank=${piece.blank} ?data-open=${piece.open ?? false}
      aria-expanded=${piece.blank === opened} @click=${() => touch(piece.blank)}>${piece.words}</button>${stop}</span>`;
    },
  )}</p>`;
}

/**
 * The sentence alone, large, as it is read back: with the number in groups and the whole address.
 * @param {Composed} draft
 * @param {View} view
 * @param {string} today
 */
export function sentenceAloud(draft, view, today) {
  const person = personOf(draft, view);
  const number = person?.phone && draft.way !== "walk_in" ? html`, at <span class="held">${phoneSaid(person.phone)}</span>,` : "";
  const address = [draft.goes?.to_name, addressSaid(receiverOf(draft, view))].filter(Boolean).join(", ");
  return html`<p class="sentence aloud" ?data-long=${long(draft)} ?data-very-long=${veryLong(draft)}>${piecesOf(draft, view, today).map(
    (piece) => {
      if (typeof piece === "string") return piece;
      if (piece.blank === "who") return html`<strong>${piece.words}</strong>${number}`;
      if (piece.blank === "where") return html`<strong>${address || piece.words}</strong>`;
      if (piece.blank === "pays" && piece.open) return html`<strong>later</strong>`;
      return html`<strong>${piece.words}</strong>`;
    },
  )}</p>${draft.note ? html`<p class="faint">${draft.note}</p>` : nothing}${draft.way === "post" && draft.gift_note ? html`<p class="faint">With it goes: “${draft.gift_note}”</p>` : nothing}`;
}
