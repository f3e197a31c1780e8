import { html, svg } from "lit";
import { lengthMm } from "../../parts/lengths.js";

/** @import { Carton } from "../../store/shapes.d.ts" */

const GRAMS_PER_POUND = 453.59237;
const MM_PER_INCH = 25.4;
const UM_PER_MM = 1000;
const PARTS_OF_AN_INCH = 32;
const SAME_UM = 15; // a kept thickness this near a thirty-second of an inch was typed as one

/** @param {string} what @param {string} text @param {string} remedy */
const bad = (what, text, remedy) => Object.assign(new Error(`${what} is “${text}”, which is no such figure.`), { remedy, kind: "draft" });

/** What the keeper typed from the maker's round certificate; an empty field is not known. @param {FormData} form */
export function certificateRow(form) {
  /** @param {string} name */
  const text = (name) => String(form.get(name) ?? "").trim();
  /** @param {string} name @param {string} what */
  const figure = (name, what) => {
    if (!text(name)) return null;
    const found = Number(text(name).replace(/\s*(lbs?\.?|pounds?|lb\s*\/\s*in)$/i, ""));
    if (!(found >= 1)) throw bad(what, text(name), "Write the number that is printed in the circle, or leave it empty.");
    return found;
  };
  /** @param {string} name @param {string} what @param {number} least @param {number} most */
  const length = (name, what, least, most) => {
    if (!text(name)) return null;
    const found = lengthMm(text(name));
    if (found === null || found < least || found > most)
      throw bad(what, text(name), "Write it like 75 in, or 5/32 in for the board; or leave it empty.");
    return found;
  };
  const pounds = figure("gross", "Gross weight limit"),
    united = length("united", "Size limit", 100, 10_000),
    board = length("board", "Board thickness", 0.5, 30);
  const crush = figure("crush", "Edge crush");
  return {
    max_gross_g: pounds === null ? 0 : Math.floor(pounds * GRAMS_PER_POUND),
    max_united_mm: united === null ? null : Math.floor(united + 1e-6),
    edge_crush_lb_per_in: crush === null ? null : Math.round(crush),
    board_um: board === null ? null : Math.round(board * UM_PER_MM),
  };
}

/** The four fields, as they stand in the circle, beside a picture of one. @param {Partial<Carton>} carton its row */
export const certificateForm = (carton) => html`
  <div class="whole"><h2 class="where">The maker's certificate</h2>
    <p class="faint">A circle printed on a bottom flap. None there? Leave it empty: then nothing is said of limits or stacking.</p>
    <div class="measure-picture">${CIRCLE}</div></div>
  ${field("gross", "gross weight limit, lb", carton.max_gross_g ? String(Math.round(carton.max_gross_g / GRAMS_PER_POUND)) : "", "65")}
  ${field("united", "size limit: L + W + H outside", carton.max_united_mm ? inchesSaid(carton.max_united_mm * UM_PER_MM) : "", "75 in")}
  ${field("crush", "edge crush test, lb per in", carton.edge_crush_lb_per_in ? String(carton.edge_crush_lb_per_in) : "", "32")}
  ${field("board", "thickness of the board (measure a cut edge)", carton.board_um ? inchesSaid(carton.board_um) : "", "5/32 in, or 4 mm")}`;

/** @param {string} name @param {string} words @param {string} value @param {string} example */
const field = (name, words, value, example) =>
  html`<label class="write"><span>${words}</span><input class="figures" name=${name} autocomplete="off" placeholder=${example} .value=${value} /></label>`;

/** "5/32 in" where it is one, else millimetres. @param {number} um @returns {string} */
export function inchesSaid(um) {
  const parts = Math.round((um / UM_PER_MM / MM_PER_INCH) * PARTS_OF_AN_INCH);
  if (Math.abs((parts / PARTS_OF_AN_INCH) * MM_PER_INCH * UM_PER_MM - um) > SAME_UM) return `${um / UM_PER_MM} mm`;
  const whole = Math.floor(parts / PARTS_OF_AN_INCH);
  let [over, under] = [parts % PARTS_OF_AN_INCH, PARTS_OF_AN_INCH];
  for (; over && over % 2 === 0; over /= 2) under /= 2;
  return `${[whole || "", over ? `${over}/${under}` : ""].filter(Boolean).join(" ")} in`;
}

/** @param {number} y @param {number} size @param {string} text */
const word = (y, size, text) => svg`<text x="160" y=${y} text-anchor="middle" style="font-size:${size}px">${text}</text>`;

const CIRCLE = html`<svg viewBox="0 0 320 236" role="img" aria-label="A round certificate: edge crush test 32 pounds per inch, size limit 75 inches, gross weight limit 65 pounds">
  <g fill="none" stroke="currentColor"><circle cx="160" cy="118" r="112" stroke-width="2.5" /><circle cx="160" cy="118" r="104" stroke-width="1" />
    <path d="M74 92 h172 M62 136 h196" stroke-width="1" /></g>
  <g class="measure">${word(46, 13, "maker")}${word(68, 13, "edge crush test")}${word(86, 15, "32 lb per in")}
    ${word(112, 13, "size limit")}${word(130, 15, "75 inches")}${word(156, 13, "gross weight limit")}${word(174, 15, "65 lb")}${word(198, 12, "town, state")}</g></svg>`;
