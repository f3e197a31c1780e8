/** @file Figures that are said alike on every screen and in an order as plain text: money, days, numbers to ring, ways of packing. Pure. */

export const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** The stored names of the ways of packing as they are said. @type {Record<string, string>} */
export const PACKINGS = { plain: "plain", lined: "padded", chilled: "cold pack" };

/** The way of packing where it is to be told at all: nothing for a plain parcel. @param {string | undefined} dressing */
export const packedAgainstHeat = (dressing = "plain") => (dressing === "plain" ? "" : (PACKINGS[dressing] ?? ""));

/** @param {number} cents @returns {string} "$37.50", with a true minus sign */
export function money(cents) {
  const size = Math.abs(Math.round(cents));
  const whole = Math.floor(size / 100).toLocaleString("en-US");
  return `${cents < 0 ? "−" : ""}$${whole}.${String(size % 100).padStart(2, "0")}`;
}

/** @param {string} day "2026-07-21" @returns {number} 0 Sunday to 6 Saturday */
export const weekdayOf = (day) => new Date(`${day}T00:00:00Z`).getUTCDay();

/** @param {string} day "2026-07-21" @returns {string} "Tue Jul 21" */
export function dayShort(day) {
  const [, month, date] = day.split("-").map(Number);
  return `${WEEKDAYS[weekdayOf(day)].slice(0, 3)} ${MONTHS[month - 1]} ${date}`;
}

/** @param {string | null | undefined} phone E.164 or as typed @returns {string} "218-555-0114"; a number from abroad as it is kept */
export function phoneSaid(phone) {
  if (phone?.startsWith("+") && !phone.startsWith("+1")) return phone;
  const digits = (phone || "").replace(/\D/g, "");
  const home = digits.length === 11 && digits.startsWith("1") ? digits.slice(1) : digits;
  return home.length === 10 ? `${home.slice(0, 3)}-${home.slice(3, 6)}-${home.slice(6)}` : phone || "";
}

/**
 * How somebody is called on a screen: by their number where no name is known yet.
 * @param {{name: string, phone: string} | null | undefined} person
 * @param {string} [otherwise] where there is neither
 */
export const whoSaid = (person, otherwise = "No name") => person?.name || phoneSaid(person?.phone ?? "") || otherwise;
