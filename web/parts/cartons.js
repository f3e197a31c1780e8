/** A carton from its inner sides: its name, its outer sides, what it weighs empty; and the acts that write one down. */
import { lengthMm, lengthText } from "./lengths.js";
import { house } from "../store/house.js";
import { buy, setGood } from "../store/acts.js";

/** @import { Good, Trouble } from "../store/shapes.d.ts" */

const MM_PER_INCH = 25.4;
const PARTS = 32; // of an inch
const BOARD_PARTS = 5; // a single wall of 5/32 in (C flute); common practice, no source
const LAYERS = [2, 2, 4]; // of board on length, width and height, where the flaps lie double
const BOARD_G_PER_M2 = 559; // the middle of 523 to 595; common practice, no source
const [JOINT_MM, CREASES_MM] = [35, 8]; // the glued flap, and what the creases take; common practice, no source
const FIRST_RANK = 100; // cartons come after everything that is sold
const SIDES = ["length", "width", "height"];

/** @param {string} message @param {string} remedy @returns {Trouble & Error} */
const bad = (message, remedy) => Object.assign(new Error(message), { remedy, kind: "draft" });
/** A side that was checked before. @param {string} side */
const sideMm = (side) => lengthMm(side) ?? 0;

/** Outside of a side, exact where it was typed in inches. @param {string} inner a length @param {number} at 0 length, 1 width, 2 height */
export function outerText(inner, at) {
  const mm = sideMm(inner);
  const parts = (mm / MM_PER_INCH) * PARTS;
  const more = LAYERS[at] * BOARD_PARTS;
  if (!/in$/.test(lengthText(inner)) || Math.abs(parts - Math.round(parts)) > 1e-6)
    return `${Math.ceil(mm + (more / PARTS) * MM_PER_INCH)} mm`;
  return inches(Math.round(parts) + more);
}

/** @param {number} parts whole 32ths */
function inches(parts) {
  let [over, under] = [parts % PARTS, PARTS];
  for (; over && over % 2 === 0; over /= 2) under /= 2;
  return `${[Math.floor(parts / PARTS) || "", over ? `${over}/${under}` : ""].filter(Boolean).join(" ")} in`;
}

/** What such a carton weighs empty, from its board. @param {string[]} sides inside @returns {number} grams */
export function typicalTare(sides) {
  const [length, width, height] = sides.map(sideMm);
  return Math.round(((2 * (length + width) + JOINT_MM) * (height + width + CREASES_MM) * BOARD_G_PER_M2) / 1e6);
}

/** "12×12×8", "8 5/8×5 3/8×1 5/8", "220×150×100 mm". @param {string[]} sides */
export function sizeName(sides) {
  const tidy = sides.map(lengthText);
  for (const unit of [" in", " mm"])
    if (tidy.every((side) => side.endsWith(unit)))
      return tidy.map((side) => side.slice(0, -unit.length)).join("×") + (unit === " mm" ? unit : "");
  return tidy.join("×");
}

/** The three sides as typed, tidied; throws what to say when one is no length. @param {string[]} sides */
export function checkedSides(sides) {
  return sides.map((side, at) => {
    if (lengthMm(side) === null)
      throw bad(`The ${SIDES[at]} is “${side}”, which is no length.`, "Write it like 8 5/8, 8 5/8 in, or 220 mm.");
    return lengthText(side);
  });
}

/** A whole number of cents from dollars as typed; an empty text is 0. @param {string} text */
export function centsTyped(text) {
  const found = /^\$?\s*(\d{0,5})(?:\.(\d{1,2}))?$/.exec(text.trim());
  if (!found) throw bad(`“${text}” is no price.`, "Write it like 0.58, or leave it empty.");
  return Number(found[1] || 0) * 100 + Number((found[2] ?? "").padEnd(2, "0"));
}

/**
 * Writes a carton down, and how many lie here. Resolves once both are durable.
 * @param {{sides: string[], name?: string, tare_g?: number, cost_cents?: number, count?: number, [certificate: string]: any}} carton `sides`: inside, as typed
 * @returns {Promise<{op: string, counted: string | null, carton: string}>} the operations that an undo names
 */
export async function addCarton({ sides: typed, name, tare_g, cost_cents = 0, count = 0, ...certificate }) {
  const sides = checkedSides(typed);
  if (!Number.isSafeInteger(count) || count < 0) throw bad(`${count} cartons cannot lie here.`, "Give a whole number, or 0.");
  const said = name?.trim() || sizeName(sides);
  const id = freeId(sides);
  const rank =
    Math.max(FIRST_RANK - 1, ...[...house.view.goods.values()].filter(({ kind }) => kind === "carton").map((good) => good.rank)) + 1;
  /** @type {Pick<Good, "id" | "name" | "plural" | "short" | "kind" | "unit" | "rank" | "sold" | "hidden">} */
  const good = {
    id,
    name: `carton ${said}`,
    plural: `cartons ${said}`,
    short: said.slice(0, 30),
    kind: "carton",
    unit: "each",
    rank,
    sold: false,
    hidden: false,
  };
  const row = {
    name: said,
    inner: sides,
    outer: sides.map(outerText),
    tare_g: tare_g || typicalTare(sides),
    cost_cents,
    hidden: false,
    ...certificate,
  };
  const { op } = await setGood(good, row);
  const counted = count ? await buy(id, count, { reason: "opening" }) : null;
  return { op, counted: counted?.op ?? null, carton: id };
}

/** An id that says the size, so that what a person reads in a list of records can be told apart. @param {string[]} sides */
function freeId(sides) {
  const stem = `carton_${sides
    .map((side) =>
      side
        .replace(/ in$/, "")
        .replace(/\s*mm$/, "mm")
        .replace(/[ ]/g, "-")
        .replace("/", "_"),
    )
    .join("x")}`.slice(0, 56);
  let [id, more] = [stem, 1];
  while (house.view.goods.has(id)) id = `${stem}.${(more += 1)}`;
  return id;
}
