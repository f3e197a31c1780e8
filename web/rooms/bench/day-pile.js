/**
 * All papers of a day in one go: the gathering sheet, every slip, every address label. Each parcel is worked out once; orders of the same
 * goods to the same place share their plan. Slips and labels go to the printer in piles, so that a large day holds no more than one.
 */
import { house } from "../../store/house.js";
import { paperSize, workForPaper } from "../../parts/papers.js";
import { printSheet } from "../../parts/print-sheet.js";
import { sheafOf } from "../../parts/sheaf.js";
import { gatheringRequest } from "./gather.js";
import { slipRequest } from "./slip.js";

/** @import { Order } from "../../store/shapes.d.ts" */

const LONGEST_WAIT_S = 60;
const PILE = 100;

/** @typedef {{slip: string, label: string | null, no_label: string, parcels: object[]}} OrderPapers */
/** How far it is. @typedef {{done: number, of: number}} Progress */

/** What labels are printed on: their own size, or the paper in the printer. */
export const labelSize = () => (house.view.setting("label_size", "label") === "paper" ? paperSize() : "label");

/**
 * What a plan hangs on: the same goods, packed alike, to the same part of the country.
 * @param {ReturnType<typeof slipRequest>} request @param {Order} order
 */
function likeness(request, order) {
  if (order.state !== "promised" || "carton" in request) return order.id;
  const goods = request.lines.map(({ good, sure }) => [good?.id, sure]);
  return JSON.stringify([goods, order.dressing, order.way, house.view.destination(order).zip?.slice(0, 3), order.leave_on]);
}

/**
 * One order of a pile, asked for when its turn comes: `row` is its place on the gathering sheet, if it has one; `alike` what its plan hangs on.
 * @typedef {{number: string, alike: string, request: Record<string, any>, row?: object}} Piled
 */

/**
 * @param {string} day
 * @param {Order[]} orders of that day, promised and packed
 * @param {(progress: Progress) => void} tell
 * @param {AbortSignal} stop
 * @param {(page: string) => Promise<void>} [print]
 */
export function printDay(day, orders, tell, stop, print) {
  const { orders: rows, ...sheet } = gatheringRequest(day, orders);
  const asked = orders.map((order) => () => {
    const request = { ...slipRequest(order, paperSize()), label_size: labelSize() };
    const row = rows.find(({ order: { id } }) => id === order.id);
    return { number: order.number, alike: likeness(request, order), request, row };
  });
  return printPile(asked, sheet, tell, stop, print);
}

/**
 * @param {(() => Piled)[]} asked
 * @param {Record<string, any>} sheet what `documents.gathering` is asked with, but the orders
 * @param {(progress: Progress) => void} tell
 * @param {AbortSignal} stop
 * @param {(page: string) => Promise<void>} [print]
 * @returns {Promise<{printed: number, without: string[]}>} `without`: whose label is missing, and why
 */
export async function printPile(asked, sheet, tell, stop, print = printSheet) {
  /** @type {Map<string, object[]>} */
  const told = new Map();
  /** @type {Record<"gathered" | "without" | "slips" | "labels", any[]>} */
  const pile = { gathered: [], without: [], slips: [], labels: [] };
  const away = async () => {
    if (pile.slips.length) await print(sheafOf(pile.slips));
    if (pile.labels.length) await print(sheafOf(pile.labels));
    Object.assign(pile, { slips: [], labels: [] });
  };
  let printed = 0;
  for (const one of asked) {
    if (stop.aborted) break;
    const { number, alike, request, row } = one();
    /** @type {OrderPapers} */
    const made = await workForPaper("quoting.order_papers", { ...request, told: told.get(alike) }, { wait_s: LONGEST_WAIT_S });
    told.set(alike, made.parcels);
    pile.slips.push(made.slip);
    if (made.label) pile.labels.push(made.label);
    else if (made.no_label) pile.without.push(`${number}: ${made.no_label}`);
    if (row) pile.gathered.push({ ...row, parcels: made.parcels });
    printed += 1;
    tell({ done: printed, of: asked.length });
    if (pile.slips.length === PILE) await away();
  }
  await away();
  if (pile.gathered.length)
    await print((await workForPaper("documents.gathering", { ...sheet, orders: pile.gathered }, { wait_s: LONGEST_WAIT_S })).html);
  return { printed, without: pile.without };
}
