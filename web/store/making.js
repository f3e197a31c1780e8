/**
 * @file Honey and wax by weight: extraction, the steps from cappings to what can be poured, the pour, the bottling. Every act is one
 * entry `make`; what leaves one stage comes to the next to the gram, and what did not come is lost and said to be.
 */

import { leaving, whole } from "./drafts.js";
import { today } from "./known.js";
import { append } from "./log.js";
import { lotCode, movement, letterOf } from "./stocking.js";
import { badDraft } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {{good: string, units: number, reason: string, measures?: Record<string, any>}} Out */
/** @typedef {{good: string, units: number, reason: string, lot?: string | null}} In */

/**
 * One entry: what comes out gets lots, what goes in leaves the named lot or the oldest ones.
 * @param {{outs: Out[], ins?: In[], sources?: string[], made_on?: string}} work `sources` besides the lots that were used
 * @returns {Promise<{op: string, lots: string[]}>} the codes to write on what came out
 */
export async function made({ outs, ins = [], sources = [], made_on = today() }) {
  for (const { good, units } of [...outs, ...ins]) {
    if (whole(good, units) < 1) throw badDraft(good, `${units} is not an amount.`, "Give a whole number from 1.");
  }
  /** @type {string[]} */
  let codes = [];
  const entry = await append(() => {
    codes = outs.map(({ good }, i) =>
      lotCode(good, made_on, outs.slice(0, i).filter((out) => letterOf(out.good) === letterOf(good)).length),
    );
    /** @type {import('./shapes.d.ts').Units} */
    const taken = {};
    const inputs = ins.flatMap(({ good, units, reason, lot }) =>
      leaving(good, units, lot === undefined ? undefined : [{ lot, units }], taken).map((part) =>
        movement(good, part.lot, -part.units, reason, made_on),
      ),
    );
    const from = [...new Set([...sources, ...inputs.map((row) => row.lot).filter(Boolean)])];
    /** @type {Row[]} */
    const lots = outs.map(({ good, measures }, i) => ({
      table: "lot",
      id: codes[i],
      good,
      made_on,
      note: "",
      measures: measures ?? {},
      // cappings come from the comb whose honey was taken the same day
      sources: good === "cappings" ? [...from, ...codes.filter((_, j) => outs[j].good === "honey_bulk")] : from,
    }));
    const outputs = outs.map(({ good, units, reason }, i) => movement(good, codes[i], units, reason, made_on));
    return { kind: "make", rows: [...lots, ...inputs, ...outputs] };
  });
  return { op: entry.id, lots: codes };
}

/**
 * An extraction: honey into buckets, cappings drained.
 * @param {{buckets_g: number[], each_a_lot?: boolean, cappings_g?: number, supers?: number, water_permille?: number, color_mm?: number}} day
 */
export async function extract({ buckets_g, each_a_lot = false, cappings_g = 0, supers, water_permille, color_mm }) {
  if (!buckets_g.length) throw badDraft("buckets_g", "No bucket was weighed.", "Weigh the first bucket.");
  const measures = Object.fromEntries(Object.entries({ supers, water_permille, color_mm }).filter(([, value]) => value !== undefined));
  const total = buckets_g.reduce((sum, grams) => sum + grams, 0);
  const weights = each_a_lot ? buckets_g : [total];
  const honey = weights.map((units) => ({
    good: "honey_bulk",
    units,
    reason: "made",
    measures: { ...measures, honey_g: units, buckets: each_a_lot ? 1 : buckets_g.length },
  }));
  const capped = cappings_g ? [{ good: "cappings", units: cappings_g, reason: "made", measures: { drained_g: cappings_g } }] : [];
  return made({ outs: [...honey, ...capped] });
}

/**
 * A step: so much leaves a stage, so much comes to the next ones, the rest is lost.
 * @param {{from: string, lot?: string | null, grams: number, to: {good: string, units: number}[]}} step
 */
export async function pass({ from, lot, grams, to }) {
  const came = to.reduce((sum, { units }) => sum + units, 0);
  if (came > grams) {
    throw badDraft("to", `${came} g came out of ${grams} g.`, "Weigh both again: less comes out than went in.");
  }
  if (!came) throw badDraft("to", "Nothing came out.", "Weigh what came out, or enter it as lost.");
  const named = lot === undefined ? {} : { lot };
  const ins = [{ good: from, units: came, reason: "passed", ...named }];
  if (grams > came) ins.push({ good: from, units: grams - came, reason: "lost", ...named });
  return made({ ins, outs: to.map(({ good, units }) => ({ good, units, reason: "came" })) });
}

/**
 * Bars or blocks out of the moulds: the good ones to the shelf, the specks back to be melted.
 * @param {{good: string, units: number, specked: number, poured_g: number, back_g: number, lot?: string | null,
 *   measures?: Record<string, any>}} pour
 */
export async function pour({ good, units, specked, poured_g, back_g, lot, measures }) {
  if (back_g >= poured_g) throw badDraft("back_g", `${back_g} g of specks out of ${poured_g} g poured.`, "Weigh both again.");
  const named = lot === undefined ? {} : { lot };
  const ins = [{ good: "wax_fine", units: poured_g - back_g, reason: "used", ...named }];
  const outs = [{ good, units, reason: "poured", measures: { ...measures, poured: units + specked, specked, wax_g: poured_g - back_g } }];
  if (back_g) {
    ins.push({ good: "wax_fine", units: back_g, reason: "passed", ...named });
    outs.push({ good: "wax_back", units: back_g, reason: "came", measures: { poured: specked, specked, wax_g: back_g } });
  }
  return made({ ins, outs });
}

/**
 * A bottling run: from a bucket into jars; what stays in the bucket and the strainer is lost.
 * @param {{from: string, lot?: string | null, used_g: number, lost_g: number, jars: {good: string, units: number}[]}} run
 */
export async function bottle({ from, lot, used_g, lost_g, jars }) {
  const named = lot === undefined ? {} : { lot };
  const ins = [{ good: from, units: used_g, reason: "used", ...named }];
  if (lost_g) ins.push({ good: from, units: lost_g, reason: "lost", ...named });
  return made({ ins, outs: jars.map(({ good, units }) => ({ good, units, reason: "bottled", measures: { honey_g: used_g, lost_g } })) });
}

/**
 * The goods by weight, put into the book (keepers only).
 * @param {Row[]} rows
 */
export async function addStages(rows) {
  const entry = await append(() => ({ kind: "set_good", rows }));
  return { op: entry.id };
}
