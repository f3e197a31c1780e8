/** @file What comes onto the shelf and what leaves it otherwise: making, counting, buying; and notes on people, lots and goods. */

import { leaving, personRows, whole } from "./drafts.js";
import { newId } from "./ids.js";
import { known, today } from "./known.js";
import { append } from "./log.js";
import { withPhoneRead } from "./phones.js";
import { badDraft } from "./trouble.js";
import { clean } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {'spoiled' | 'specked' | 'broken' | 'gift' | 'lost' | 'fed'} TakenReason why something leaves the shelf that nobody bought */
/** @typedef {{good: string, units: number, id?: string, sources?: string[], note?: string, measures?: Record<string, any>}} Made */

const MADE = { wax: "poured", honey: "bottled", bulk: "made", carton: "made" };
const LETTERS = { wax: "W", honey: "J", bulk: "B", carton: "C" };
/** Letters of the lots of honey and wax by weight; the same as in stock/stages.py. @type {Record<string, string>} */
const STAGE_LETTERS = {
  honey_bulk: "H",
  honey_residue: "R",
  cappings: "K",
  wax_melted: "M",
  wax_dipped: "D",
  wax_coarse: "S",
  wax_fine: "F",
  wax_back: "X",
};
const DAY_MS = 86_400_000;

/**
 * A pour, a bottling, an extraction.
 * @param {{lots: Made[], used?: {good: string, units: number, lot?: string | null}[], made_on?: string}} work
 * @returns {Promise<{op: string, lots: string[]}>} the codes to write on what was made
 */
export async function make({ lots, used = [], made_on = today() }) {
  if (!lots?.length) throw badDraft("lots", "Nothing was made.", "Say what came out and how many.");
  for (const { units } of [...lots, ...used]) positive(units);
  const codes = lots.map(
    ({ good, id }, i) => id || lotCode(good, made_on, lots.slice(0, i).filter((l) => letterOf(l.good) === letterOf(good)).length),
  );
  const entry = await append(() => {
    const inputs = used.flatMap(({ good, units, lot }) =>
      leaving(good, units, lot === undefined ? undefined : [{ lot, units }]).map((part) =>
        movement(good, part.lot, -part.units, "used", made_on),
      ),
    );
    const from = [...new Set(inputs.map((row) => row.lot).filter(Boolean))];
    /** @type {Row[]} */
    const rows = lots.map(({ good, sources, note, measures }, i) => ({
      table: "lot",
      id: codes[i],
      good,
      made_on,
      sources: sources ?? from,
      note: clean(note),
      measures: measures ?? {},
    }));
    const outputs = lots.map(({ good, units }, i) => movement(good, codes[i], units, MADE[kindOf(good)], made_on));
    return { kind: "make", rows: [...rows, ...inputs, ...outputs] };
  });
  return { op: entry.id, lots: codes };
}

/**
 * The next free code for what is made on a day, such as `W26-204-1`: what it is, year and day of the year, run. Where the house has
 * other devices the run carries this one's mark (`W26-204-B1`): the code is written on labels at once, and no other device, in reach or
 * not, can be making the same one.
 * @param {string} good
 * @param {string} made_on
 * @param {number} [skip] so many runs are taken by the same act
 */
export function lotCode(good, made_on, skip = 0) {
  const day = Date.parse(`${made_on}T00:00:00Z`);
  if (!Number.isFinite(day)) throw badDraft("made_on", `"${made_on}" is not a day.`, "Choose a day.");
  const year = made_on.slice(0, 4);
  const day_of_year = Math.round((day - Date.parse(`${year}-01-01T00:00:00Z`)) / DAY_MS) + 1;
  const start = `${letterOf(good)}${year.slice(2)}-${String(day_of_year).padStart(3, "0")}-${markInCodes()}`;
  let run = 1;
  for (let left = skip; known.view.lots.has(`${start}${run}`) || left > 0; run += 1) {
    if (!known.view.lots.has(`${start}${run}`)) left -= 1;
  }
  return `${start}${run}`;
}

/** @returns {string} this device's mark, or nothing while it is the only one that ever was */
function markInCodes() {
  const { identity, view } = known;
  return [...view.devices.keys()].some((device) => device !== identity?.device) ? (identity?.mark ?? "") : "";
}

/**
 * What was seen on the shelf of one lot; the difference to the book is written.
 * @param {string} good
 * @param {string | null} lot
 * @param {number} units_seen
 * @param {string} [reason]
 */
export async function count(good, lot, units_seen, reason = "counted") {
  if (whole("units_seen", units_seen) < 0) throw badDraft("units_seen", `${units_seen} cannot be on a shelf.`, "Count from 0.");
  const difference = () => units_seen - (known.view.board.balances.get(good)?.get(lot ?? "") ?? 0);
  if (difference() === 0) return { op: null };
  const entry = await append(() => ({ kind: "count", rows: [movement(good, lot, difference(), reason)] }));
  return { op: entry.id };
}

/**
 * Units spoiled, specked, broken, lost, fed to the bees or given away.
 * @param {string} good
 * @param {string | null | undefined} lot left open: the oldest lots first
 * @param {number} units
 * @param {TakenReason} reason
 * @param {string} [note]
 */
export async function takeAway(good, lot, units, reason, note = "") {
  positive(units);
  const entry = await append(() => ({
    kind: "count",
    rows: leaving(good, units, lot === undefined ? undefined : [{ lot, units }]).map((part) => ({
      ...movement(good, part.lot, -part.units, reason),
      note: clean(note),
    })),
  }));
  return { op: entry.id };
}

/**
 * @param {string} good
 * @param {number} units
 * @param {{reason?: 'bought'|'opening', lot?: string | null, note?: string}} [more]
 */
export async function buy(good, units, { reason = "bought", lot = null, note = "" } = {}) {
  const row = { ...movement(good, lot, positive(units), reason), note: clean(note) };
  const entry = await append(() => ({ kind: "buy", rows: [row] }));
  return { op: entry.id };
}

/** @param {import('./shapes.d.ts').DraftPerson} written */
export async function savePerson(written) {
  const person = await withPhoneRead(written);
  const new_id = newId();
  const { id, rows } = personRows(person, new_id);
  if (rows.length === 0) return { op: null, person: id };
  const entry = await append(() => ({ kind: "note_person", rows: personRows(person, new_id).rows }));
  return { op: entry.id, person: id };
}

/** @param {{id: string, [field: string]: any}} lot only the fields that change */
export async function noteLot(lot) {
  const entry = await append(() => ({ kind: "note_lot", rows: [{ table: "lot", ...lot }] }));
  return { op: entry.id };
}

/**
 * @param {{id: string, [field: string]: any}} good only the fields that change
 * @param {{[field: string]: any}} [carton] its measures, when it is one
 */
export async function setGood(good, carton) {
  /** @type {Row[]} */
  const rows = [{ table: "good", ...good }, ...(carton ? [{ table: /** @type {const} */ ("carton"), ...carton, id: good.id }] : [])];
  const entry = await append(() => ({ kind: "set_good", rows }));
  return { op: entry.id };
}

/**
 * @param {string} key
 * @param {any} value any JSON without fractions
 */
export async function setHouse(key, value) {
  const entry = await append(() => ({ kind: "set_house", rows: [{ table: "setting", id: key, value }] }));
  return { op: entry.id };
}

/** Several settings in one entry. @param {Record<string, any>} values any JSON without fractions, by key */
export async function setHouseAll(values) {
  const rows = Object.entries(values).map(([id, value]) => ({ table: /** @type {const} */ ("setting"), id, value }));
  const entry = await append(() => ({ kind: "set_house", rows }));
  return { op: entry.id };
}

/** @param {string} good the letter its lots begin with */
export const letterOf = (good) => STAGE_LETTERS[good] ?? LETTERS[kindOf(good)];

/** @param {string} good */
function kindOf(good) {
  const row = known.view.goods.get(good);
  if (!row) throw badDraft("good", `There is no good called ${good}.`, "Choose one of what you sell.");
  return row.kind;
}

/** @param {number} units */
function positive(units) {
  if (whole("units", units) < 1) throw badDraft("units", `${units} is not an amount.`, "Give a whole number from 1.");
  return units;
}

/**
 * @param {string} good
 * @param {string | null} lot
 * @param {number} units
 * @param {string} reason
 * @param {string} [on]
 * @returns {Row}
 */
export function movement(good, lot, units, reason, on = today()) {
  return { table: "movement", id: newId(), good, lot, units, reason, order: null, line: null, on, note: "" };
}
