/**
 * Figures as a beekeeper would say them: money, days, weights, numbers to ring.
 * Pure: every "today" is passed in.
 */

import { dayShort, WEEKDAYS, weekdayOf } from "../store/said.js";

export { dayShort, money, phoneSaid, weekdayOf, whoSaid } from "../store/said.js";

const MAIL_GOES = WEEKDAYS.slice(1);
const DAY_MS = 86_400_000;
const GRAMS_PER_OUNCE = 28.349523125; // exact, international avoirdupois ounce
const OUNCES_PER_POUND = 16;

/** @param {string} day "2026-07-20" @returns {number} days since 1970 */
const dayNumber = (day) => Math.round(Date.parse(`${day}T00:00:00Z`) / DAY_MS);

/** @param {string} day @param {number} count @returns {string} the day that many days later */
export function dayAfter(day, count) {
  return new Date((dayNumber(day) + count) * DAY_MS).toISOString().slice(0, 10);
}

/** @param {string} from @param {string} to @returns {number} whole days from one to the other */
export const daysBetween = (from, to) => dayNumber(to) - dayNumber(from);

/**
 * A day as one says it on the telephone.
 * @param {string | null | undefined} day @param {string} today
 * @returns {string} "today", "tomorrow", "Monday", "Mon Jul 27", or "no day yet"
 */
export function daySaid(day, today) {
  if (!day) return "no day yet";
  const ahead = daysBetween(today, day);
  if (ahead === 0) return "today";
  if (ahead === 1) return "tomorrow";
  if (ahead === -1) return "yesterday";
  return ahead > 1 && ahead < 7 ? WEEKDAYS[weekdayOf(day)] : dayShort(day);
}

/**
 * When an open order leaves, as its day lies: ", to be picked up Monday", ", was to leave yesterday", or nothing without a day.
 * @param {{way: string, leave_on?: string | null}} order
 * @param {string} today
 */
export function leavesSaid({ way, leave_on: day }, today) {
  if (!day) return "";
  const past = day < today;
  return `, ${way === "pick_up" ? (past ? "was to be picked up" : "to be picked up") : past ? "was to leave" : "leaves"} ${daySaid(day, today)}`;
}

/** @param {string} word @returns {string} with a capital first */
export const capital = (word) => word.charAt(0).toUpperCase() + word.slice(1);

/**
 * The next days that fall on the given weekdays.
 * @param {string} today @param {string[]} weekdays such as ["Mon", "Tue"]; none means every day
 * @param {number} count @param {number} [first] days ahead to begin with
 */
export function comingDays(today, weekdays, count, first = 0) {
  const wanted = weekdays.map((name) => name.slice(0, 3).toLowerCase());
  const days = [];
  for (let ahead = first; ahead < first + 60 && days.length < count; ahead += 1) {
    const day = dayAfter(today, ahead);
    const name = WEEKDAYS[weekdayOf(day)].slice(0, 3).toLowerCase();
    if (!wanted.length || wanted.includes(name)) days.push(day);
  }
  return days;
}

/**
 * The next days on which parcels go: your own mailing days, and while none are named every day but Sunday, on which no carrier's counter is open.
 * @param {string} today @param {string[]} weekdays @param {number} count @param {number} [first]
 */
export const mailingDays = (today, weekdays, count, first = 0) => comingDays(today, weekdays.length ? weekdays : MAIL_GOES, count, first);

/** @param {{name: string, plural?: string, unit?: string}} good @param {number} units @returns {string} "10 bars" */
export function unitsSaid(good, units) {
  if (good.unit === "g") return `${weightSaid(units)} of ${good.name}`;
  return `${countSaid(units)} ${nameSaid(good, units)}`;
}

/** @param {number} count @returns {string} "1,250", below nothing with the minus that weights and money have */
export const countSaid = (count) => count.toLocaleString("en-US").replace("-", "−");

/** @param {{name: string, plural?: string}} good @param {number} [units] @returns {string} its name, "(1 lb)" kept on one line */
export function nameSaid(good, units = 2) {
  return (units === 1 ? good.name : good.plural || good.name).replace(/\((\S+) (\S+)\)/, "($1\u00a0$2)");
}

/** @param {number} grams @returns {string} "2 lb 6 oz" */
export function weightSaid(grams) {
  const ounces = Math.round(Math.abs(grams) / GRAMS_PER_OUNCE);
  const sign = grams < 0 && ounces ? "−" : "";
  const pounds = Math.floor(ounces / OUNCES_PER_POUND);
  const rest = ounces % OUNCES_PER_POUND;
  if (!pounds) return `${sign}${rest} oz`;
  return rest ? `${sign}${pounds} lb ${rest} oz` : `${sign}${pounds} lb`;
}

/**
 * A parcel's weight as the post will charge it: any part of an ounce rounded up, so 228 g (8.04 oz) is "9 oz".
 * Whole grams stand for half a gram less or more: 227 g may be 8 oz to the hair and stays 8 oz.
 * @param {number} grams @returns {string}
 */
export function mailingWeightSaid(grams) {
  const ounces = Math.max(0, Math.ceil((grams - 0.5) / GRAMS_PER_OUNCE));
  const pounds = Math.floor(ounces / OUNCES_PER_POUND);
  const rest = ounces % OUNCES_PER_POUND;
  if (!pounds) return `${rest} oz`;
  return rest ? `${pounds} lb ${rest} oz` : `${pounds} lb`;
}

/** @param {number} pounds @param {number} ounces @returns {number} whole grams */
export const gramsOf = (pounds, ounces) => Math.round((pounds * OUNCES_PER_POUND + ounces) * GRAMS_PER_OUNCE);

/** @param {string[]} words @returns {string} "a, b and c" */
export function listed(words) {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** @param {number} seconds @returns {string} "0:06" */
export function clockSaid(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** @param {string | number | Date} moment @returns {string} "7:40" by this device's clock */
export function timeSaid(moment) {
  const when = new Date(moment);
  return `${((when.getHours() + 11) % 12) + 1}:${String(when.getMinutes()).padStart(2, "0")}${when.getHours() < 12 ? " am" : " pm"}`;
}

/** The hour of a moment, with its day where that is not this one. @param {string} moment @param {string} day @param {string} today */
export const hourSaid = (moment, day, today) => (day === today ? timeSaid(moment) : `${dayShort(day)}, ${timeSaid(moment)}`);

/** @param {number} milliseconds @returns {string} "just now", "2 min ago" */
export function agoSaid(milliseconds) {
  const minutes = Math.floor(milliseconds / 60_000);
  if (minutes < 1) return "just now";
  if (minutes < 60) return `${minutes} min ago`;
  const hours = Math.floor(minutes / 60);
  if (hours < 24) return hours === 1 ? "an hour ago" : `${hours} hours ago`;
  const days = Math.floor(hours / 24);
  return days === 1 ? "yesterday" : `${days} days ago`;
}

/** @param {number} count @param {string} one @param {string} [many] @returns {string} "1 entry", "3 entries" */
export const counted = (count, one, many = `${one}s`) => `${count.toLocaleString("en-US")} ${count === 1 ? one : many}`;

/** @param {Partial<Record<"street" | "unit" | "city" | "state" | "zip", string>>} address @returns {string} "906 E Larkwater Ln Apt 3, Tempe AZ 85281" */
export function addressSaid({ street, unit, city, state, zip }) {
  const line = [street, unit].filter(Boolean).join(" ");
  const last = [city, state, zip].filter(Boolean).join(" ");
  return [line, last].filter(Boolean).join(", ");
}
