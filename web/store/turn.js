/** @file Tabs of one device take turns, and tell each other when something has changed. */

const LET_GO_WAIT_MS = 400;

const others = typeof BroadcastChannel === 'function' ? new BroadcastChannel('honeyhold') : null;

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

/** Tells the other tabs to read the database again. */
export function tellOthers() {
  others?.postMessage('changed');
}

/** @param {() => void} listener called when another tab has written */
export function hearOthers(listener) {
  others?.addEventListener('message', listener);
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
  } else if (!letGo && navigator.locks) {
    /** @type {Promise<void>} */
    const closed = new Promise((resolve) => { letGo = resolve; });
    navigator.locks.request('honeyhold-order', { mode: 'shared' }, () => closed).catch(() => {});
  }
}

/**
 * Runs `work` only if no tab is taking an order.
 * @param {() => Promise<void>} work
 * @returns {Promise<boolean>} whether it ran
 */
export async function betweenOrders(work) {
  if (!navigator.locks) return letGo ? false : work().then(() => true);
  let ran = false;
  // a sentence closed this very moment gives its lock back a little later
  const options = { signal: AbortSignal.timeout(LET_GO_WAIT_MS) };
  await navigator.locks.request('honeyhold-order', options, () => {
    ran = true;
    return work();
  }).catch((error) => { if (ran) throw error; });
  return ran;
}
