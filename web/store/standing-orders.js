/** @file Standing orders written down, and the order that comes of a day of one: the same on every device, so that it is promised once. */

import { promise } from "./acts.js";
import { checkedLines } from "./drafts.js";
import { sentTo } from "./destination.js";
import { newId } from "./ids.js";
import { known, today } from "./known.js";
import { append } from "./log.js";
import { dueDay, lineId, orderId } from "./recurring.js";
import { alreadyPromised, badDraft } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Standing} Standing */

/**
 * A standing order, new or changed.
 * @param {Partial<Standing>} fields `id` of one that is there
 * @returns {Promise<{op: string, standing: string}>}
 */
export async function saveStanding({ id, ...fields }) {
  if (fields.wanted) checkedLines(fields.wanted);
  const standing = id ?? newId();
  const entry = await append(() => ({ kind: "note_standing", rows: [{ table: "standing", id: standing, ...fields }] }));
  return { op: entry.id, standing };
}

/** Not this time: nothing is asked up to that day any more. @param {string} standing @param {string} on */
export const skipStanding = (standing, on) => saveStanding({ id: standing, skipped_on: on });

/**
 * The order of a day, promised. Whichever devices do it, one stands.
 * @param {string} id the standing order
 * @param {string} on its day
 * @param {import('./shapes.d.ts').Amendment} [more] the day it leaves, the price of mailing
 */
export async function promiseStanding(id, on, more = {}) {
  const { view } = known;
  const standing = view.standing.get(id);
  if (!standing) throw badDraft("standing", "That standing order is not on this device.", "Look at the person in the Book.");
  const before = view.ordersFrom(id).filter(({ standing_on }) => standing_on === on);
  if (before.some(({ state }) => state !== "let_go")) throw alreadyPromised();
  const order = await orderId(id, on, before.length);
  const line_ids = await Promise.all(standing.wanted.map(({ good }) => lineId(order, good)));
  const { goes_to, to_name, to_street: street, to_unit: unit, to_city: city, to_state: state, to_zip: zip, note, gift_note } = standing;
  return promise({
    person: { id: standing.person },
    lines: standing.wanted.map(({ good, units }) => ({ good, units })),
    way: standing.way,
    leave_on: on,
    pays: "later",
    ...(goes_to ? sentTo(goes_to, to_name, { street, unit, city, state, zip }) : {}),
    ...(note ? { note } : {}),
    ...(gift_note ? { gift_note } : {}),
    ...more,
    standing: id,
    standing_on: on,
    ids: { order, lines: line_ids },
  });
}

/** Standing orders whose day is near and not answered yet, by that day. @returns {{standing: Standing, on: string}[]} */
export function dueStanding() {
  const { view } = known;
  return [...view.standing.values()]
    .flatMap((standing) => {
      const on = dueDay(standing, view.ordersFrom(standing.id), today());
      return on ? [{ standing, on }] : [];
    })
    .sort((a, b) => (a.on < b.on ? -1 : Number(a.on > b.on)));
}
