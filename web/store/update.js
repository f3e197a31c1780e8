/** @file New versions of the app: they wait until the keeper says so, or until the next start; never in the middle of an order. */

import { betweenOrders } from './turn.js';

const INSTALL_AGAIN_MS = 15_000;
const BETWEEN_ORDERS_MS = 2_000;
const ASK_AGAIN_MS = 600;
const ASKED_MOST = 12;

/** Whether anybody has begun anything on this page. */
let touched = false;
for (const sign of ['pointerdown', 'keydown']) {
  window.addEventListener(sign, () => { touched = true; }, { once: true, capture: true });
}

/** @type {ServiceWorkerRegistration | null} */
let registration = null;

/**
 * Registers the service worker and tells when a new version waits. At the start of a page, before anything was touched, a
 * waiting version takes over at once.
 * @param {(waiting: boolean) => void} onWaiting
 */
export async function watchUpdates(onWaiting) {
  const workers = navigator.serviceWorker;
  if (!workers) return;
  // every window of the old version is loaded again, so that none asks the new worker for a file of the old
  let served = workers.controller !== null;
  workers.addEventListener('controllerchange', () => {
    if (served) loadAgain();
    served = true;
  });
  const found = await register();
  if (!found) return;
  const look = () => onWaiting(Boolean(registration?.waiting && workers.controller));
  const watchInstalling = () => registration?.installing?.addEventListener('statechange', look);
  found.addEventListener('updatefound', watchInstalling);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') registration?.update().catch(() => {});
  });
  watchInstalling();
  look();
  if (found.waiting && served && !touched) await takeOver();
}

/** Loads the page again, once no window is taking an order. */
async function loadAgain() {
  const free = await betweenOrders(async () => location.reload());
  if (!free) setTimeout(loadAgain, BETWEEN_ORDERS_MS);
}

/**
 * The first installation can fail on a bad line, all of it; then it is tried again while the page is open.
 * @returns {Promise<ServiceWorkerRegistration | null>} without it the app still works wherever the house is in reach
 */
async function register() {
  try {
    registration = await navigator.serviceWorker.register('/service-worker.js', { updateViaCache: 'none' });
  } catch {
    return null;
  }
  const { installing, active } = registration;
  installing?.addEventListener('statechange', () => {
    if (installing.state === 'redundant' && !active) setTimeout(register, INSTALL_AGAIN_MS);
  });
  return registration;
}

/**
 * Lets the waiting version take over, then loads the page again.
 * @returns {Promise<boolean>} `false` when none waits or an order is being taken in some window
 */
export async function takeOver() {
  const waiting = registration?.waiting;
  if (!waiting) return false;
  return betweenOrders(async () => {
    let changed = false;
    navigator.serviceWorker.addEventListener('controllerchange', () => { changed = true; }, { once: true });
    for (let asked = 0; !changed && asked < ASKED_MOST; asked += 1) {
      // the old worker hands over when it is idle, and looks whether it is only after something was said to it
      waiting.postMessage('take over');
      navigator.serviceWorker.controller?.postMessage('hand over');
      await new Promise((resolve) => { setTimeout(resolve, ASK_AGAIN_MS); });
    }
  });
}
