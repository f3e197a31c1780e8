import { html } from "lit";
import { placeOf } from "../../parts/route.js";
import { daySaid, leavesSaid, listed, money, unitsSaid, whoSaid } from "../../parts/words.js";

/** @import { Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

const STATES = { promised: "promised", packed: "packed" };
const LEFT = { post: "mailed", pick_up: "picked up", walk_in: "sold" };

/** @param {Order} order @param {string} today @returns {string} "promised, leaves Monday" */
export function stateWords(order, today) {
  if (order.state === "gone") return `${LEFT[order.way]} ${daySaid(order.gone_on, today)}`;
  if (order.state === "let_go") return "canceled";
  const leaves = leavesSaid(order, today) || (order.hold_for_cool ? ", waits for a cool spell" : "");
  return `${STATES[order.state]}${leaves}`;
}

/**
 * One order as a row that opens it; on a person's own page it is named by its number.
 * @param {Order} order
 * @param {View} view
 * @param {string} today
 * @param {boolean} here
 * @param {boolean} [byNumber]
 */
export function orderRow(order, view, today, here, byNumber = false) {
  const person = order.person ? view.people.get(order.person) : null;
  const goods = view.linesOf(order.id).map((line) => unitsSaid(view.goods.get(line.good) ?? { name: line.good }, line.units));
  const owes = view.owed(order.id);
  return html`<li><a class="order-row" href=${placeOf("book", "order", order.id)} data-state=${order.state} aria-current=${here ? "true" : "false"}>
    <span class="tick" aria-hidden="true"></span>
    <span><strong>${byNumber ? order.number : whoSaid(person)}</strong><small>${listed(goods)}</small><small>${stateWords(order, today)}${owes > 0 ? ` · owes ${money(owes)}` : ""}</small></span></a></li>`;
}
