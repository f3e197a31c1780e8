/** @file New versions of the app: they wait until the keeper says so, or until the next start; never in the middle of an order. */

import { betweenOrders } from "./turn.js";

const AGAIN_MS = 15_000;
const AGAIN_MOST_MS = 15 * 60_000;
const BETWEEN_ORDERS_MS = 2_000;
const AWAKE_WAIT_MS = 2_000;
const HAND_OVER_WAIT_MS = 5_000;

/** Whether anybody has begun anything on this page. */
let touched = false;
for (const sign of ["pointerdown", "keydown"]) {
  window.addEventListener(
    sign,
    () => {
      touched = true;
    },
    { once: true, capture: true },
  );
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
  workers.addEventListener("controllerchange", () => {
    if (served) loadAgain();
    served = true;
  });
  const look = () => onWaiting(Boolean(registration?.waiting && workers.controller));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") registration?.update().catch(() => {});
  });
  await begin(look);
  if (registration?.waiting && served && !touched) await takeOver();
}

/**
 * @param {() => void} look told of every step of a version that comes
 * @returns {Promise<void>}
 */
async function begin(look) {
  try {
    registration = await navigator.serviceWorker.register("/service-worker.js", { updateViaCache: "none" });
  } catch {
    again(() => begin(look)); // without it the app still works wherever the house is in reach
    return;
  }
  const found = registration;
  if (!found) return; // a browser that only pretends
  const watchInstalling = () => found.installing && watch(found.installing, look);
  found.addEventListener("updatefound", watchInstalling);
  watchInstalling();
  look();
}

/** @type {WeakSet<ServiceWorker>} */
const watched = new WeakSet();

/**
 * Follows a version while it is fetched. One file that does not come on a bad line fails all of it: it is tried again while the page
 * is open.
 * @param {ServiceWorker} coming
 * @param {() => void} look
 */
function watch(coming, look) {
  if (watched.has(coming)) return;
  watched.add(coming);
  let came = false;
  coming.addEventListener("statechange", () => {
    look();
    came ||= coming.state === "installed";
    if (came) again_ms = AGAIN_MS;
    else if (coming.state === "redundant") again(() => (registration?.active ? registration.update().catch(() => {}) : begin(look)));
  });
}

let again_ms = AGAIN_MS;

/**
 * Later, after a wait that doubles: each trial fetches every file of the app.
 * @param {() => unknown} trial
 */
function again(trial) {
  setTimeout(trial, again_ms);
  again_ms = Math.min(2 * again_ms, AGAIN_MOST_MS);
}

/** Loads the page again, once no window is taking an order. */
async function loadAgain() {
  const free = await betweenOrders(async () => location.reload());
  if (!free) setTimeout(loadAgain, BETWEEN_ORDERS_MS);
}

/**
 * Lets the waiting version take over, then loads the page again.
 * @returns {Promise<boolean>} `false` when none waits or an order is being taken in some window
 */
export async function takeOver() {
  const waiting = registration?.waiting;
  if (!waiting) return false;
  return betweenOrders(() => handedOver(waiting));
}

/**
 * The browser asks the old worker to go in the one moment in which the new one says it will not wait any longer, and only if the old
 * one is running then: one that sleeps goes at once, but one that is just waking is never asked again, and stays. So both are awake
 * before it is said, it is said once, and nothing is said to the old one afterwards.
 * @param {ServiceWorker} waiting
 */
async function handedOver(waiting) {
  const changed = new Promise((resolve) => {
    navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true });
  });
  await awake(waiting);
  if (registration?.active) await awake(registration.active);
  waiting.postMessage("take over");
  await Promise.race([
    changed,
    new Promise((resolve) => {
      setTimeout(resolve, HAND_OVER_WAIT_MS);
    }),
  ]);
}

/**
 * @param {ServiceWorker} worker woken; one of an earlier version does not answer, but is awake by the end of the wait
 */
function awake(worker) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = resolve;
    setTimeout(resolve, AWAKE_WAIT_MS);
    worker.postMessage("are you awake", [port2]);
  });
}
