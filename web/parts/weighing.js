/** @file What the rooms about making share: the stages in order, the goods that are in the book, the weight of one bar. */
import { house } from "../store/house.js";
import { movedRows } from "../store/recall.js";

/** @import { Good, Row } from "../store/shapes.d.ts" */

/** @typedef {{good: string, name: string, step: string, to?: string[]}} Stage */

/** Good, what the step that empties it is called, where its wax or honey comes to. Names and letters are those of stock/stages.py. @type {Stage[]} */
export const STAGES = [
  { good: "honey_bulk", name: "honey in buckets", step: "bottle" },
  { good: "honey_residue", name: "honey from the cappings", step: "see where it goes" },
  { good: "cappings", name: "drained cappings", step: "first melt", to: ["wax_melted", "honey_residue"] },
  { good: "wax_melted", name: "first melt", step: "dip", to: ["wax_dipped"] },
  { good: "wax_dipped", name: "dipped wax", step: "coarse screen", to: ["wax_coarse"] },
  { good: "wax_coarse", name: "coarse screened wax", step: "fine screen", to: ["wax_fine"] },
  { good: "wax_fine", name: "fine screened wax", step: "pour" },
  { good: "wax_back", name: "specks to melt again", step: "melt again", to: ["wax_dipped"] },
];
const NET_SHORT_G = 0.85; // a net weight in whole grams is rounded down, and half a gram is given away

/** @param {string} good */
export const stageOf = (good) => STAGES.find((stage) => stage.good === good);

/** Whether the book knows the goods by weight. */
export const stagesKnown = () => STAGES.every(({ good }) => house.view.goods.has(good));

/** Rows of `set_good` for the stages that are missing. @returns {Row[]} */
export const missingStages = () =>
  STAGES.filter(({ good }) => !house.view.goods.has(good)).map(({ good, name }) => ({
    table: "good",
    id: good,
    name,
    plural: name,
    short: "g",
    kind: "bulk",
    unit: "g",
    rank: 200 + STAGES.findIndex((stage) => stage.good === good),
    sold: false,
  }));

/** What is sold by the piece and made here, of one kind or both. @param {string} [kind] */
export const madeGoods = (kind) =>
  [...house.view.goods.values()]
    .filter((good) => good.sold && !good.hidden && good.unit !== "g" && (!kind || good.kind === kind))
    .sort((a, b) => a.rank - b.rank);

/** Milligrams of wax in one piece as it leaves the mould. @param {Good} good */
export const perUnitMg = (good) => Math.round(((good.net_g || 0) + NET_SHORT_G) * 1000);

/** Grams for so many pieces, whole. @param {Good} good @param {number} units */
export const gramsFor = (good, units) => Math.round((perUnitMg(good) * units) / 1000);

/** Cooling times of this house's own pours, oldest first, as `stock.cooling_time` wants them. */
export const ownPours = () =>
  [...house.view.lots.values()]
    .filter(({ measures }) => measures?.cool_s)
    .sort((a, b) => a.made_on.localeCompare(b.made_on))
    .map(({ measures }) => ({ cool_s: measures.cool_s, fan: Boolean(measures.fan) }));

/** The request of `stock.wax_here`. @param {number} cool_s @param {Good} good */
export function waxRequest(good, cool_s) {
  const { view } = house;
  const stages = Object.fromEntries(STAGES.slice(2).map((stage) => [stage.good, view.onHand(stage.good)]));
  return {
    stages,
    moved: movedRows().filter((row) => row.good in stages),
    wax_per_unit_mg: perUnitMg(good),
    pour_units: good.row || 10,
    mould_sets: view.setting("mould_sets", 1),
    morning_hours: view.setting("morning_hours", 4),
    cool_min: Math.round(cool_s / 60),
  };
}
