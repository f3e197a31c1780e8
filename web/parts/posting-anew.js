import { money } from "./words.js";
import { house } from "../store/house.js";
import { work } from "../kernel/work.js";
import { typedByHand } from "./posting.js";
import { callRequest } from "../store/sureness.js";

/** @import { Amendment, Order } from "../store/shapes.d.ts" */

const WAIT_S = 5;

/** What goes in its parcel, as it will be. @param {Order} order @param {Amendment} change */
function linesTogether(order, change) {
  const { view } = house;
  const after = /** @type {Order} */ ({ ...order, ...change, person: order.person });
  const riders = view.ridersOf(order.id).filter((rider) => view.together(rider, after));
  return [order, ...riders].flatMap(({ id }) => view.linesOf(id));
}

/**
 * What posting costs once an order is packed otherwise (another carton or dressing): by the table all that is wanted is priced anew,
 * as it was on the Counter; a typed figure stays.
 * @param {Order} order its row @param {Amendment} change @param {string | null} carton chosen by hand, or null
 * @returns {Promise<{change: Pick<Amendment, "posting_cents" | "posting_by">, words: string}>} the fields to amend, and how it is said
 */
export async function postingAnew(order, change, carton) {
  const { view } = house;
  const { way, posting_cents: before } = order;
  /** @param {string} why */
  const stays = (why) => ({ change: {}, words: before ? `Mailing stays ${money(before)}${why}.` : "" });
  if (way !== "post") return { change: {}, words: "" };
  if (typedByHand(order)) return stays(", as it was typed");
  if (!view.setting("posting_prices", "")) return stays(": there is no price table now");
  const person = view.destination({ ...order, ...change, person: order.person });
  const request = {
    ...callRequest({ ...order, ...change, view, today: house.today(), now: house.now(), lines: linesTogether(order, change), person }),
    ...(carton ? { carton } : {}),
  };
  try {
    const { parcel } = await work("quoting.parcel", request, { wait_s: WAIT_S });
    const cents = parcel?.posting_cents ?? -1;
    if (cents < 0) return stays(`: ${parcel?.posting_words || "nothing here holds all of it that way"}`);
    if (cents === before) return { change: {}, words: "" };
    return { change: { posting_cents: cents, posting_by: "table" }, words: `Mailing ${money(before)} → ${money(cents)}, by your table.` };
  } catch {
    return stays(": it could not be worked out now");
  }
}
