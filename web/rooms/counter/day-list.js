import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { counted, daySaid, listed, unitsSaid, whoSaid } from "../../parts/words.js";
import { toCall } from "../../store/calling.js";
import { house } from "../../store/house.js";
import "../../parts/due-standing.js";
import "../../parts/melt-by.js";

/** @import { Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** What is to be done, in words, with the place where it is done. @typedef {{key: string, words: string, more: string, to: string[]}} ToDo */

const NAMED = 3;

/** @type {Record<import("../../store/calling.js").Why, string>} */
const CALL_FOR = { here: "their order is here", going: "it is cool enough now", fetch: "it waits to be picked up" };

/** The day as one page, while nobody is on the line: whom to call, what to pack, hand over and mail, what waits. */
class DayList extends Part {
  render() {
    if (!house.status.started || !house.view.goods.size) return nothing;
    const rows = toDo(house.view, house.today());
    const wax = [...house.view.goods.values()].find((good) => good.kind === "wax" && good.sold && !good.hidden);
    return html`<section class="day-list" aria-label="Today">
      ${rows.length ? html`<h2 class="where">Today</h2><ul>${rows.map(row)}</ul>` : html`<p class="faint">Nothing to pack, to hand over or to mail today.</p>`}
      <due-standing></due-standing>
      ${wax ? html`<melt-by .good=${wax.id} brief></melt-by>` : nothing}</section>`;
  }
}
customElements.define("day-list", DayList);

/** @param {ToDo} todo */
const row = ({ key, words, more, to }) => html`<li><a class="day-row" href=${placeOf(.../** @type {["bench", ...string[]]} */ (to))}>
  <span><strong>${words}</strong><small>${more}</small></span><span class="key tight" aria-hidden="true">${key}</span></a></li>`;

/** @param {View} view @param {string} today @returns {ToDo[]} */
export function toDo(view, today) {
  const open = view.openOrders().filter((order) => !view.hostOf(order));
  const here = (/** @type {Order} */ order) => view.linesOf(order.id).every((line) => view.waiting(line.id) === 0);
  const parcels = open.filter(({ way }) => way === "post");
  const pickUps = open.filter((order) => order.way === "pick_up" && here(order));
  const comes = pickUps.filter(({ leave_on }) => !leave_on || leave_on <= today);
  const toPack = parcels.filter((order) => order.state === "promised" && order.leave_on && here(order));
  const first = toPack.map(({ leave_on }) => leave_on ?? "").sort()[0];
  return [
    ...calls(view, today),
    ...one(
      "Pack",
      "pack",
      toPack.filter(({ leave_on }) => leave_on === first),
      `for ${daySaid(first, today)}`,
      view,
      "parcel",
    ),
    ...one(
      "Hand over",
      "here",
      comes,
      comes.every(({ leave_on }) => leave_on === today) ? "they come today" : "as they come",
      view,
      "pick-up",
    ),
    ...one(
      "Mail",
      "mail",
      parcels.filter(({ state }) => state === "packed"),
      "packed",
      view,
      "parcel",
    ),
    ...withoutDay(
      parcels.filter((order) => order.state === "promised" && !order.leave_on && !order.hold_for_cool && here(order)),
      view,
    ),
    ...waits(view),
  ];
}

/** @param {string} what @param {string} key @param {Order[]} orders @param {string} more @param {View} view @param {string} [noun] @returns {ToDo[]} */
function one(what, key, orders, more, view, noun = "") {
  if (!orders.length) return [];
  const names = [...new Set(orders.map(({ person, number }) => whoSaid(view.people.get(person ?? ""), number)))];
  const rest = names.length > NAMED ? [`${names.length - NAMED} more`] : [];
  const words = noun ? `${what} ${counted(orders.length, noun)}` : `${what} ${counted(names.length, "person", "people")}`;
  return [
    {
      key,
      words: `${words}, ${more}`,
      more: listed([...names.slice(0, NAMED), ...rest]),
      to: orders.length === 1 ? ["bench", orders[0].id] : ["bench"],
    },
  ];
}

/** Parcels that nobody has said a day for. @param {Order[]} orders @param {View} view @returns {ToDo[]} */
const withoutDay = (orders, view) =>
  one("Choose a day for", "see", orders, "they have none yet", view, "parcel").map((todo) =>
    orders.length === 1 ? { ...todo, words: "Choose a day for 1 parcel", to: ["book", "order", orders[0].id] } : todo,
  );

/** Whom to call, by the same rule as the Book, where it is checked off. @param {View} view @param {string} today @returns {ToDo[]} */
function calls(view, today) {
  const found = toCall(view, today);
  return Object.entries(CALL_FOR).flatMap(([reason, words]) => {
    const theirs = found.filter(({ why }) => why === reason).map(({ order }) => order);
    return one("Call", "call", theirs, words, view).map((todo) => ({ ...todo, to: ["book", "calls", ""] }));
  });
}

/** What callers wait for, until there is a pour. @param {View} view @returns {ToDo[]} */
function waits(view) {
  const waiting = [...view.goods.values()]
    .map((good) => ({ good, units: view.waitingFor(good.id).reduce((sum, { units }) => sum + units, 0) }))
    .filter(({ units }) => units > 0);
  if (!waiting.length) return [];
  const words = listed(waiting.map(({ good, units }) => unitsSaid(good, units)));
  return [{ key: "melt", words: `${words} for callers who wait`, more: "from the next pour, first come first served", to: ["melt"] }];
}
