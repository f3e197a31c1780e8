/**
 * @file Standing orders: which days they come on, which of these are near and not answered yet, and what the one order of a day is called.
 * Pure; the main computer's `operations/standing_names.py` names orders the same way.
 */

/** @typedef {import('./shapes.d.ts').Standing} Standing */
/** @typedef {import('./shapes.d.ts').Order} Order */

/** How many days before its day a standing order is asked about, and how long after. */
export const AHEAD_DAYS = 7;
export const BEHIND_DAYS = 14;
const DAY_MS = 86_400_000;
const WEEK_DAYS = 7;
const MONTHS = 12;
const NAMES = "6f1f5f0e5d0a5f5c9d431a6f0c6f7a11";

/** @param {string} day @param {number} count */
const later = (day, count) => new Date(Date.parse(`${day}T00:00:00Z`) + count * DAY_MS).toISOString().slice(0, 10);

/**
 * The first day of a standing order from a day on: the same date of each month (its last day where there is none), or the same weekday.
 * @param {Pick<Standing, "every" | "interval" | "first_on">} standing
 * @param {string} from
 */
export function dayFrom({ every, interval, first_on }, from) {
  if (from <= first_on) return first_on;
  if (every === "week") {
    const step = interval * WEEK_DAYS;
    const gone = Math.ceil((Date.parse(`${from}T00:00:00Z`) - Date.parse(`${first_on}T00:00:00Z`)) / DAY_MS / step);
    return later(first_on, gone * step);
  }
  const [year, month] = first_on.split("-").map(Number);
  const [year_from, month_from] = from.split("-").map(Number);
  const gone = Math.floor(((year_from - year) * MONTHS + month_from - month) / interval) * interval;
  const day = monthsLater(first_on, gone);
  return day >= from ? day : monthsLater(first_on, gone + interval);
}

/** @param {string} day @param {number} months */
function monthsLater(day, months) {
  const [year, month, date] = day.split("-").map(Number);
  const last = new Date(Date.UTC(year, month + months, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + months, Math.min(date, last))).toISOString().slice(0, 10);
}

/**
 * The day that is to be confirmed now, if any: near or just gone by, not skipped, and no order stands for it.
 * @param {Standing} standing
 * @param {Order[]} orders those that came of it
 * @param {string} today
 * @returns {string | null}
 */
export function dueDay(standing, orders, today) {
  if (standing.paused || standing.hidden) return null;
  let from = later(today, -BEHIND_DAYS);
  if (standing.skipped_on && standing.skipped_on >= from) from = later(standing.skipped_on, 1);
  for (let day = dayFrom(standing, from); day <= later(today, AHEAD_DAYS); day = dayFrom(standing, later(day, 1))) {
    if (standing.ends_on && day > standing.ends_on) return null;
    if (!orders.some(({ standing_on, state }) => standing_on === day && state !== "let_go")) return day;
  }
  return null;
}

/**
 * The day after those answered: what is told of a standing order at its person.
 * @param {Standing} standing
 * @param {string} today
 * @returns {string | null} null when none comes any more
 */
export function nextDay(standing, today) {
  const from = standing.skipped_on && standing.skipped_on >= today ? later(standing.skipped_on, 1) : today;
  const day = dayFrom(standing, from);
  return standing.hidden || (standing.ends_on && day > standing.ends_on) ? null : day;
}

/** The id of the order of a day. @param {string} standing @param {string} on @param {number} canceled how many of that day were canceled */
export const orderId = (standing, on, canceled) => named(`${standing} ${on} ${canceled}`);

/** The id of a line of it. @param {string} order @param {string} good */
export const lineId = (order, good) => named(`${order} ${good}`);

/** A name-based UUID (RFC 9562, version 5). @param {string} name */
async function named(name) {
  const space = Uint8Array.from(NAMES.match(/../g) ?? [], (pair) => parseInt(pair, 16));
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-1", new Uint8Array([...space, ...new TextEncoder().encode(name)])));
  digest[6] = (digest[6] & 0x0f) | 0x50;
  digest[8] = (digest[8] & 0x3f) | 0x80;
  const hex = [...digest.slice(0, 16)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
