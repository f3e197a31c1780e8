/**
 * @file What a device does that hears it was removed (lost or sold): it forgets. Names, addresses and all else that it mirrored, and every
 * draft, go at once. Its own log goes later: all that it still holds is offered once more, so that the main computer keeps apart what it
 * lacks, and each entry stays here until a checked backup holds it. Then the key goes too.
 */

import { read, write } from "./database.js";
import { known, load, noMarks, readKeep } from "./known.js";
import { EARLIER, keptApart } from "./late.js";
import { HouseError } from "./trouble.js";
import { tellOthers } from "./turn.js";

/** @typedef {import('./shapes.d.ts').Entry} Entry */

const STAYS = "honeyhold.dress"; // light or dark is nobody's secret
const LOST = "device-lost";
/** Entries that nobody needs from here any more. @type {Entry['state'][]} */
const DONE = ["kept_apart", "set_aside", EARLIER];

/** What to do once everything was forgotten: the page starts anew, with nothing in memory. Tests look without it. */
export const after = { forgetting: () => location.reload() };

/** Whether this page was there as it was forgotten: what it has in memory goes once all is handed in. */
let remembers = false;

/**
 * A device that was removed is turned away, but what it sent is kept for the keeper: then the next page is sent too. What it
 * knows it forgets at once; its own entries when none is left to send and a backup holds them.
 * @param {any} error
 * @returns {Promise<null>} null when there may be more to hand in; otherwise it rejects with the error
 */
export async function turnedAway(error) {
  if (!(error instanceof HouseError) || error.code !== LOST) throw error;
  if (error.kept.length) await keptApart(error.kept);
  const first = await forgetMirror(error.epoch);
  remembers ||= first;
  const anew = !first && (await offerAgain(error.epoch));
  if (error.kept.length || ((first || anew) && (await stillHere()))) {
    tellOthers();
    return null;
  }
  if (error.forget) await forgetAll();
  if (remembers || error.forget) after.forgetting();
  remembers = false;
  throw error;
}

/**
 * Forgets the mirror and the drafts, and takes all that the log still holds in hand again; once.
 * @param {string} epoch the house's
 * @returns {Promise<boolean>} whether it was the first time
 */
async function forgetMirror(epoch) {
  if (known.marks.removed_at) return false;
  await write(["keep", "log", "rows", "sums", "sentences"], async (tx) => {
    const keep = tx.objectStore("keep");
    const { identity, marks } = await readKeep(tx);
    const log = tx.objectStore("log");
    const entries = /** @type {Entry[]} */ (await log.getAll());
    const held = entries.filter(({ state, device }) => !DONE.includes(state) && device === identity?.device);
    await Promise.all([
      tx.objectStore("rows").clear(),
      tx.objectStore("sums").clear(),
      tx.objectStore("sentences").clear(),
      keep.delete("took"),
      keep.delete("forgotten"),
      keep.put({ granted: {}, spent: {} }, "share"),
      // the epoch and the cursor stay those that were: nothing is fetched anew, and the entries are offered as they are
      keep.put(
        {
          ...noMarks(),
          epoch: marks.epoch,
          cursor: marks.cursor ?? 0,
          shape: Infinity,
          removed_at: new Date().toISOString(),
          offered_in: epoch,
        },
        "marks",
      ),
      ...held.map((entry) => log.put({ ...entry, state: "in_hand" })),
    ]);
  });
  forgetDrafts();
  await load();
  tellOthers();
  return true;
}

/**
 * The house was put back from a backup since: what it kept apart then it may lack now, so all that the log holds is offered once more.
 * @param {string} epoch the house's
 * @returns {Promise<boolean>} whether there was a reason
 */
async function offerAgain(epoch) {
  if (!epoch || known.marks.offered_in === epoch) return false;
  await write(["keep", "log"], async (tx) => {
    const { identity, marks } = await readKeep(tx);
    const log = tx.objectStore("log");
    const apart = /** @type {Entry[]} */ (await log.index("by_state").getAll("kept_apart"));
    await Promise.all([
      tx.objectStore("keep").put({ ...marks, offered_in: epoch }, "marks"),
      ...apart.map((entry) => log.put({ ...entry, state: entry.device === identity?.device ? "in_hand" : EARLIER })),
    ]);
  });
  await load();
  return true;
}

/** Nothing is left to hand in, and a backup holds all of it: the log and the key go too. */
async function forgetAll() {
  await write(["keep", "log", "rows", "sums", "sentences"], async (tx) => {
    const keep = tx.objectStore("keep");
    const { marks } = await readKeep(tx);
    const log = tx.objectStore("log");
    const entries = /** @type {Entry[]} */ (await log.getAll());
    const unheard = entries.filter(({ state }) => state === EARLIER);
    await Promise.all([
      keep.clear(),
      log.clear(),
      ...["rows", "sums", "sentences"].map((name) => tx.objectStore(/** @type {'rows'} */ (name)).clear()),
    ]);
    await Promise.all([
      keep.put({ ...noMarks(), removed_at: marks.removed_at ?? new Date().toISOString() }, "marks"),
      ...unheard.map((entry) => log.put(entry)),
    ]);
  });
  forgetDrafts();
  tellOthers();
}

/** How many entries are still to be handed in. */
async function stillHere() {
  return read(["log"], async (tx) => tx.objectStore("log").index("by_state").count("in_hand"));
}

/** Counts and notes lie outside the database, and the half-written sentence of a version before. */
function forgetDrafts() {
  for (const storage of [() => localStorage, () => sessionStorage]) {
    try {
      const kept = storage();
      Object.keys(kept)
        .filter((key) => key !== STAYS)
        .forEach((key) => kept.removeItem(key));
    } catch {
      /* no storage: then nothing lies there */
    }
  }
}
