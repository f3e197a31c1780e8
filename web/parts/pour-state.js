/**
 * The pour of this morning, kept on this device at every touch, so a reload loses no timer and no count.
 *
 * @typedef {{state: "empty" | "cooling" | "out", at: number, cool_s: number, due_s?: number}} MouldSet at: the moment of the last step; due_s: how long it is to cool
 * @typedef {{good: number, specked: number, cool_s: number}} Looked one set looked over
 * @typedef {{item: string | null, fan: boolean, sets: MouldSet[], tray: Looked[], poured_g: number | null}} Pour
 */
const KEY = "honeyhold.pour";
export const POUR_KEPT = "honeyhold-pour-kept";

/** @param {number} sets @param {boolean} [fan] @param {string | null} [item] @returns {Pour} */
export const freshPour = (sets, fan = false, item = null) => ({
  item,
  fan,
  sets: Array.from({ length: Math.max(1, sets) }, emptySet),
  tray: [],
  poured_g: null,
});

/** @returns {MouldSet} */
export const emptySet = () => ({ state: "empty", at: 0, cool_s: 0 });

/** @param {number} sets @returns {Pour} what was kept, or a fresh one */
export function keptPour(sets) {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "null");
    return kept && Array.isArray(kept.sets) && Array.isArray(kept.tray) ? { ...freshPour(sets), ...kept } : freshPour(sets);
  } catch {
    return freshPour(sets);
  }
}

/** @param {Pour} pour @returns {boolean} false when this device would not keep it */
export function keepPour(pour) {
  try {
    localStorage.setItem(KEY, JSON.stringify(pour));
    dispatchEvent(new Event(POUR_KEPT));
    return true;
  } catch {
    return false;
  }
}

/**
 * The next step of one set: poured, then knocked out. Looking over is `looked`.
 * @param {Pour} pour @param {number} place @param {number} now milliseconds @param {number} due_s how long it is to cool @returns {Pour}
 */
export function stepped(pour, place, now, due_s) {
  const set = pour.sets[place];
  const next =
    set.state === "empty"
      ? { state: "cooling", at: now, cool_s: 0, due_s }
      : { state: "out", at: now, cool_s: Math.round((now - set.at) / 1000) };
  return withSet(pour, place, /** @type {MouldSet} */ (next));
}

/**
 * A set looked over: so many specked, the rest good; the moulds are empty again.
 * @param {Pour} pour @param {number} place @param {number} units in a set @param {number} specked @returns {Pour}
 */
export function looked(pour, place, units, specked) {
  const { cool_s } = pour.sets[place];
  return { ...withSet(pour, place, emptySet()), tray: [...pour.tray, { good: units - specked, specked, cool_s }] };
}

/** One step back of a set: a finger that slipped. @param {Pour} pour @param {number} place @returns {Pour} */
export function steppedBack(pour, place) {
  const set = pour.sets[place];
  const back = set.state === "out" ? { state: "cooling", at: set.at - set.cool_s * 1000, cool_s: 0 } : emptySet();
  return withSet(pour, place, /** @type {MouldSet} */ (back));
}

/** @param {Pour} pour @param {number} place @param {MouldSet} set @returns {Pour} */
const withSet = (pour, place, set) => ({ ...pour, sets: pour.sets.map((old, i) => (i === place ? set : old)) });

/** The sets that cool are to cool so long: the fan was turned, or it is known better now. @param {Pour} pour @param {number} due_s @returns {Pour} */
export const dueIn = (pour, due_s) => ({ ...pour, sets: pour.sets.map((set) => (set.state === "cooling" ? { ...set, due_s } : set)) });

/** What lies on the tray: good ones, specked ones, and the middle cooling time. @param {Pour} pour */
export function trayOf(pour) {
  const cool = pour.tray.map(({ cool_s }) => cool_s).sort((a, b) => a - b);
  return {
    good: pour.tray.reduce((sum, one) => sum + one.good, 0),
    specked: pour.tray.reduce((sum, one) => sum + one.specked, 0),
    pours: pour.tray.length,
    cool_s: cool[Math.floor(cool.length / 2)] ?? 0,
  };
}
