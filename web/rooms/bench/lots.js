/**
 * Which lot each piece of a line is of, piece after piece: the oldest first, or as noted at the bench where another was in the hand.
 */

/** @import { BenchNote, LotRun } from "../../parts/bench-notes.js" */
/** @import { LineToPack } from "./order-work.js" */
/** @import { View } from "../../store/view.js" */

/** What lies here lot by lot, or would once others took theirs. @typedef {Pick<View, "lotBalance">} Lots */

/** The oldest first. @param {string} good @param {number} units @param {Lots} view @returns {LotRun[]} */
export function lotsFor(good, units, view) {
  /** @type {LotRun[]} */
  const picked = [];
  let left = units;
  for (const { lot, units: there } of view.lotBalance(good)) {
    if (left <= 0) break;
    if (there > 0) picked.push({ lot, units: Math.min(left, there) });
    left -= Math.max(0, there);
  }
  return left > 0 ? [...picked, { lot: null, units: left }] : picked;
}

/** The runs of a line as they are taken. @param {LineToPack} line @param {BenchNote} note @param {Lots} view @returns {LotRun[]} */
export function lotsTaken({ line, good, units }, note, view) {
  const taken = note.lots[line];
  return taken && taken.reduce((sum, one) => sum + one.units, 0) === units ? taken : lotsFor(good, units, view);
}

/** The runs of so many pieces from a place on. @param {LotRun[]} runs @returns {LotRun[]} @param {number} from @param {number} units */
export function cut(runs, from, units) {
  const found = [];
  let at = 0;
  for (const run of runs) {
    const start = Math.max(from, at),
      end = Math.min(from + units, at + run.units);
    if (end > start) found.push({ ...run, units: end - start });
    at += run.units;
  }
  return found;
}

/** @param {LotRun[]} runs */
const lengthOf = (runs) => runs.reduce((sum, { units }) => sum + units, 0);

/**
 * The runs with another lot in so many pieces from a place on; what it was to be is remembered.
 * @param {LotRun[]} runs
 * @param {number} from
 * @param {number} units
 * @param {string | null} lot
 * @returns {LotRun[]}
 */
export function withLot(runs, from, units, lot) {
  const changed = cut(runs, from, units).map((run) => {
    const planned = "meant" in run ? run.meant : run.lot;
    return planned === lot ? { lot, units: run.units } : { lot, units: run.units, meant: planned };
  });
  const all = [...cut(runs, 0, from), ...changed, ...cut(runs, from + units, lengthOf(runs))];
  return all.reduce((done, run) => {
    const last = done.at(-1);
    if (last && last.lot === run.lot && last.meant === run.meant) last.units += run.units;
    else done.push({ ...run });
    return done;
  }, /** @type {LotRun[]} */ ([]));
}

/** One row a lot, as they leave the shelf. @param {LotRun[]} runs @returns {{lot: string | null, units: number}[]} */
export function byLot(runs) {
  const sums = new Map();
  for (const { lot, units } of runs) sums.set(lot, (sums.get(lot) ?? 0) + units);
  return [...sums].map(([lot, units]) => ({ lot, units }));
}
