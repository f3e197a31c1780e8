/** @file Half-made sentences as this device keeps them: rows, and what the browser remembers beside them. */

import { read, write } from "./database.js";
import { known } from "./known.js";
import { keptByWindows, WINDOW } from "./turn.js";
import { HouseError } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Sentence} Sentence */

const EARLIER_KEY = "honeyhold.draft"; // where the versions before kept the one sentence they had
const SAME_TAB_KEY = "honeyhold.sentence";

/** Reads them anew. */
export async function loadSentences() {
  const rows = await read(["sentences"], (tx) => tx.objectStore("sentences").getAll());
  known.sentences = new Map(rows.map((row) => [row.id, row]));
}

/** Whether anything of an order is in it. @param {Sentence['draft']} draft */
export const begun = (draft) => Boolean(draft.person || draft.fresh || draft.lines.length || draft.amends);

/** All of them. */
export const latestFirst = () => [...known.sentences.values()].sort((a, b) => b.changed_at.localeCompare(a.changed_at));

/** Those that a window has left half made and is gone. @returns {Promise<string[]>} */
export async function leftBehind() {
  const owned = latestFirst().filter(({ owner }) => owner !== null);
  const live = owned.length ? await keptByWindows() : new Set();
  return owned.map(({ id }) => id).filter((id) => !live.has(`sentence-${id}`));
}

/** Those that another window writes now. @returns {Promise<Set<string>>} */
export async function writtenElsewhere() {
  const theirs = latestFirst().filter((row) => !ours(row));
  const live = theirs.length ? await keptByWindows() : new Set();
  return new Set(theirs.map(({ id }) => id).filter((id) => live.has(`sentence-${id}`)));
}

/** @param {Sentence} row @returns {boolean} whether it may be written here */
const ours = (row) => row.owner === null || row.owner === WINDOW;

/**
 * Keeps one; rejects with `taken` where another window has it by now, or has ended it.
 * @param {Sentence} row
 * @param {boolean} kept whether it was kept before
 */
export function putSentence(row, kept) {
  return write(["sentences"], async (tx) => {
    const there = await tx.objectStore("sentences").get(row.id);
    if (there ? !ours(there) : kept) {
      throw new HouseError("taken", "This order is being written in another window.", "Go on there, or take it over here.");
    }
    await tx.objectStore("sentences").put(row);
  });
}

/**
 * Makes it this window's; only for whoever holds its lock.
 * @param {string} id
 * @returns {Promise<Sentence | null>} null when it is there no more
 */
export function takeSentence(id) {
  return write(["sentences"], async (tx) => {
    const there = await tx.objectStore("sentences").get(id);
    if (!there) return null;
    const row = { ...there, owner: WINDOW };
    await tx.objectStore("sentences").put(row);
    return row;
  }).catch(() => null); // the trouble is told by the database
}

/**
 * @param {string} id
 * @returns {Promise<boolean>} whether it is there no more
 */
export function dropSentence(id) {
  return write(["sentences"], async (tx) => {
    const there = await tx.objectStore("sentences").get(id);
    if (there && !ours(there)) return false;
    await tx.objectStore("sentences").delete(id);
    return true;
  }).catch(() => false); // the trouble is told by the database
}

/** Which sentence this tab had before it was loaded again. */
export const sameTab = {
  /** @param {string | null} id */
  note(id) {
    try {
      if (id) sessionStorage.setItem(SAME_TAB_KEY, id);
      else sessionStorage.removeItem(SAME_TAB_KEY);
    } catch {
      /* then it is found as one that a window has left */
    }
  },
  noted() {
    try {
      return sessionStorage.getItem(SAME_TAB_KEY);
    } catch {
      return null;
    }
  },
};

/** What a version before this one has kept; it is taken out of there. @returns {Sentence['draft'] | null} */
export function earlierDraft() {
  try {
    const kept = JSON.parse(localStorage.getItem(EARLIER_KEY) ?? "null");
    localStorage.removeItem(EARLIER_KEY);
    return kept && Array.isArray(kept.lines) ? { amends: null, ...kept } : null;
  } catch {
    return null;
  }
}
