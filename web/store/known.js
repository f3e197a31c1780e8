/**
 * @file What this tab knows of the database, in memory: read whole at the start and again when another tab has written. The
 * database is the truth; every write checks inside its transaction that what it built on is still so.
 */

import { Board, ROW_TABLES } from "./board.js";
import { read } from "./database.js";
import { View } from "./view.js";

/** @typedef {import('./shapes.d.ts').Entry} Entry */
/** @typedef {import('idb').IDBPTransaction<any, any, any>} Tx */

const RECENT_ENTRIES = 60;

export const known = {
  /** @type {import('./shapes.d.ts').Identity | null} */ identity: null,
  /** @type {import('./shapes.d.ts').Share} */ share: { granted: {}, spent: {} },
  /** @type {import('./shapes.d.ts').Head} */ head: { seq: 0, hash: "", orders: 0 },
  /** @type {import('./shapes.d.ts').Marks} */ marks: noMarks(),
  mirror: new Board(),
  view: new View(),
  /** Entries in hand, landed but not yet mirrored, refused, and the latest few: by id, in order. @type {Map<string, Entry>} */
  entries: new Map(),
  /** Orders being taken on this device, in whichever window, by id. @type {Map<string, import('./shapes.d.ts').Sentence>} */
  sentences: new Map(),
};

/** @returns {import('./shapes.d.ts').Marks} */
export function noMarks() {
  return {
    epoch: null,
    cursor: null,
    short: {},
    pool: {},
    offset_ms: 0,
    heard_at: null,
    frozen: null,
    turned_away: null,
    covered_to: 0,
    read_to: 0,
    shape: 0,
    removed_at: null,
    offered_in: null,
    house: null,
    moved_to: null,
  };
}

/** The first reading, begun while the rest of the app is still coming (begin.js). @type {Promise<unknown> | null} */
let early = null;

/** Begins to read; a trouble is told to whoever loads. */
export function loadEarly() {
  early = load();
  early.catch(() => {});
}

/** Reads everything from the database, or waits for the reading that has begun early. */
export async function loadFirst() {
  const begun = early;
  early = null;
  await (begun ?? load());
}

/** Reads everything from the database. */
export async function load() {
  const found = await read(["keep", "log", "rows", "sums", "sentences"], async (tx) => {
    const [keep, mirror, entries, sentences] = await Promise.all([
      readKeep(tx),
      readMirror(tx),
      readEntries(tx),
      tx.objectStore("sentences").getAll(),
    ]);
    return { ...keep, mirror, entries, sentences };
  });
  Object.assign(known, found);
  known.entries = new Map(found.entries.map((entry) => [entry.id, entry]));
  known.sentences = new Map(found.sentences.map((sentence) => [sentence.id, sentence]));
  relay();
}

/** @param {Tx} tx */
export async function readKeep(tx) {
  const keep = tx.objectStore("keep");
  const [identity, share, head, marks] = await Promise.all(["identity", "share", "head", "marks"].map((key) => keep.get(key)));
  return {
    identity: identity ?? null,
    share: share ?? { granted: {}, spent: {} },
    head: head ?? { seq: 0, hash: "", orders: 0 },
    marks: { ...noMarks(), ...marks },
  };
}

/** @param {Tx} tx */
export async function readMirror(tx) {
  const board = new Board();
  // table by table: a row says its own id, and thousands of keys need not be read beside it
  const [sumKeys, sums, ...rows] = await Promise.all([
    tx.objectStore("sums").getAllKeys(),
    tx.objectStore("sums").getAll(),
    ...ROW_TABLES.map((table) => tx.objectStore("rows").getAll(IDBKeyRange.bound([table], [table, []]))),
  ]);
  ROW_TABLES.forEach((table, i) => {
    board.tables[table] = new Map(rows[i].map((/** @type {{id: string}} */ row) => [row.id, row]));
  });
  sumKeys.forEach((key, i) => {
    const [kind, first, second] = /** @type {['balance', string, string]} */ (key);
    board.add(kind, [first, second], sums[i]);
  });
  return board;
}

/**
 * @param {Tx} tx
 * @returns {Promise<Entry[]>}
 */
async function readEntries(tx) {
  const log = tx.objectStore("log");
  /** @type {Map<string, Entry>} */
  const found = new Map();
  const keep = (/** @type {Entry} */ entry) => found.set(entry.id, entry);
  const states = await Promise.all(["in_hand", "refused"].map((state) => log.index("by_state").getAll(state)));
  states.flat().forEach(keep);
  const { cursor } = { ...noMarks(), ...(await tx.objectStore("keep").get("marks")) };
  let at = await log.openCursor(null, "prev");
  for (let seen = 0; at; at = await at.continue(), seen += 1) {
    const entry = /** @type {Entry} */ (at.value);
    if (seen >= RECENT_ENTRIES && !unseen(entry, cursor)) break;
    keep(entry);
  }
  return [...found.values()].sort((a, b) => a.seq - b.seq);
}

/**
 * Whether the mirror does not hold this entry's rows yet.
 * @param {Entry} entry
 * @param {number | null} cursor
 */
export function unseen(entry, cursor) {
  return entry.state === "in_hand" || (entry.state === "landed" && (entry.position ?? 0) > (cursor ?? 0));
}

/** Makes the view anew: the mirror with the entries it does not hold yet laid over it, in their order. */
export function relay() {
  if (known.marks.removed_at) {
    // what is still in the log is to be handed in, and shown to nobody
    known.view = new View();
    return;
  }
  const board = known.mirror.copy();
  for (const entry of inOrder()) {
    if (unseen(entry, known.marks.cursor)) entry.operation.rows.forEach((row) => board.apply(row));
  }
  known.view = new View(board);
}

/** Entries of this device's log that this tab holds, oldest first. */
export function inOrder() {
  return [...known.entries.values()].filter((entry) => entry.device === known.identity?.device).sort((a, b) => a.seq - b.seq);
}

/**
 * Units this device may promise alone.
 * @param {string} good
 * @param {import('./shapes.d.ts').Share} [share]
 */
export function shareOf(good, share = known.share) {
  return Math.max(0, (share.granted[good] ?? 0) - (share.spent[good] ?? 0));
}

/**
 * Units of a good that half-made sentences are holding; what an order being changed has already is not counted twice.
 * @param {string} good
 * @param {string | null} [but] the sentence that asks
 */
export function heldOf(good, but = null) {
  let held = 0;
  for (const { id, draft } of known.sentences.values()) {
    if (id === but) continue;
    const units = draft.lines.filter((line) => line.good === good).reduce((sum, line) => sum + line.units, 0);
    if (units) held += Math.max(0, units - (draft.amends ? setAside(draft.amends, good) : 0));
  }
  return held;
}

/**
 * What is set aside for an order already, or handed over.
 * @param {string} order
 * @param {string} good
 */
export const setAside = (order, good) =>
  known.view
    .linesOf(order)
    .filter((line) => line.good === good)
    .reduce((sum, line) => sum + known.view.sure(line) + known.view.handed(line), 0);

/**
 * Units that a sentence may promise: the share less what the other sentences of this device hold.
 * @param {string} good
 * @param {string | null} [sentence]
 */
export const shareFor = (good, sentence = null) => Math.max(0, shareOf(good) - heldOf(good, sentence));

/** By the house's clock. */
export function now() {
  return new Date(Date.now() + known.marks.offset_ms);
}

/** The day by the house's clock, in the house's time zone. */
export function today() {
  return dayOf(now());
}

/** The day of a moment, in the house's time zone. @param {Date} moment */
export function dayOf(moment) {
  const timeZone = known.view.setting("zone") || known.view.setting("time_zone") || undefined;
  try {
    return dayIn(moment, timeZone);
  } catch {
    return dayIn(moment, undefined);
  }
}

/** One for each zone that was asked for: making one takes longer than all else a drawing does. @type {Map<string, Intl.DateTimeFormat>} */
const formats = new Map();

/**
 * Put together from its parts: how they stand in a line differs from browser to browser, in the same language.
 * @param {Date} moment
 * @param {string | undefined} timeZone
 */
function dayIn(moment, timeZone) {
  if (!timeZone) return dayHere(moment);
  const format = formats.get(timeZone) ?? new Intl.DateTimeFormat("en-US", { timeZone, year: "numeric", month: "2-digit", day: "2-digit" });
  formats.set(timeZone, format);
  const parts = format.formatToParts(moment);
  const part = (/** @type {string} */ name) => parts.find(({ type }) => type === name)?.value;
  return `${part("year")}-${part("month")}-${part("day")}`;
}

/** By the device's own zone, which may be another in an hour. @param {Date} moment */
function dayHere(moment) {
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`;
}
