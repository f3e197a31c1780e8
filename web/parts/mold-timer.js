/** @file A mold timer that ends is seen on every room's head, heard, felt, and told by the device where that is allowed; the screen stays awake meanwhile. */
import { keptPour, POUR_KEPT } from "./pour-state.js";

/** @import { MouldSet } from "./pour-state.js" */

const RUNG = "honeyhold.rung";
const RING_WITHIN_MS = 10 * 60_000; // who comes back an hour later sees it, but is not startled
const TONES_HZ = [660, 880, 660, 880];
const TONE_S = 0.28;
const SHAKE_MS = [400, 150, 400, 150, 700];
export const MOLDS_READY = "honeyhold-molds-ready";

/** @type {AudioContext | null} */
let audio = null;
let timer = 0;
/** @type {{release: () => Promise<void>} | null} */
let awake = null;
let keeping = Promise.resolve();
/** What this page rang for: a device that keeps nothing more is not rung at every look. @type {Set<string>} */
const heard = new Set();

/** When a set that cools may be knocked out. @param {MouldSet} set */
const dueAt = ({ at, due_s = 0 }) => at + due_s * 1000;

/** @returns {{place: number, set: MouldSet}[]} the sets that cool, with their places */
const cooling = () => keptPour(1).sets.flatMap((set, place) => (set.state === "cooling" && set.due_s ? [{ place, set }] : []));

/** The sets that may be knocked out now, by their numbers. @param {number} [now] milliseconds @returns {number[]} */
export const readySets = (now = Date.now()) =>
  cooling()
    .filter(({ set }) => dueAt(set) <= now)
    .map(({ place }) => place + 1);

/** A browser lets a page sound only after it was touched: the touch that starts a timer is one. */
export function readyToSound() {
  if (typeof AudioContext === "undefined") return;
  audio ??= new AudioContext();
  if (audio.state === "suspended") audio.resume().catch(() => {});
}

/** Begins to watch; once for a page. */
export function watchMolds() {
  addEventListener(POUR_KEPT, look);
  document.addEventListener("visibilitychange", look);
  look();
}

/** Rings what has ended, and comes again when the next one does: nothing ticks in between. */
function look() {
  clearTimeout(timer);
  const now = Date.now();
  const sets = cooling();
  const ended = sets.filter(({ set }) => dueAt(set) <= now);
  if (ended.some(({ place, set }) => now - dueAt(set) < RING_WITHIN_MS && isNew(`${place}:${set.at}`)))
    ring(ended.map(({ place }) => place + 1));
  dispatchEvent(new Event(MOLDS_READY));
  const next = Math.min(...sets.filter(({ set }) => dueAt(set) > now).map(({ set }) => dueAt(set)));
  if (Number.isFinite(next)) timer = window.setTimeout(look, next - now + 20);
  keeping = keeping.then(() => keepAwake(sets.length > 0)); // one after the other: two at once would keep it twice, and let go of one
}

/** @param {string} key */
function isNew(key) {
  if (heard.has(key)) return false;
  heard.add(key);
  try {
    const rung = JSON.parse(localStorage.getItem(RUNG) ?? "[]");
    if (rung.includes(key)) return false;
    localStorage.setItem(RUNG, JSON.stringify([...rung.slice(-20), key]));
  } catch {
    // a device that keeps nothing rings once more after a reload
  }
  return true;
}

/** @param {number[]} sets */
function ring(sets) {
  sound();
  navigator.vibrate?.(SHAKE_MS);
  tell(`Set ${sets.join(" and ")}: knock out`).catch(() => {});
}

function sound() {
  if (!audio || audio.state !== "running") return;
  const volume = audio.createGain();
  volume.gain.value = 0.25;
  volume.connect(audio.destination);
  TONES_HZ.forEach((frequency, place) => {
    if (!audio) return;
    const tone = audio.createOscillator();
    tone.frequency.value = frequency;
    tone.connect(volume);
    tone.start(audio.currentTime + place * TONE_S);
    tone.stop(audio.currentTime + (place + 0.8) * TONE_S);
  });
}

/** By the device itself, while another app or nothing is on the screen; only where it was allowed. @param {string} words */
async function tell(words) {
  if (typeof Notification === "undefined" || Notification.permission !== "granted" || document.visibilityState === "visible") return;
  const worker = await navigator.serviceWorker?.getRegistration();
  await worker?.showNotification(words, { tag: "molds", body: "The bars have cooled.", icon: "/look/icons/icon-192.png" });
}

/** Whether the device can still be asked to tell by itself. */
export const mayAsk = () => typeof Notification !== "undefined" && Notification.permission === "default";

export const askToTell = () => Notification.requestPermission();

/** The screen is kept on while molds cool and this page is in sight. @param {boolean} on */
async function keepAwake(on) {
  const lock = /** @type {any} */ (navigator).wakeLock;
  if (!lock) return;
  if (!on || document.visibilityState !== "visible") {
    await awake?.release().catch(() => {});
    awake = null;
  } else if (!awake) {
    try {
      const held = await lock.request("screen");
      awake = held;
      held.addEventListener("release", () => {
        if (awake === held) awake = null;
      });
    } catch {
      awake = null; // a battery that runs low: the browser may refuse
    }
  }
}
