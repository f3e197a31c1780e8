/** What was measured of a lot, as one says it: its stored name and figure into words. */
import { weightSaid } from "../../parts/words.js";

/** @type {Record<string, string>} */
const NAMES = {
  cool_s: "cooled",
  water_permille: "water",
  color_mm: "color",
  honey_g: "honey",
  wax_g: "wax",
  lost_g: "lost",
  drained_g: "drained",
  poured: "poured",
  specked: "specked",
};

/** @param {string} name @param {any} value @returns {[string, string]} */
export function measureSaid(name, value) {
  const word = NAMES[name] ?? name.replaceAll("_", " ");
  if (name === "fan") return ["fan", value ? "on" : "off"];
  if (name.endsWith("_s")) return [word, `${Math.round(value / 60)} min`];
  if (name.endsWith("_permille")) return [word, `${value / 10} %`];
  if (name.endsWith("_mm")) return [word, `${value} mm Pfund`];
  if (name.endsWith("_g")) return [word, weightSaid(value)];
  return [word, String(value)];
}
