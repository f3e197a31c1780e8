/**
 * @file Time and turns of all windows: one queue of tasks, one clock that moves only when nothing else can happen. So a run plays the same
 * way each time, and a wait of twenty seconds takes none.
 */

const realImmediate = globalThis.setImmediate;

/** Tasks that may run now, in order; the in-memory database puts its own here too. @type {(() => void)[]} */
const queue = [];
/** @type {{id: number, due_ms: number, fn: () => void, realm: any}[]} */
let timers = [];
let last_id = 0;
let now_ms = 0;

globalThis.setImmediate = /** @type {any} */ (
  (fn, ...given) => {
    queue.push(() => fn(...given));
  }
);

export const time = {
  now: () => now_ms,
  /** The world's clock never goes back; a device's own may (its skew). */
  set(ms) {
    now_ms = Math.max(now_ms, ms);
    for (const timer of due()) queue.push(timer.fn);
  },
};

/** A task for the next turn. */
export const soon = (fn) => queue.push(fn);

/** @param {any} realm its timers end with it */
export function wait(realm, fn, ms = 0) {
  last_id += 1;
  if (ms > 0) timers.push({ id: last_id, due_ms: now_ms + ms, fn, realm });
  else queue.push(() => realm.dead || fn());
  return last_id;
}

export function unwait(id) {
  timers = timers.filter((timer) => timer.id !== id);
}

export function forgetTimersOf(realm) {
  timers = timers.filter((timer) => timer.realm !== realm);
}

/**
 * Runs tasks until `over()` and nothing is left to do.
 * @param {() => boolean} over
 * @param {() => Promise<boolean>} outside something from without that may go on (an answer of the house); false when there is none
 */
export async function until(over, outside) {
  for (;;) {
    await drained();
    const task = queue.shift();
    if (task) task();
    else if (await outside()) continue;
    else if (over()) return;
    else if (!nextTimer()) throw new Error("Nothing can happen any more, and the work is not done.");
  }
}

/** All that follows from what has just happened. */
const drained = () => new Promise((resolve) => realImmediate(resolve));

function nextTimer() {
  if (timers.length === 0) return false;
  now_ms = Math.max(now_ms, Math.min(...timers.map(({ due_ms }) => due_ms)));
  for (const timer of due()) queue.push(timer.fn);
  return true;
}

/** Taken out of those that wait. */
function due() {
  const ready = timers.filter(({ due_ms }) => due_ms <= now_ms).sort((a, b) => a.due_ms - b.due_ms || a.id - b.id);
  timers = timers.filter(({ due_ms }) => due_ms > now_ms);
  return ready;
}
