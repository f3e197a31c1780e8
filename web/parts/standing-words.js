/** @file A standing order in words, and what mailing one of its parcels costs. */

import { work } from "../kernel/work.js";
import { sentTo } from "../store/destination.js";
import { house } from "../store/house.js";
import { callRequest } from "../store/sureness.js";
import { counted, listed, mailingDays, unitsSaid, weekdayOf } from "./words.js";

/** @import { Standing } from "../store/shapes.d.ts" */
/** @import { View } from "../store/view.js" */

const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const WAIT_S = 4;
const TEENS = [11, 12, 13];

/** @param {Pick<Standing, "wanted">} standing @param {View} view @returns {string} "10 bars and 2 jars" */
export const wantedSaid = ({ wanted }, view) =>
  listed(wanted.map(({ good, units }) => unitsSaid(view.goods.get(good) ?? { name: good }, units)));

/** @param {Pick<Standing, "every" | "interval" | "first_on">} standing @returns {string} "every month on the 1st", "every 2 weeks on Monday" */
export function everySaid({ every, interval, first_on }) {
  const often = interval === 1 ? `every ${every}` : `every ${counted(interval, every)}`;
  return every === "week" ? `${often} on ${WEEKDAYS[weekdayOf(first_on)]}` : `${often} on the ${dateSaid(Number(first_on.slice(8)))}`;
}

/** @param {number} date @returns {string} "1st", "22nd" */
export function dateSaid(date) {
  const ending = TEENS.includes(date) ? "th" : (["th", "st", "nd", "rd"][date % 10] ?? "th");
  return `${date}${ending}`;
}

/**
 * What is added to its order where it is mailed: the mailing day at or after its own, and the price by the table where that is known now.
 * @param {Standing} standing @param {string} on
 * @returns {Promise<Pick<import("../store/shapes.d.ts").Draft, "leave_on" | "posting_cents" | "posting_by">>}
 */
export async function mailedWith(standing, on) {
  const today = house.today();
  const from = on < today ? today : on;
  if (standing.way !== "post") return { leave_on: from };
  const { view } = house;
  const leave_on = mailingDays(from, view.setting("posting_days", []), 1, 0)[0] ?? from;
  if (!view.setting("posting_prices", "")) return { leave_on, posting_cents: 0, posting_by: "" };
  const { goes_to, to_name, to_street: street, to_unit: unit, to_city: city, to_state: state, to_zip: zip } = standing;
  const there = goes_to ? sentTo(goes_to, to_name, { street, unit, city, state, zip }) : {};
  const person = view.destination(/** @type {any} */ ({ person: standing.person, ...there }));
  const asked = { lines: standing.wanted, way: "post", dressing: "plain", hold_for_cool: false, hold_at_counter: false, leave_on };
  try {
    const request = callRequest(/** @type {any} */ ({ ...asked, view, today, now: house.now(), person }));
    const { parcel } = await work("quoting.parcel", request, { wait_s: WAIT_S });
    const cents = parcel?.posting_cents ?? 0;
    return { leave_on, posting_cents: cents, posting_by: cents ? "table" : "" };
  } catch {
    return { leave_on, posting_cents: 0, posting_by: "" };
  }
}
