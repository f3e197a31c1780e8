/** @file How this device stands, in one object, and who is told when it changes. */

import { inOrder, known } from "./known.js";
import { next, whereTheyLie } from "./standing.js";

/** @typedef {import('./shapes.d.ts').Entry} Entry */

/** What is not read from the log itself. */
export const current = {
  started: false,
  signal: /** @type {'shared'|'none'|'working'} */ ("none"),
  since: new Date(),
  storage: { persisted: false, trouble: /** @type {string | null} */ (null) },
  update: false,
  turnedAway: /** @type {string | null} */ (null),
  /** The main computer does not understand what this app says. */
  tooOld: /** @type {string | null} */ (null),
  /** The browser has cleared a device that was here. */
  emptied: /** @type {string | null} */ (null),
  /** @type {import('../kernel/work.js').KernelState} */
  kernel: { state: "asleep", done: 0, total: 0, why: "", start_s: null, heap_mb: null },
};

/** @type {Set<() => void>} */
export const listeners = new Set();
let told = true;

/**
 * Changes some of it and tells the listeners once this turn is over.
 * @param {Partial<typeof current>} fields
 */
export function change(fields) {
  Object.assign(current, fields);
  if (!told) return;
  told = false;
  // a task of its own: whoever waits for the commit goes on first, the drawing comes after
  setTimeout(() => {
    told = true;
    for (const listener of [...listeners]) tell(listener);
  });
}

/** @param {import('./standing.js').Happening} happening what was heard of the main computer, or was not */
export function heardOf(happening) {
  const { signal, since, turnedAway, tooOld } = current;
  change(next({ signal, since, turnedAway, tooOld }, happening));
}

/** @param {() => void} listener one that fails must not silence the others */
function tell(listener) {
  try {
    listener();
  } catch (error) {
    reportError(error);
  }
}

/** @returns {import('./shapes.d.ts').Status} */
export function statusOf() {
  const { identity, marks } = known;
  const inHand = inOrder().filter((entry) => entry.state === "in_hand");
  const { unsent, waiting } = whereTheyLie(inHand, marks.read_to);
  return {
    ...current,
    enrolled: identity !== null && !marks.removed_at,
    removed: marks.removed_at ? { at: new Date(marks.removed_at), left: inHand.length } : null,
    device: identity && { id: identity.device, name: identity.name, mark: identity.mark, role: identity.role },
    inHand: unsent.length,
    waiting: waiting.length,
    oldestInHand: unsent.length ? new Date(unsent[0].operation.made_at) : null,
    needsYou: [...known.entries.values()].filter((entry) => entry.state === "refused").map(needs),
    frozen: marks.frozen,
    movedTo: marks.moved_to,
    short: marks.short,
    pool: marks.pool,
  };
}

/**
 * @param {Entry} entry
 * @returns {import('./shapes.d.ts').NeedsYou}
 */
function needs({ id, operation, why, remedy }) {
  const order = operation.rows.map((row) => (row.table === "order" ? row.id : row.order)).find(Boolean) ?? null;
  const person =
    operation.rows.map((row) => (row.table === "person" ? row.id : row.person)).find(Boolean) ??
    known.view.orders.get(order ?? "")?.person ??
    null;
  return { op: id, kind: operation.kind, why, remedy, order, person, made_at: operation.made_at };
}
