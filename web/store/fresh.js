/** @file Beginnings and endings of what this device keeps: enrolment, a mirror from scratch, and entries a backup holds by now. */

import { knockJson } from "./doors.js";
import { write } from "./database.js";
import { noMarks, readKeep } from "./known.js";
import { EARLIER } from "./late.js";

/** @typedef {import('./shapes.d.ts').Entry} Entry */
/** @typedef {import('./database.js').Writing} Writing */

/** What a mirror holds has grown: a device that keeps an older one fetches it anew. */
export const MIRROR_SHAPE = 5;
const MIRROR_WAIT_MS = 180_000; // seventy thousand rows of a large house, on a slow phone

/**
 * Makes this device one of the house. What it wrote under an earlier name, and the house may lack, is handed in for the keeper to settle.
 * @param {string} code
 * @param {string} name
 */
export async function enrolled(code, name) {
  const answer = await knockJson("/api/enrol", { body: { code: code.trim(), name: name.trim() } });
  const { device, token, mark, role } = answer;
  await write(["keep", "log", "rows", "sums"], async (tx) => {
    const keep = tx.objectStore("keep");
    const log = tx.objectStore("log");
    const { marks } = await readKeep(tx);
    const left = /** @type {Entry[]} */ (await log.getAll()).filter(
      (entry) => entry.state === "in_hand" || (entry.state === "landed" && (entry.position ?? Infinity) > marks.covered_to),
    );
    await Promise.all([
      keep.put({ device, token, name: answer.name, mark, role }, "identity"),
      keep.put({ granted: {}, spent: {} }, "share"),
      keep.put({ seq: 0, hash: "", orders: 0 }, "head"),
      keep.put(noMarks(), "marks"),
      tx.objectStore("rows").clear(),
      tx.objectStore("sums").clear(),
      ...left.map((entry) => log.put({ ...entry, state: EARLIER })),
    ]);
  });
}

/**
 * Replaces the mirror by the house's and squares the log with what the house has of it: entries it lacks are in hand again,
 * refused ones too, since the chain may have no hole.
 * @param {import('./shapes.d.ts').MirrorAnswer} mirror
 * @param {number} offset_ms
 */
export async function started(mirror, offset_ms) {
  await write(
    ["keep", "log", "rows", "sums"],
    async (tx) => {
      const keep = await readKeep(tx);
      const device = keep.identity?.device ?? "";
      const log = tx.objectStore("log");
      const entries = /** @type {Entry[]} */ (await log.getAll(IDBKeyRange.bound([device, 0], [device, Infinity])));
      const last = entries.find((entry) => entry.seq === mirror.last_seq);
      // the house knows another chain under this name: everything is said again, so that it keeps apart what it lacks
      const another = last ? last.operation.hash !== mirror.last_hash : keep.head.seq < mirror.last_seq;
      const earlier = /** @type {Entry[]} */ (await log.index("by_state").getAll("kept_apart")).filter((entry) => entry.device !== device);
      await Promise.all([tx.objectStore("rows").clear(), tx.objectStore("sums").clear()]);
      const marks = {
        ...noMarks(),
        epoch: mirror.epoch,
        cursor: mirror.cursor,
        offset_ms,
        heard_at: new Date().toISOString(),
        shape: MIRROR_SHAPE,
        house: mirror.house || null,
        read_to: mirror.last_seq,
        frozen: keep.marks.frozen ?? behind(keep.head.seq, mirror.last_seq),
      };
      await Promise.all([
        ...entries.map((entry) => squared(placed(entry, keep.marks.epoch), mirror, another)).map((entry) => log.put(entry)),
        // what was kept apart is kept in this epoch only if it is handed in again
        ...(keep.marks.epoch === mirror.epoch ? [] : earlier.map((entry) => log.put({ ...entry, state: EARLIER }))),
        ...[...mirror.rows, ...(mirror.ledgers ?? [])].map(({ table, ...row }) => tx.objectStore("rows").put(row, [table, row.id])),
        ...sumsOf(mirror).map(([key, value]) => tx.objectStore("sums").put(value, key)),
        tx.objectStore("keep").put(marks, "marks"),
        tx.objectStore("keep").put({ since: mirror.took_since ?? null, gone: mirror.gone ?? [], took: mirror.took ?? [] }, "took"),
        tx.objectStore("keep").put(merged(keep.share, mirror), "share"),
      ]);
    },
    MIRROR_WAIT_MS,
  );
}

/**
 * An entry with the place in the house's order that it got when it landed first: who waited first is still first after a restore.
 * @param {Entry} entry
 * @param {string | null} epoch in which it landed, if it did
 * @returns {Entry}
 */
function placed(entry, epoch) {
  if (entry.place || entry.state !== "landed" || !entry.position || epoch === null) return entry;
  return { ...entry, place: { epoch, position: entry.position } };
}

/**
 * @param {Entry} entry
 * @param {import('./shapes.d.ts').MirrorAnswer} mirror
 * @param {boolean} another whether the house's chain of this device is another one
 * @returns {Entry}
 */
function squared(entry, mirror, another) {
  if (entry.seq > mirror.last_seq || another)
    return { ...entry, state: "in_hand", position: null, dealt_with: entry.state === "set_aside" };
  if (entry.state === "landed") return { ...entry, position: 0 };
  // the house has it, so its answer comes when it is said again: it stays in hand, but its rows may be in the mirror already
  return entry;
}

/**
 * @param {import('./shapes.d.ts').MirrorAnswer} mirror
 * @returns {[string[], number][]}
 */
function sumsOf(mirror) {
  return [
    ...mirror.balances.map(({ good, lot, units }) => /** @type {[string[], number]} */ ([["balance", good, lot ?? ""], units])),
    ...mirror.sure.map(({ line, good, units }) => /** @type {[string[], number]} */ ([["sure", line, good], units])),
    ...mirror.handed.map(({ line, good, units }) => /** @type {[string[], number]} */ ([["handed", line, good], units])),
    ...mirror.paid.map(({ order, cents }) => /** @type {[string[], number]} */ ([["paid", order, ""], cents])),
    ...(mirror.money ?? []).map(({ on, how, cents }) => /** @type {[string[], number]} */ ([["money", on, how], cents])),
    ...(mirror.moved ?? []).map(
      ({ good, reason, year, units }) => /** @type {[string[], number]} */ ([["moved", good, `${reason} ${year}`], units]),
    ),
  ];
}

/**
 * Both sides' counts only grow: the higher is the later.
 * @param {import('./shapes.d.ts').Share} here
 * @param {import('./shapes.d.ts').Share} told by the house
 * @returns {import('./shapes.d.ts').Share}
 */
export function merged(here, told) {
  return { granted: higher(here.granted, told.granted), spent: higher(here.spent, told.spent) };
}

/**
 * @param {import('./shapes.d.ts').Units} a
 * @param {import('./shapes.d.ts').Units} b
 */
function higher(a, b) {
  const both = { ...a };
  for (const [good, units] of Object.entries(b)) both[good] = Math.max(units, both[good] ?? 0);
  return both;
}

/**
 * A house that has more of this device's entries than the device itself: the device's storage went back in time.
 * @param {number} seq_here
 * @param {number} seq_house
 * @returns {string | null}
 */
export function behind(seq_here, seq_house) {
  return seq_here >= seq_house
    ? null
    : `The main computer has ${seq_house} entries of this device, the device itself only ${seq_here}: ` + "its storage is an older copy.";
}

const KEPT_MS = 60 * 24 * 3_600_000; // whatever is covered: the main computer's backups may lie on the disk that dies with it

/**
 * Forgets landed entries of more than sixty days ago that every kept backup holds (positions up to `covered_to`), and answered ones before them.
 * @param {Writing} tx
 * @param {string} device
 * @param {number} covered_to
 * @param {string} house_time
 */
export async function emptied(tx, device, covered_to, house_time) {
  const old = Date.parse(house_time) - KEPT_MS;
  const log = tx.objectStore("log");
  const entries = /** @type {Entry[]} */ (await log.getAll(IDBKeyRange.bound([device, 0], [device, Infinity])));
  const covered = entries.filter(
    (entry) => entry.state === "landed" && (entry.position ?? Infinity) <= covered_to && Date.parse(entry.operation.made_at) < old,
  );
  const last = Math.max(0, ...covered.map((entry) => entry.seq));
  const done = entries.filter((entry) => entry.seq <= last && (entry.state === "landed" || entry.state === "set_aside"));
  await Promise.all(done.map((entry) => log.delete([device, entry.seq])));
}
