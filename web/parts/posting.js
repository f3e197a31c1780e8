/** What posting costs on the Counter: the house's table as long as nobody typed another figure, and what becomes of it when an order is changed. */
import { html, nothing } from "lit";
import { money } from "./words.js";

/** @import { Posting } from "../kernel/answers.d.ts" */
/** @import { Address, Composed, Order } from "../store/shapes.d.ts" */

/**
 * A figure somebody typed stays; one written before it was noted whose it is counts as typed.
 * @param {Pick<Order, "posting_by" | "posting_cents">} order
 */
export const typedByHand = ({ posting_by: by = "", posting_cents: cents }) => by === "hand" || (by === "" && cents > 0);

/**
 * What a price hangs on: with the same of all this a changed order keeps the price that was told.
 * @param {Pick<Composed, "lines" | "way" | "dressing">} draft
 * @param {Partial<Address> | null} person
 */
const hangsOn = ({ lines, way, dressing }, person) =>
  JSON.stringify([lines.map(({ good, units }) => `${good} ${units}`).sort(), way, dressing, person?.zip ?? ""]);

/** What stands for the parcel's price where neither this device nor the house can reckon now. */
export const NOT_WORKED_OUT = {
  posting_cents: null,
  posting_words: "price of mailing not known",
  posting_unknown: "it cannot be worked out without signal now",
};

/** How the order being changed was priced before. @param {Composed} draft @param {Partial<Address> | null} person */
export const pricedBefore = (draft, person) => ({ cents: draft.posting_cents, by: draft.posting_by, hangsOn: hangsOn(draft, person) });

/**
 * The draft's posting by the table, or null when nothing changes. An order being changed is priced anew only when goods, place, way or
 * dressing are others than before; where the table says nothing of it, its price stays.
 * @param {Composed} draft
 * @param {Partial<Address> | null} person
 * @param {Posting | undefined} parcel
 */
export function postingNow(draft, person, parcel) {
  if (!parcel || draft.posting_typed || draft.way !== "post") return null;
  const before = draft.amends ? draft.before : null;
  const kept = before && (before.hangsOn === hangsOn(draft, person) || parcel.posting_cents === null || parcel.posting_cents === undefined);
  const cents = kept ? before.cents : (parcel.posting_cents ?? 0); // a new call: a figure for another address or carton must not stay
  const by = kept ? before.by : cents ? "table" : "";
  return changed(draft, {
    posting_cents: cents,
    posting_by: by,
    priced_for: hangsOn(draft, person),
    posting_open: false,
    posting_unknown: kept ? "" : (parcel.posting_unknown ?? ""),
  });
}

/**
 * Why nobody knows yet what mailing costs: as the table or the ZIP is missing; "" when it is known, typed, or nothing is mailed.
 * @param {Composed} draft
 */
export const mailingUnknown = ({ way, posting_typed: typed, posting_by: by, posting_unknown: why }) =>
  way === "post" && !typed && !by ? why : "";

/** What the caller must hear before they agree to a sum that is not whole. @param {Composed} draft */
export function mailingSaid(draft) {
  const why = mailingUnknown(draft);
  return why ? html`The price of mailing is <strong>not known</strong> yet: ${why}. It comes on top.` : nothing;
}

/**
 * While the table is asked: a price for other goods, another place or dressing is no price of this order. One that was told for the order
 * being changed stays until another is known.
 * @param {Composed} draft
 * @param {Partial<Address> | null} person
 * @param {boolean} hasTable
 */
export function postingMeanwhile(draft, person, hasTable) {
  if (draft.posting_typed || draft.way !== "post" || draft.priced_for === hangsOn(draft, person)) return null;
  const { cents = 0, by = "" } = (draft.amends ? draft.before : null) ?? {};
  const open = hasTable && draft.lines.length > 0 && draft.before?.hangsOn !== hangsOn(draft, person);
  return changed(draft, { posting_cents: cents, posting_by: by, priced_for: null, posting_open: open, posting_unknown: "" });
}

/** @param {Composed} draft @param {Partial<Composed>} fields */
const changed = (draft, fields) => {
  const names = /** @type {(keyof Composed)[]} */ (Object.keys(fields));
  return names.every((name) => (draft[name] ?? null) === fields[name]) ? null : fields;
};

/**
 * "posting $7.00 → $9.50 by your table (zone 2 by distance)", or that it stays and why.
 * @param {Composed} draft
 * @param {Partial<Address> | null} person
 * @param {Posting} parcel
 * @returns {string}
 */
export function postingSaid(draft, person, parcel) {
  const { before } = draft,
    words = parcel.posting_words ?? "";
  if (!draft.amends || !before || before.hangsOn === hangsOn(draft, person)) return words;
  const was = money(before.cents);
  if (draft.posting_typed) {
    const by_table = parcel.posting_cents ?? 0;
    const table = by_table > 0 && by_table !== draft.posting_cents ? `; your table says ${money(by_table)}` : "";
    return draft.posting_cents ? `mailing stays ${money(draft.posting_cents)}, typed by hand${table}` : words;
  }
  if (draft.posting_cents !== before.cents) return words.replace(/^mailing /, `mailing ${was} → `);
  return before.cents ? `mailing stays ${was}${parcel.posting_cents ? "" : `: ${words || "there is no price table now"}`}` : words;
}

/** What the caller must hear, and what is said after: posting is another than they were told. @param {Composed} draft */
export function postingChanged({ amends, before, way, posting_cents: cents }) {
  if (!amends || !before || way !== "post" || before.cents === cents) return nothing;
  return html`Mailing was ${money(before.cents)}; it is <strong>${money(cents)}</strong> now.`;
}
