/**
 * What is noted at the bench while an order is being packed: how many of each step are in, lots taken otherwise than planned, a carton chosen by hand, the
 * weight of the dressed empty carton. It belongs to this device until the day after the order has gone; a reload loses nothing.
 *
 * @typedef {{lot: string | null, units: number, meant?: string | null}} LotRun meant: which it was to be, where another was taken
 * @typedef {{parcel: string, count: number, net_g: number, division_g: number}} Weighing
 * @typedef {{counts: Record<string, number>, lots: Record<string, LotRun[]>, carton: string | null, empty_g: number | null}} BenchNote
 */
const KEY = "honeyhold.packing.";
const WEIGHINGS = "honeyhold.weighings";
const WEIGHINGS_MOST = 30;

/** Where the device keeps nothing, a note lasts as long as the page. @type {Map<string, BenchNote>} */
const unkept = new Map();

/** @returns {BenchNote} */
const blank = () => ({ counts: {}, lots: {}, carton: null, empty_g: null });

/** @param {string} order @returns {BenchNote} */
export function noteOf(order) {
  const here = unkept.get(order);
  if (here) return here;
  try {
    return { ...blank(), ...JSON.parse(localStorage.getItem(KEY + order) ?? "{}") };
  } catch {
    return blank();
  }
}

/** @param {string} order @param {Partial<BenchNote>} change @returns {BenchNote} */
export function note(order, change) {
  const changed = { ...noteOf(order), ...change };
  try {
    localStorage.setItem(KEY + order, JSON.stringify(changed));
    unkept.delete(order);
  } catch {
    unkept.set(order, changed);
  }
  return changed;
}

/** @param {string} order */
export function dropNote(order) {
  unkept.delete(order);
  try {
    localStorage.removeItem(KEY + order);
  } catch {
    // Nothing was kept, so nothing is left.
  }
}

/**
 * What left today may yet be undone, and is then as it was.
 * @param {{state: string, gone_on?: string | null} | undefined} order
 * @param {string} today
 */
export const isOver = (order, today) => order?.state === "let_go" || (order?.state === "gone" && (order.gone_on ?? "") < today);

/** Orders that went elsewhere, or were let go, leave no note behind. @param {(order: string) => boolean} over */
export function dropOldNotes(over) {
  try {
    Object.keys(localStorage)
      .filter((key) => key.startsWith(KEY))
      .map((key) => key.slice(KEY.length))
      .filter(over)
      .forEach(dropNote);
  } catch {
    // Nothing was kept, so nothing is left.
  }
}

/** Weighings by difference of one good, from which its weight is learnt. @param {string} good @returns {Weighing[]} */
export function weighingsOf(good) {
  try {
    return JSON.parse(localStorage.getItem(WEIGHINGS) ?? "{}")[good] ?? [];
  } catch {
    return [];
  }
}

/** A parcel weighed again counts once. @param {string} good @param {Weighing} weighing */
export function keepWeighing(good, weighing) {
  keepWeighings(good, [...weighingsOf(good).filter(({ parcel }) => parcel !== weighing.parcel), weighing].slice(-WEIGHINGS_MOST));
}

/** @param {string} good @param {Weighing[]} weighings none once the book has learnt, all of them again when that is undone */
export function keepWeighings(good, weighings) {
  try {
    const all = JSON.parse(localStorage.getItem(WEIGHINGS) ?? "{}");
    localStorage.setItem(WEIGHINGS, JSON.stringify({ ...all, [good]: weighings }));
  } catch {
    // Learning is a kindness: nothing depends on it.
  }
}
