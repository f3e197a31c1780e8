/**
 * @file The one database of this device. Identity, share, log and mirror live together, so that they are lost together or not
 * at all. Inside a transaction nothing but its own requests may be awaited.
 *
 * keep: small things by name (identity, share, head, marks)   log: [device, seq] -> Entry
 * rows: [table, id] -> mirrored row                           sums: [kind, key, key] -> number
 * sentences: id -> an order being taken, before it is one (sentences.js)
 */

import { openDB } from "idb";
import { HouseError } from "./trouble.js";

const NAME = "honeyhold";
const VERSION = 2;
const COMMIT_WAIT_MS = 10_000;

/** @typedef {'keep'|'log'|'rows'|'sums'|'sentences'} StoreName */
/** @typedef {import('idb').IDBPTransaction<any, any, 'readwrite'>} Writing */

/** @type {Promise<import('idb').IDBPDatabase<any>> | null} */
let opening = null;

/** Which sort of write (the stores it spans) failed last; the same sort must succeed before the trouble is over. @type {string | null} */
let troubled = null;

/** How often the store was closed under this page: a write that began before says nothing of how it stands since. */
let closings = 0;

/** @type {((text: string | null) => void) | null} */
let listener = null;

/** Trouble of the time before anybody listened: the database is read while the rest of the app still comes. @type {string | null} */
let untold = null;

/** Told when the database gets into trouble (text) or out of it (null); set by the house, which then hears what came before. */
export const watch = {
  /** @param {string | null} text */
  trouble(text) {
    if (listener) listener(text);
    else untold = text;
  },

  /** @param {(text: string | null) => void} told */
  listen(told) {
    listener = told;
    if (untold) told(untold);
    untold = null;
  },
};

/** Thrown inside a transaction when another tab wrote first: read again and retry. */
export class Raced extends Error {}

/** The open database; a failed open is not remembered, the next call tries again. */
export function database() {
  opening ??= open().catch((error) => {
    opening = null;
    throw storageError(error);
  });
  return opening;
}

async function open() {
  let waited = false;
  const db = await openDB(NAME, VERSION, {
    upgrade(made, before, _now, tx) {
      if (before < 1) first(made);
      made.createObjectStore("sentences", { keyPath: "id" });
      tx.objectStore("log").createIndex("by_sentence", "sentence", { unique: true }); // of one sentence one order, whoever writes it
    },
    blocked() {
      waited = true;
      watch.trouble("Another window of Honeyhold is still open in its older form. Close the other windows.");
    },
    blocking() {
      closings += 1;
      forget();
      db.close();
      watch.trouble("A newer Honeyhold was opened in another window. Load this page again.");
    },
    terminated() {
      forget();
      watch.trouble("The browser closed this device's store. Load this page again.");
    },
  });
  if (waited) watch.trouble(null); // the other windows are closed
  return db;
}

/** @param {import('idb').IDBPDatabase<any>} made */
function first(made) {
  made.createObjectStore("keep");
  const log = made.createObjectStore("log", { keyPath: ["device", "seq"] });
  log.createIndex("by_id", "id", { unique: true });
  log.createIndex("by_state", "state");
  made.createObjectStore("rows");
  made.createObjectStore("sums");
}

/** Lets the next call open the database anew. */
export function forget() {
  opening = null;
}

/**
 * Reads in one transaction.
 * @template T
 * @param {StoreName[]} stores
 * @param {(tx: import('idb').IDBPTransaction<any, any, 'readonly'>) => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function read(stores, work) {
  const tx = await begin(stores, "readonly");
  try {
    const answer = await work(/** @type {any} */ (tx));
    await tx.done;
    return answer;
  } catch (error) {
    tx.done.catch(() => {});
    throw storageError(error);
  }
}

/**
 * Writes in one transaction with strict durability and resolves after its commit. Error, abort (a full disk comes as one) and a
 * commit that never ends all reject; then nothing was written.
 * @template T
 * @param {StoreName[]} stores
 * @param {(tx: Writing) => Promise<T>} work
 * @param {number} [wait_ms] how long it may take: a large one is not one that hangs
 * @returns {Promise<T>}
 */
export async function write(stores, work, wait_ms = COMMIT_WAIT_MS) {
  const tx = /** @type {Writing} */ (await begin(stores, "readwrite"));
  const began = closings;
  const bound = setTimeout(() => quietAbort(tx), wait_ms);
  try {
    const answer = await work(tx);
    await tx.done;
    if (began === closings && (troubled === null || troubled === stores.join())) {
      troubled = null; // an entry that could not be written is not made good by an answer of the house that could
      watch.trouble(null);
    }
    return answer;
  } catch (error) {
    quietAbort(tx);
    // the transaction's own ending says why (quota), the request inside it only that it was aborted
    const ending = await tx.done.then(
      () => null,
      (reason) => reason,
    );
    if (error instanceof Raced || error instanceof HouseError) throw error;
    const trouble = storageError(named(ending) ? ending : error);
    troubled = stores.join();
    watch.trouble(`${trouble.message} ${trouble.remedy}`);
    throw trouble;
  } finally {
    clearTimeout(bound);
  }
}

/**
 * @param {StoreName[]} stores
 * @param {'readonly'|'readwrite'} mode
 */
async function begin(stores, mode) {
  const options = mode === "readwrite" ? { durability: /** @type {const} */ ("strict") } : undefined;
  try {
    return (await database()).transaction(stores, mode, options);
  } catch (error) {
    if (error instanceof HouseError) throw error;
    forget(); // the connection was closed under us: once more, from the start
    try {
      return (await database()).transaction(stores, mode, options);
    } catch (again) {
      throw storageError(again);
    }
  }
}

/** @param {{abort(): void, done: Promise<void>}} tx */
function quietAbort(tx) {
  tx.done.catch(() => {});
  try {
    tx.abort();
  } catch {
    /* it has ended already */
  }
}

/** @param {unknown} error */
function named(error) {
  return error instanceof DOMException && error.name !== "AbortError";
}

/** @param {unknown} error */
function storageError(error) {
  if (error instanceof HouseError || error instanceof Raced) return /** @type {HouseError} */ (error);
  const name = error instanceof DOMException ? error.name : "";
  if (name === "QuotaExceededError") {
    return new HouseError(
      "storage",
      "This device's storage is full, so nothing was written down.",
      "Make room on the device, then do it again; copy or print the text meanwhile.",
      { cause: error },
    );
  }
  const what = error instanceof Error ? error.message || name : String(error);
  return new HouseError(
    "storage",
    `This device could not write it down (${what || "no reason given"}).`,
    "Do it again; if it fails again, copy or print the text and load the page anew.",
    { cause: error },
  );
}
