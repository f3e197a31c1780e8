import { postingAnew } from "./posting-anew.js";
import { amend } from "../store/acts.js";
import { house } from "../store/house.js";

/** @import { Parted } from "../store/shapes.d.ts" */

/**
 * Prices the mailing of all that is in another parcel than before by the table, right after it was written.
 * @template {{ops: string[], parted: Parted}} T
 * @param {T} done what an act resolved with
 * @returns {Promise<T & {posting: string}>} `ops` with what was written since: it is undone first; `posting`: how it is said
 */
export async function pricedApart(done) {
  const { alone, left } = done.parted;
  const said = [];
  const ops = [];
  for (const id of [...alone, ...(left ? [left] : [])]) {
    const order = house.view.orders.get(id);
    if (!order) continue;
    if (alone.includes(id) && order.way === "post") said.push(`${order.number} has a parcel of its own.`);
    const { change, words } = await postingAnew(order, {}, null);
    const { op = null } = Object.keys(change).length ? await amend(id, change) : {};
    if (op) ops.unshift(op);
    if (words) said.push(alone.includes(id) ? words : `${order.number}: ${words}`);
    else if (alone.includes(id) && order.way === "post" && !order.posting_by) said.push("The price of mailing is not known yet.");
  }
  return { ...done, ops: [...ops, ...done.ops], posting: said.join(" ") };
}
