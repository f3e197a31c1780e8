/**
 * @file When to speak with the house: after each entry, when the house whispers, when the line or the page comes back, and by a
 * timer that waits longer after each failure. Nothing runs while the page is hidden.
 */

import { listen } from "./stream.js";

const QUIET_MS = 50_000; // with a stream open the timer is only the fallback
const RETRY_MS_LEAST = 2_000;
const RETRY_MS_MOST = 60_000;
const STREAM_LOCK = "honeyhold-stream";

/**
 * Starts it.
 * @param {{exchange: () => Promise<boolean>, token: () => string | null, refresh: () => void}} house `exchange` never rejects
 */
export function keepInTouch(house) {
  let failures = 0;
  let timer = 0;
  let running = false;
  let strange = 0; // streams in a row that were none
  let wanted = false;
  let hearing = new AbortController();

  const hidden = () => document.visibilityState === "hidden";

  async function speak() {
    if (running) {
      wanted = true; // something came up meanwhile: once more afterwards
      return;
    }
    running = true;
    clearTimeout(timer);
    const heard = house.token() === null || (await house.exchange());
    running = false;
    failures = heard ? 0 : failures + 1;
    const again = wanted && heard;
    wanted = false;
    if (!hidden()) timer = window.setTimeout(speak, again ? 0 : pause(failures));
    if (heard) hear();
  }

  /** One tab of the device listens at a time: each stream holds a place in the house. */
  function hear() {
    const token = house.token();
    if (hidden() || token === null || listening) return;
    listening = true;
    const { signal } = hearing;
    const work = () => listen(token, signal, speak).catch(() => false);
    const locked = navigator.locks ? navigator.locks.request(STREAM_LOCK, { signal }, work) : work();
    locked
      .catch(() => false)
      .then((ended) => {
        listening = false;
        // a stream that ended in its time, or told something, begins again at once; anything else waits, each time longer
        strange = ended ? 0 : strange + 1;
        if (ended && !signal.aborted) window.setTimeout(hear, 250);
        else if (!signal.aborted) window.setTimeout(hear, pause(failures + strange + 2));
      });
  }
  let listening = false;

  function wake() {
    if (hidden()) {
      clearTimeout(timer);
      hearing.abort();
      hearing = new AbortController();
      return;
    }
    failures = 0;
    house.refresh();
    speak();
  }

  window.addEventListener("online", wake);
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) wake();
  });
  document.addEventListener("visibilitychange", wake);
  if (!hidden()) speak();
  return speak;
}

/** @param {number} failures */
function pause(failures) {
  if (failures === 0) return QUIET_MS;
  const longest = Math.min(RETRY_MS_MOST, RETRY_MS_LEAST * 2 ** (failures - 1));
  return longest * (0.75 + Math.random() / 2);
}
