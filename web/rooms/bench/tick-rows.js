/**
 * What is ticked off as it goes in: the numbered steps of the drawing, one row each; without a plan a row for each line.
 *
 * @typedef {{line: string, good: string, at: number, units: number, runs: LotRun[]}} Slice pieces of one line, from a place on
 * @typedef {{key: string, part: number | null, box: string, says: string, good: string | null, count: number, slices: Slice[]}} TickRow
 */
import { unitsSaid } from "../../parts/words.js";
import { cut, lotsTaken } from "./lots.js";
import { linesToPack } from "./order-work.js";

/** @import { PlannedParcel } from "../../kernel/answers.d.ts" */
/** @import { BenchNote, LotRun } from "../../parts/bench-notes.js" */
/** @import { LineToPack } from "./order-work.js" */
/** @import { Order } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** @param {Order} order @param {View} view @param {BenchNote} note @param {PlannedParcel[]} parcels @returns {TickRow[]} */
export function tickRows(order, view, note, parcels) {
  const lines = linesToPack(order, view).map((line) => ({ ...line, runs: lotsTaken(line, note, view) }));
  const planned = parcels.length && parcels.every(({ step_rows: rows }) => rows?.length) ? bySteps(lines, parcels) : null;
  return (
    planned ??
    lines.map(({ line, good, units, runs }) => ({
      key: line,
      part: null,
      box: "",
      says: unitsSaid(view.goods.get(good) ?? { name: good }, units),
      good,
      count: units,
      slices: [{ line, good, at: 0, units, runs }],
    }))
  );
}

/**
 * The steps with the pieces of the lines dealt out to them in order; null when they do not hold exactly what the lines do.
 * @param {(LineToPack & {runs: LotRun[]})[]} lines
 * @param {PlannedParcel[]} parcels
 */
function bySteps(lines, parcels) {
  const used = new Map(lines.map(({ line }) => [line, 0]));
  /** @param {string} good @param {number} count */
  const deal = (good, count) =>
    lines
      .filter((line) => line.good === good)
      .flatMap(({ line, units, runs }) => {
        const at = used.get(line) ?? 0,
          taken = Math.min(count, units - at);
        count -= taken;
        used.set(line, at + taken);
        return taken ? [{ line, good, at, units: taken, runs: cut(runs, at, taken) }] : [];
      });
  const rows = parcels.flatMap(({ part, carton, carton_name: box, step_rows: steps }) =>
    steps.map(({ says, piece, count }, place) => {
      const slices = piece ? deal(piece, count) : [];
      return { key: `${part} ${carton} ${place} ${says}`, part, box, says, good: slices.length ? piece : null, count, slices };
    }),
  );
  return lines.every(({ line, units }) => used.get(line) === units) ? rows : null;
}

/** How many of a row went in. @param {TickRow} row @param {BenchNote} note */
export const ticksOf = (row, note) => Math.min(row.count, note.counts[row.key] ?? 0);

/** Rows not done yet. @param {TickRow[]} rows @returns {number} @param {BenchNote} note */
export const leftOf = (rows, note) => rows.filter((row) => ticksOf(row, note) < row.count).length;
