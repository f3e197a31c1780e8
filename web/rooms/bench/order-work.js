/** From an order of the book to what the pure work asks for, and from its answer to the rows that are kept. */
import { callRequest } from "../../store/sureness.js";
import { house } from "../../store/house.js";
import { noteOf } from "../../parts/bench-notes.js";

/** @import { PlannedParcel } from "../../kernel/answers.d.ts" */
/** @import { Line, Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** So many of a line. @typedef {{good: string, units: number, line: string}} LineToPack */

/** All that goes in one parcel with an order: its own lines, and those of orders to the same address. @param {Order} order @param {View} view */
const linesTogether = (order, view) => [order, ...view.ridersOf(order.id)].flatMap(({ id }) => view.linesOf(id));

/** The lines that can go now: what is sure of each. @param {Order} order @param {View} view @returns {LineToPack[]} */
export const linesToPack = (order, view) =>
  linesTogether(order, view)
    .map((line) => ({ line: line.id, good: line.good, units: view.sure(line.id) }))
    .filter((line) => line.units > 0);

/** What still waits for a pour. @param {Order} order @param {View} view @returns {{line: Line, units: number}[]} */
export const linesWaiting = (order, view) =>
  linesTogether(order, view)
    .map((line) => ({ line, units: view.waiting(line.id) }))
    .filter(({ units }) => units > 0);

/**
 * The request of `quoting.call`, `quoting.parcel_picture` and `quoting.trip_picture` for an order as it stands.
 * @param {Order} order
 * @param {View} view
 * @param {string} today
 */
export function orderRequest(order, view, today, now = house.now()) {
  const person = view.destination(order);
  const { way, dressing, hold_for_cool, hold_at_counter } = order;
  const leave_on = order.leave_on && order.leave_on >= today ? order.leave_on : today;
  const { carton } = noteOf(order.id); // one chosen by hand: no other is looked at
  return {
    ...callRequest({ view, today, now, lines: linesToPack(order, view), person, way, leave_on, dressing, hold_for_cool, hold_at_counter }),
    ...(carton && order.state === "promised" ? { carton } : {}),
  };
}

/**
 * What the plan of an order hangs on as all stands now, or null where none is made: a plan made for anything else is no plan of this order.
 * What is packed is not planned any more: it is read from its parcels.
 * @param {Order | undefined} order
 */
export function planRequest(order) {
  const { view } = house;
  const plans = order?.way === "post" && order.state === "promised" && linesToPack(order, view).length;
  return plans ? orderRequest(order, view, house.today()) : null;
}

/**
 * A planned parcel as a row to keep: whole numbers and text only.
 * @param {PlannedParcel} parcel
 * @param {Order["dressing"]} dressing
 * @param {number | null} [told_permille]
 */
export function parcelRow(parcel, dressing, told_permille = null) {
  return {
    carton: parcel.carton,
    dressing,
    told_permille: told_permille ?? null,
    gross_g: Math.round(parcel.gross_g ?? 0),
    gross_sd_g: Math.round(parcel.gross_sd_g ?? 0),
    plan: parcel.kept ?? {},
  };
}

/** How an order stands on the bench, in a word or two. @param {Order} order @param {View} view */
export function standing(order, view) {
  const waits = linesWaiting(order, view).length > 0;
  if (order.state === "packed") return waits ? "packed; part of it waits" : "packed";
  if (waits) return linesToPack(order, view).length ? "part of it waits" : "waits";
  return order.hold_for_cool && !order.leave_on ? "held for cool" : "";
}
