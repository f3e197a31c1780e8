/** @file The order being taken, before it is one; the store keeps it at every change (store/sentences.js). */
import { mailingDays } from "../../parts/words.js";
import { copiedFrom, destinationOf, hasAddress, sentTo } from "../../store/destination.js";
import { reckon } from "../../store/reckon.js";
import { pricedBefore, typedByHand } from "../../parts/posting.js";

/** @import { ToldOfHeat } from "../../kernel/answers.d.ts" */
/** @import { Composed, Destination, Draft, Reckoning } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

const ASK_STATE = "ask our state before this honey is mailed";

/** @returns {Composed} */
export const emptyDraft = () => ({
  amends: null,
  person: null,
  fresh: null,
  address: null,
  goes: null,
  gift_note: "",
  lines: [],
  way: "post",
  leave_on: null,
  pays: null,
  given_cents: null,
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

/** @param {Composed} draft */
export const isEmpty = (draft) => !draft.person && !draft.fresh && !draft.lines.length && !draft.amends && draft.way !== "walk_in";

/** An order of the house, opened to be changed. @param {View} view @param {string} id @returns {Composed} */
export function draftOfOrder(view, id) {
  const order = view.orders.get(id);
  if (!order) return emptyDraft();
  const { person, way, leave_on, pays, posting_cents, posting_by = "", dressing, hold_for_cool, hold_at_counter = false, note } = order;
  const { goes_to = "", to_name, to_street: street, to_unit: unit, to_city: city, to_state: state, to_zip: zip, gift_note = "" } = order;
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
    goes: goes_to ? sentTo(goes_to, to_name, { street, unit, city, state, zip }) : null,
    gift_note,
    lines,
    started: Date.now(),
  };
  return { ...draft, posting_typed: typedByHand(order), before: pricedBefore(draft, receiverOf(draft, view)) };
}

/**
 * The person as the sentence needs them: from the book, with what was just told laid over it.
 * @param {Composed} draft
 * @param {View} view
 */
export function personOf(draft, view) {
  const known = draft.person ? view.people.get(draft.person) : draft.fresh;
  return known ? { ...known, ...(draft.address ?? {}) } : null;
}

/** Who receives it and where: their own address, or the one for this order alone. @param {Composed} draft @param {View} view */
export const receiverOf = (draft, view) => destinationOf(draft.goes ?? {}, personOf(draft, view));

/**
 * The fields that say where the order goes, as they were read: an older order to which nothing was copied stays as it is.
 * @param {Composed} draft
 * @param {View} view
 * @returns {Partial<Destination>}
 */
function whereTo(draft, view) {
  if (draft.way !== "post") return {};
  const before = draft.amends ? view.orders.get(draft.amends) : null;
  const asItWas = before?.way === "post" && !before.goes_to && !draft.address;
  return draft.goes ?? (asItWas ? {} : copiedFrom(personOf(draft, view)));
}

/**
 * The day it leaves: as chosen, else the next posting day; a pick-up waits to be asked.
 * @param {Composed} draft
 * @param {View} view
 * @param {string} today
 */
export function dayOf(draft, view, today) {
  if (draft.leave_on || draft.hold_for_cool || draft.ask_state || draft.way !== "post") return draft.leave_on;
  return mailingDays(today, view.setting("posting_days", []), 1, 1)[0] ?? null;
}

/** All sums of the sentence: the very ones that are written down. @param {Composed} draft @param {View} view @returns {Reckoning} */
export function sumsOf(draft, view) {
  const { amends, lines, way, posting_cents } = draft;
  const { state } = receiverOf(draft, view);
  return reckon({ amends, lines, way, posting_cents: way === "post" ? posting_cents : 0, state });
}

/** @param {Composed} draft @param {View} view @returns {number} cents for goods, posting and tax together */
export const totalOf = (draft, view) => sumsOf(draft, view).total_cents;

/**
 * Puts so many of a good into the lines; none takes it out.
 * @param {Composed} draft
 * @param {string} good
 * @param {number} units
 * @returns {Composed}
 */
export function withUnits(draft, good, units) {
  const there = draft.lines.some((line) => line.good === good);
  const changed = there ? draft.lines.map((line) => (line.good === good ? { good, units } : line)) : [...draft.lines, { good, units }];
  return { ...draft, lines: changed.filter((line) => line.units > 0) };
}

/** What is still lacking before it can be promised: the blank to open, or null. @param {Composed} draft @param {View} view */
export function lacking(draft, view) {
  const person = personOf(draft, view);
  if (draft.way === "walk_in" ? draft.pays === "later" && !person?.name && !person?.phone : !person?.name) return "who"; // whoever owes it is asked for
  if (!draft.lines.length) return "what";
  if (draft.way === "post" && !hasAddress(receiverOf(draft, view))) return "where";
  return null;
}

/**
 * The draft as the acts take it.
 * @param {string} heat one sentence as told to the caller
 * @param {ToldOfHeat} told the same in figures
 * @param {Composed} draft
 * @param {View} view
 * @param {string} today
 * @returns {Draft}
 */
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
    ...whereTo(draft, view),
    gift_note: way === "post" ? draft.gift_note : "",
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
    ...(way === "walk_in" ? { paid_how: draft.pays === "check" ? "check" : "cash", given_cents: draft.given_cents } : {}),
    ...(way === "walk_in" && draft.pays === "later" ? { paid_cents: 0 } : {}),
  };
}
