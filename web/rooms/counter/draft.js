/**
 * The order being taken, before it is one; the store keeps it at every change (store/sentences.js).
 *
 * @typedef {{good: string, units: number, settled?: boolean}} DraftLine settled: the keeper chose to let the rest wait, or to sell all the same
 * @typedef {{name: string, phone: string, street: string, unit: string, city: string, state: string, zip: string}} Fresh
 * @typedef {{amends: string | null, person: string | null, fresh: Fresh | null, address: Partial<Fresh> | null, lines: DraftLine[],
 *   posting_unknown: string, posting_typed: boolean, posting_by: "" | "table" | "hand", priced_for: string | null, posting_open: boolean, before: object | null, way: "post" | "pick_up" | "walk_in", leave_on: string | null, pays: string | null, posting_cents: number, dressing: string,
 *   hold_for_cool: boolean, hold_at_counter: boolean, ask_state: boolean, note: string, started: number | null}} Draft
 */
import { comingDays } from "../../parts/words.js";
import { reckon } from "../../store/reckon.js";
import { pricedBefore, typedByHand } from "../../parts/posting.js";

const ASK_STATE = "ask our state before this honey is posted";

/** @returns {Draft} */
export const emptyDraft = () => ({
  amends: null,
  person: null,
  fresh: null,
  address: null,
  lines: [],
  way: "post",
  leave_on: null,
  pays: null,
  posting_cents: 0,
  posting_by: "",
  posting_unknown: "",
  posting_typed: false,
  priced_for: null,
  posting_open: false,
  before: null,
  dressing: "plain",
  hold_for_cool: false,
  hold_at_counter: false,
  ask_state: false,
  note: "",
  started: null,
});

/** @param {Draft} draft */
export const isEmpty = (draft) => !draft.person && !draft.fresh && !draft.lines.length && !draft.amends && draft.way !== "walk_in";

/** An order of the house, opened to be changed. @returns {Draft} */
export function draftOfOrder(view, id) {
  const order = view.orders.get(id);
  const { person, way, leave_on, pays, posting_cents, posting_by = "", dressing, hold_for_cool, hold_at_counter = false, note } = order;
  const lines = view.linesOf(id).map(({ good, units }) => ({ good, units, settled: true }));
  const draft = {
    ...emptyDraft(),
    amends: id,
    person,
    way,
    leave_on,
    pays,
    posting_cents,
    posting_by,
    dressing,
    hold_for_cool,
    hold_at_counter,
    note,
    lines,
    started: Date.now(),
  };
  return { ...draft, posting_typed: typedByHand(order), before: pricedBefore(draft, personOf(draft, view)) };
}

/** The person as the sentence needs them: from the book, with what was just told laid over it. */
export function personOf(draft, view) {
  const known = draft.person ? view.people.get(draft.person) : draft.fresh;
  return known ? { ...known, ...(draft.address ?? {}) } : null;
}

/** The day it leaves: as chosen, else the next posting day; a pick-up waits to be asked. */
export function dayOf(draft, view, today) {
  if (draft.leave_on || draft.hold_for_cool || draft.ask_state || draft.way !== "post") return draft.leave_on;
  return comingDays(today, view.setting("posting_days", []), 1, 1)[0] ?? null;
}

/** All sums of the sentence: the very ones that are written down. @returns {import("../../store/shapes.d.ts").Reckoning} */
export function sumsOf({ amends, lines, way, posting_cents, ...draft }, view) {
  const { state = "" } = personOf(draft, view) ?? {};
  return reckon({ amends, lines, way, posting_cents: way === "post" ? posting_cents : 0, state });
}

/** @returns {number} cents for goods, posting and tax together */
export const totalOf = (draft, view) => sumsOf(draft, view).total_cents;

/** Puts so many of a good into the lines; none takes it out. @returns {Draft} */
export function withUnits(draft, good, units) {
  const there = draft.lines.some((line) => line.good === good);
  const changed = there ? draft.lines.map((line) => (line.good === good ? { good, units } : line)) : [...draft.lines, { good, units }];
  return { ...draft, lines: changed.filter((line) => line.units > 0) };
}

/** What is still lacking before it can be promised: the blank to open, or null. */
export function lacking(draft, view) {
  const person = personOf(draft, view);
  if (draft.way !== "walk_in" && !person?.name) return "who";
  if (!draft.lines.length) return "what";
  if (draft.way === "post" && !(person.street || person.city)) return "where";
  return null;
}

/** The draft as the acts take it. @param {string} heat one sentence as told to the caller @param {object} told the same in figures */
export function asActed(draft, view, today, heat = "", told = {}) {
  const person = draft.fresh
    ? { ...draft.fresh, ...(draft.address ?? {}) }
    : draft.person
      ? { id: draft.person, ...(draft.address ?? {}) }
      : null;
  const { way, dressing, hold_for_cool, hold_at_counter } = draft;
  const { lines, tax_rate, tax_mailing } = sumsOf(draft, view); // as they were read, whatever becomes of the prices meanwhile
  const note = draft.ask_state && way === "post" ? [draft.note, ASK_STATE].filter(Boolean).join("; ") : draft.note;
  return {
    person,
    way,
    dressing,
    hold_for_cool,
    hold_at_counter,
    note,
    heat,
    told,
    lines: lines.map(({ total_cents, ...line }) => line),
    tax_rate,
    tax_mailing,
    leave_on: dayOf(draft, view, today),
    pays: draft.pays ?? (way === "walk_in" ? "cash" : "later"),
    posting_cents: way === "post" ? draft.posting_cents : 0,
    posting_by: way === "post" ? draft.posting_by : "",
    ...(way === "walk_in" ? { paid_how: draft.pays === "check" ? "check" : "cash" } : {}),
    ...(way === "walk_in" && draft.pays === "later" ? { paid_cents: 0 } : {}),
  };
}
