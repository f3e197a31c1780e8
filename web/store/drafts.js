/** @file From a draft to rows: pure building, no writing. Each function reads the view and leaves it as it is. */

import { copiedFrom, sentTo } from "./destination.js";
import { newId } from "./ids.js";
import { known, shareFor, today } from "./known.js";
import { badDraft } from "./trouble.js";
import { clean } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Units} Units */
/** @typedef {import('./shapes.d.ts').Draft} Draft */
/** @typedef {import('./shapes.d.ts').DraftPerson} DraftPerson */
/** @typedef {import('./shapes.d.ts').Order} Order */

const LINES_MAX = 40;
const PERSON_TEXTS = /** @type {const} */ (["name", "street", "unit", "city", "state", "zip", "note"]);

/**
 * The person row of a draft: nothing for somebody known and unchanged.
 * @param {DraftPerson | null | undefined} person
 * @param {string} new_id for somebody new
 * @returns {{id: string | null, rows: Row[]}}
 */
export function personRows(person, new_id) {
  if (!person) return { id: null, rows: [] };
  const known_person = person.id ? known.view.people.get(person.id) : undefined;
  /** @type {Record<string, any>} */
  const fields = {};
  for (const name of PERSON_TEXTS) if (person[name] !== undefined) fields[name] = clean(person[name], name === "note" ? 2000 : 200);
  if (person.phone !== undefined) fields.phone = person.phone.trim(); // as phones.js read it
  if (person.hidden !== undefined) fields.hidden = person.hidden;
  if (known_person) {
    const changed = Object.entries(fields).filter(([name, value]) => /** @type {any} */ (known_person)[name] !== value);
    const rows = changed.length ? [{ table: /** @type {const} */ ("person"), id: known_person.id, ...Object.fromEntries(changed) }] : [];
    return { id: known_person.id, rows };
  }
  if (!fields.name && !fields.phone) throw badDraft("person", "The person has neither a name nor a number.", "Say who it is for.");
  const empty = { name: "", phone: "", street: "", unit: "", city: "", state: "", zip: "", note: "", hidden: false };
  const id = person.id ?? new_id;
  return { id, rows: [{ table: "person", id, ...empty, ...fields }] };
}

/**
 * The lines of a draft, checked; what they cost is reckoned apart.
 * @param {Draft['lines']} lines
 */
export function checkedLines(lines) {
  const wanted = (lines ?? []).filter((line) => line.units !== 0);
  if (wanted.length === 0) throw badDraft("lines", "Nothing is wanted yet.", "Say what and how many.");
  if (wanted.length > LINES_MAX) throw badDraft("lines", `${wanted.length} lines are too many.`, `Split it: at most ${LINES_MAX}.`);
  return wanted.map((line) => {
    const { good, units } = line;
    const row = known.view.goods.get(good);
    if (!row) throw badDraft("lines", `There is no good called ${good}.`, "Choose one of what you sell.");
    if (!Number.isSafeInteger(units) || units < 1) {
      throw badDraft("units", `${units} ${row.plural || row.name} cannot be promised.`, "Say a whole number from 1.");
    }
    return line;
  });
}

/**
 * How many units of each line this device's share covers, in order of the lines; what other sentences hold is theirs.
 * @param {{good: string, units: number}[]} lines
 * @param {string | null} [sentence] the one that becomes this order
 * @returns {{units: number[], spent: Units}}
 */
export function fromShare(lines, sentence = null) {
  /** @type {Units} */
  const spent = {};
  const units = lines.map((line) => {
    const taken = Math.min(line.units, shareFor(line.good, sentence) - (spent[line.good] ?? 0));
    if (taken > 0) spent[line.good] = (spent[line.good] ?? 0) + taken;
    return Math.max(0, taken);
  });
  return { units, spent };
}

/**
 * Units by good, and what is missing of them.
 * @param {{good: string, units: number}[]} lines
 * @param {Units} sure
 */
export function missing(lines, sure) {
  /** @type {Units} */
  const waiting = {};
  for (const { good, units } of lines) waiting[good] = (waiting[good] ?? 0) + units;
  for (const good of Object.keys(waiting)) {
    waiting[good] -= sure[good] ?? 0;
    if (waiting[good] === 0) delete waiting[good];
  }
  return waiting;
}

/**
 * Movements that take units of a good off the shelf, oldest lot first unless the lots are named; what no lot covers leaves
 * without one.
 * @param {string} good
 * @param {number} units
 * @param {{lot: string | null, units: number}[] | undefined} lots
 * @param {Units} [taken] by `good lot`, what earlier rows of the same operation took already
 */
export function leaving(good, units, lots, taken = {}) {
  const named = lots?.reduce((sum, lot) => sum + lot.units, 0) ?? units;
  if (named !== units) throw badDraft("lots", `The lots named hold ${named}, but ${units} leave.`, "Name lots for all of them.");
  /** @type {{lot: string | null, units: number}[]} */
  const chosen = [];
  let left = units;
  for (const { lot, units: here } of lots ?? known.view.lotBalance(good)) {
    const key = `${good} ${lot ?? ""}`;
    const take = lots ? here : Math.min(left, Math.max(0, here - (taken[key] ?? 0)));
    if (take <= 0) continue;
    chosen.push({ lot, units: take });
    taken[key] = (taken[key] ?? 0) + take;
    left -= take;
  }
  if (left > 0) chosen.push({ lot: null, units: left });
  return chosen;
}

/**
 * What was read to the caller as sure must still be so when it is written: else nothing is written, and it is read again.
 * @param {Units | undefined} said
 * @param {Units} sure
 */
export function asWasSaid(said, sure) {
  for (const [good, units] of Object.entries(said ?? {})) {
    if ((sure[good] ?? 0) >= units) continue;
    const { name, plural } = known.view.goods.get(good) ?? { name: good, plural: good };
    throw badDraft(
      "sure",
      `Only ${sure[good] ?? 0} of ${units} ${units === 1 ? name : plural || name} are sure by now: another window or order took the rest.`,
      "Go back, look at it again and read it anew.",
    );
  }
}

/** @param {number} [ahead] */
export function nextNumber(ahead = 1) {
  return `${known.identity?.mark ?? "?"}-${known.head.orders + ahead}`;
}

/**
 * The order row of a new order.
 * @param {Draft} draft
 * @param {string} id
 * @param {string | null} person
 * @param {import('./shapes.d.ts').Reckoning} sums
 * @returns {Row}
 */
export function orderRow(draft, id, person, { tax_cents, tax_rate, tax_mailing }) {
  const day = draft.leave_on ?? null;
  if (day !== null && !/^\d{4}-\d\d-\d\d$/.test(day)) throw badDraft("leave_on", `"${day}" is not a day.`, "Choose a day.");
  return {
    table: "order",
    id,
    number: nextNumber(),
    person,
    way: draft.way ?? "pick_up",
    state: "promised",
    leave_on: day,
    dressing: draft.dressing ?? "plain",
    hold_for_cool: draft.hold_for_cool ?? false,
    pays: draft.pays ?? "later",
    posting_cents: whole("posting_cents", draft.posting_cents ?? 0),
    posting_by: draft.posting_by ?? "",
    tax_cents,
    tax_rate,
    tax_mailing,
    note: clean(draft.note),
    heat: clean(draft.heat),
    told: draft.told ?? {},
    hold_at_counter: draft.hold_at_counter ?? false,
    ...whereTo(draft, person),
    ...(draft.standing ? { standing: draft.standing, standing_on: draft.standing_on } : {}),
    ...(draft.free_for ? { replaces: draft.replaces ?? null, free_for: draft.free_for } : {}),
    taken_on: today(),
    gone_on: null,
  };
}

/**
 * Where a new order goes: as it was read, else a copy of its person's own address. Only what is mailed goes anywhere.
 * @param {Draft} draft
 * @param {string | null} person
 * @returns {Partial<Order>}
 */
function whereTo(draft, person) {
  const gift = draft.gift_note ? { gift_note: clean(draft.gift_note, 500) } : {};
  if ((draft.way ?? "pick_up") !== "post") return gift;
  if (draft.goes_to === undefined) return { ...copiedFrom({ ...known.view.people.get(person ?? ""), ...draft.person }), ...gift };
  const { to_name, to_street: street, to_unit: unit, to_city: city, to_state: state, to_zip: zip } = draft;
  return draft.goes_to ? { ...sentTo(draft.goes_to, clean(to_name, 200), { street, unit, city, state, zip }), ...gift } : gift;
}

/**
 * @param {Draft} draft
 * @param {string} order
 * @param {number} cents
 * @returns {Row[]}
 */
export function paymentRows(draft, order, cents) {
  if (whole("paid_cents", cents) === 0) return [];
  const how = draft.paid_how ?? (draft.pays === "check" ? "check" : "cash");
  const given = how === "cash" && (draft.given_cents ?? 0) > cents ? { given_cents: draft.given_cents } : {};
  return [{ table: "payment", id: newId(), order, cents, how, on: today(), note: "", ...given }];
}

/**
 * @param {string} field
 * @param {number} value
 */
export function whole(field, value) {
  if (!Number.isSafeInteger(value)) throw badDraft(field, `${field} is ${value}.`, "Give a whole number.");
  return value;
}
