/**
 * @file The cash till, day by day: what should lie in it, what was counted, and the difference. Worked out from entries alone, never kept;
 * the main computer's `stock/till.py` says the same, and one table of cases holds both to it.
 */

/** @typedef {import('./shapes.d.ts').TillEntry} TillEntry */
/** @typedef {{on: string, how: string, cents: number}} Came by day and way */

export const WAYS = /** @type {const} */ (["cash", "check", "transfer", "other"]);
const SIGN = { opening: 1, taken: -1, counted: 0 };

/**
 * What lay there in the morning is what was counted last, and the cash of the days since. The last three are null, null and empty where
 * nobody counted.
 * @param {string} day
 * @param {Came[]} money
 * @param {Iterable<TillEntry>} entries
 */
export function tillOf(day, money, entries) {
  const known = standing(entries);
  const last = known.filter(({ what, on }) => what === "counted" && on < day).reduce((latest, { on }) => (on > latest ? on : latest), "");
  const between = (/** @type {{on: string}} */ { on }) => last < on && on < day;
  const carried =
    (countOf(known, last)?.cents ?? 0) +
    sumOf(money.filter((row) => row.how === "cash" && between(row))) +
    known.filter(between).reduce((sum, { what, cents }) => sum + SIGN[what] * cents, 0);
  const came = Object.fromEntries(WAYS.map((way) => [way, sumOf(money.filter(({ on, how }) => on === day && how === way))]));
  const [opening, taken] = ["opening", "taken"].map((wanted) => sumOf(known.filter(({ on, what }) => on === day && what === wanted)));
  const expected = carried + opening - taken + came.cash;
  const count = countOf(known, day);
  return {
    carried_cents: carried,
    opening_cents: opening,
    taken_cents: taken,
    came,
    expected_cents: expected,
    counted_cents: count ? count.cents : null,
    difference_cents: count ? count.cents - expected : null,
    note: count?.note ?? "",
  };
}

/** The entries of the till that nobody undid. @param {Iterable<TillEntry>} entries */
export function standing(entries) {
  const written = [...entries];
  const undone = new Set(written.map(({ undoes }) => undoes));
  return written.filter(({ id, undoes }) => !undoes && !undone.has(id));
}

/**
 * The moment of a new entry, in whole seconds: the clock's, and later than the day's counts that it is to stand after. Who counts again has seen the first
 * count, so the second is the later one, within the same second and with a clock that is behind another device's.
 * @param {TillEntry[]} counts
 * @param {Date} now
 */
export function momentAfter(counts, now) {
  const latest = counts.reduce((last, { at }) => (at > last ? at : last), "");
  const second_ms = Math.floor(now.getTime() / 1000) * 1000;
  const after_ms = latest ? Date.parse(latest) + 1000 : second_ms;
  return `${new Date(Math.max(second_ms, after_ms)).toISOString().slice(0, 19)}Z`;
}

/** @param {{cents: number}[]} rows */
const sumOf = (rows) => rows.reduce((sum, { cents }) => sum + cents, 0);

/**
 * Of a day's counts the last one, by the clocks of those who counted; of two at one moment every device takes the same.
 * @param {TillEntry[]} known
 * @param {string} day
 */
function countOf(known, day) {
  const counts = known.filter(({ on, what }) => on === day && what === "counted");
  return counts.reduce(
    (latest, row) => (!latest || row.at > latest.at || (row.at === latest.at && row.id > latest.id) ? row : latest),
    /** @type {TillEntry | null} */ (null),
  );
}
