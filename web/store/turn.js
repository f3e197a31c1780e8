/** @file Tabs of one device take turns, and tell each other when something has changed. */

import { read } from "./database.js";

const LET_GO_WAIT_MS = 400;

/** This window's own name, a new one with each load. */
export const WINDOW = globalThis.crypto?.randomUUID?.() ?? String(Math.random());

const others = typeof BroadcastChannel === "function" ? new BroadcastChannel("honeyhold") : null;

/**
 * Runs `work` while no other tab runs work of this name. After `wait_ms` it runs all the same: a frozen tab may hold the turn,
 * and every write also checks inside its transaction that nobody came first.
 * @template T
 * @param {string} name
 * @param {number} wait_ms
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function inTurn(name, wait_ms, work) {
  if (!navigator.locks) return work();
  let begun = false;
  try {
    return await navigator.locks.request(`honeyhold-${name}`, { signal: AbortSignal.timeout(wait_ms) }, () => {
      begun = true;
      return work();
    });
  } catch (error) {
    if (begun) throw error;
    return work();
  }
}

/**
 * Tells the other tabs to read the database again.
 * @param {'changed' | 'sentences'} [what] the half-made sentences alone change at every touch
 */
export function tellOthers(what = "changed") {
  others?.postMessage(what);
}

/** @param {(what: 'changed' | 'sentences') => void} listener called when another tab has written */
export function hearOthers(listener) {
  others?.addEventListener("message", ({ data }) => listener(data));
}

/** @type {(() => void) | null} */
let letGo = null;

/**
 * Marks that an order is being taken in this tab, so that no update takes over anywhere meanwhile.
 * @param {boolean} taking
 */
export function takingOrder(taking) {
  if (!taking) {
    letGo?.();
    letGo = null;
  } else if (!letGo) {
    /** @type {Promise<void>} */
    const closed = new Promise((resolve) => {
      letGo = resolve;
    });
    navigator.locks?.request("honeyhold-order", { mode: "shared" }, () => closed).catch(() => {});
  }
}

/**
 * Runs `work` only if no tab is taking an order.
 * @param {() => Promise<void>} work
 * @returns {Promise<boolean>} whether it ran
 */
export async function betweenOrders(work) {
  if (await sentencesBegun()) return false;
  if (!navigator.locks) return letGo ? false : work().then(() => true);
  let ran = false;
  // a sentence closed this very moment gives its lock back a little later
  const options = { signal: AbortSignal.timeout(LET_GO_WAIT_MS) };
  await navigator.locks
    .request("honeyhold-order", options, () => {
      ran = true;
      return work();
    })
    .catch((error) => {
      if (ran) throw error;
    });
  return ran;
}

/** A sentence that is parked, or was left by a window that is gone, is an order being taken too. */
async function sentencesBegun() {
  const found = await read(["sentences"], (tx) => tx.objectStore("sentences").getAll()).catch(() => []);
  return found.some(({ draft }) => draft.lines.length > 0);
}

/**
 * Keeps something for this window as long as the window lives, or until it is given up or taken by another.
 * @param {string} name
 * @param {() => void} lost told when another window has taken it
 * @param {{steal?: boolean, wait_ms?: number}} [options] `steal` takes it from the window that has it; `wait_ms`: how long to wait for it
 * @returns {Promise<(() => void) | null>} gives it up; null when another window has it
 */
export function keepForWindow(name, lost, { steal = false, wait_ms = 0 } = {}) {
  if (!navigator.locks) return Promise.resolve(() => {});
  const options = steal ? { steal } : wait_ms ? { signal: AbortSignal.timeout(wait_ms) } : { ifAvailable: true };
  return new Promise((resolve) => {
    let kept = false;
    navigator.locks
      .request(`honeyhold-${name}`, options, (lock) => {
        if (!lock) {
          resolve(null);
          return null;
        }
        kept = true;
        return new Promise((end) =>
          resolve(() => {
            kept = false;
            end(undefined);
          }),
        );
      })
      .catch(() => {
        if (kept) lost();
        resolve(null);
      });
  });
}

/** Names of what windows of this device keep now. @returns {Promise<Set<string>>} */
export async function keptByWindows() {
  const { held = [] } = (await navigator.locks?.query()) ?? {};
  return new Set(held.map(({ name = "" }) => name.replace(/^honeyhold-/, "")));
}
