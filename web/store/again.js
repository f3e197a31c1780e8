/** @file An order sent once more at no charge: what came dented, broken or not at all. It keeps its reason, and the season counts it. */

import { promise } from "./acts.js";
import { destinationOf, sentTo } from "./destination.js";
import { known } from "./known.js";
import { badDraft } from "./trouble.js";

/**
 * The same goods to the same place, for nothing.
 * @param {string} id the order that did not come as it should
 * @param {'heat'|'breakage'|'loss'} free_for
 */
export async function sendAgain(id, free_for) {
  const { view } = known;
  const order = view.orders.get(id);
  if (!order?.person) throw badDraft("order", "Nobody is named in that order.", "Take a new order on the Counter.");
  const there = destinationOf(order, view.people.get(order.person));
  const other = order.goes_to === "other" ? sentTo("other", there.name, there) : {};
  return promise({
    person: { id: order.person },
    lines: view.linesOf(id).map(({ good, units }) => ({ good, units, price_cents: 0, steps: [] })),
    way: order.way === "pick_up" ? "pick_up" : "post",
    dressing: order.dressing,
    pays: "later",
    posting_by: "hand",
    note: `instead of ${order.number}`,
    replaces: id,
    free_for,
    ...other,
  });
}
