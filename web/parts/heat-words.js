import { packedAgainstHeat } from "../store/said.js";

export { PACKINGS } from "../store/said.js";

/** @import { Order } from "../store/shapes.d.ts" */

/**
 * The stored names of heat's verdicts as they are said: answers bring their own words, records of older orders only the name.
 * @type {Record<string, string>}
 */
const SAID = {
  firm: "fine",
  steady: "fine",
  dented: "may get dents",
  slumped: "may lose their shape",
  run: "may melt",
  loose: "a lid may loosen",
  weeping: "may leak",
  darkened: "the honey may get darker",
};

/** A verdict in words: of an answer with its own words, or of what was told with an order. @param {{verdict?: string, verdict_words?: string} | null | undefined} heat */
export const verdictSaid = (heat) => heat?.verdict_words ?? SAID[heat?.verdict ?? ""] ?? heat?.verdict ?? "";

/** Against heat: the words that stand on the list, the slip and the label alike. @param {Order} order @returns {string} */
export function heatPacked({ way, dressing, hold_at_counter }) {
  if (way !== "post") return "";
  return [packedAgainstHeat(dressing), hold_at_counter ? "held at the post office" : ""].filter(Boolean).join("; ");
}
