/** Cartons before one is missed: the mark at which they run low, and how long they last by what was really used of late. */
import { counted, dayAfter, daysBetween } from "./words.js";

/** @import { View } from "../store/view.js" */

const LOW_OTHERWISE = 5;
const LOOKED_BACK_DAYS = 28; // a device carries the parcels of thirty days
const LOOKED_BACK_LEAST_DAYS = 7;
const USED_LEAST = 3; // fewer make no pace
const LASTS_MOST_DAYS = 60;

/** @param {Record<string, number>} marks @param {string} carton */
export const lowMark = (marks, carton) => marks[carton] ?? LOW_OTHERWISE;

/** @param {string} carton @param {View} view */
export const isLow = (carton, view) => view.onHand(carton) <= lowMark(view.setting("carton_low", {}) || {}, carton);

/**
 * Cartons at or under their low mark, with how long they last.
 * @param {View} view
 * @param {string} today
 * @returns {{id: string, words: string}[]}
 */
export function cartonsLow(view, today) {
  return [...view.cartons.values()]
    .filter((one) => !one.hidden && isLow(one.id, view))
    .map((one) => {
      const left = view.onHand(one.id);
      return {
        id: one.id,
        words: left > 0 ? `${one.name}: ${left} left${lastingSaid(one.id, view, today, ", ")}` : `${one.name}: none left`,
      };
    });
}

/**
 * How many were packed in the last four weeks (or since the first order, in a house younger than that), by the parcels themselves.
 * @returns {{used: number, days: number}}
 * @param {string} carton
 * @param {View} view
 * @param {string} today
 */
export function usedOfLate(carton, view, today) {
  const first = [...view.orders.values()].reduce((day, { taken_on: taken }) => (taken && taken < day ? taken : day), today);
  const days = Math.min(LOOKED_BACK_DAYS, daysBetween(first, today) + 1);
  const since = dayAfter(today, 1 - days);
  const used = [...view.grouped("parcel").values()]
    .flat()
    .filter((one) => one.carton === carton && one.packed_on && one.packed_on >= since && one.packed_on <= today);
  return { used: used.length, days };
}

/**
 * "about 6 days at the pace of the last 28 days (14 used)"; nothing where too few were used to know a pace.
 * @param {string} carton
 * @param {View} view
 * @param {string} today
 */
export function lastingSaid(carton, view, today, before = "") {
  const left = view.onHand(carton),
    { used, days } = usedOfLate(carton, view, today);
  if (left <= 0 || used < USED_LEAST || days < LOOKED_BACK_LEAST_DAYS) return "";
  const lasts = Math.floor((left * days) / used);
  const how = lasts > LASTS_MOST_DAYS ? "more than two months" : lasts < 1 ? "less than a day" : `about ${counted(lasts, "day")}`;
  return `${before}${how} at the pace of the last ${days} days (${used} used)`;
}
