/**
 * @file The pure Python's answers: from the kernel in this browser when it is awake, else from whom the store names, else "not known yet".
 * The kernel is fetched and started once the page is idle; nothing waits for it.
 */

import { DIED, Queue } from "./queue.js";

/** @import { AnswerOf } from "./answers.d.ts" */

/**
 * @typedef {{state: "asleep" | "fetching" | "waking" | "awake" | "unavailable", done: number, total: number, why: string,
 *   start_s: number | null, fetch_s?: number, heap_mb: number | null}} KernelState
 */
/**
 * Who else may work it out, out of the browser. `ask` resolves with null when nobody answers, and rejects with a WorkError when it is refused.
 * @typedef {{inReach: () => boolean,
 *   ask: (name: string, request: Record<string, any>, wait_s: number, signal?: AbortSignal) => Promise<{answer: any} | null>}} Elsewhere
 */

const START_WAIT_MS = 60_000; // without leave to compile, the start never ends by itself
const STALL_WAIT_MS = 45_000;
const CONTROL_WAIT_MS = 5_000;
const RESTART_MS = 1_000; // doubled at each crash
const RESTARTS_MOST = 5;

/** @type {KernelState} */
let kernel = { state: "asleep", done: 0, total: 0, why: "", start_s: null, heap_mb: null };
/** @type {Worker | null} */
let worker = null;
/** @type {(state: KernelState) => void} */
let listener = () => {};
/** @type {Elsewhere} */
let elsewhere = { inReach: () => false, ask: async () => null };
let bound = 0;
let crashes = 0;
const questions = new Queue((asked) => {
  if (kernel.state !== "awake" || !worker) return false;
  worker.postMessage(asked);
  return true;
}, crash);
/** @type {Set<() => void>} */
const wakers = new Set();

/** No answer, or a refusal; `unknown` tells which. */
export class WorkError extends Error {
  /** @param {boolean} unknown nobody could work it out now: say what is not known and go on @param {string} message @param {string} remedy */
  constructor(unknown, message, remedy) {
    super(message);
    this.name = "WorkError";
    this.unknown = unknown;
    this.remedy = remedy;
  }
}

/**
 * @template {string} Name
 * @param {Name} name such as `packing.plan`
 * @param {Record<string, any>} request
 * @param {{wait_s?: number, signal?: AbortSignal}} [options] `signal`: the answer is no longer wanted; a question that still waits for
 *   its turn is taken out of the queue
 * @returns {Promise<AnswerOf<Name>>} the answer; rejects with a WorkError
 */
export async function work(name, request, { wait_s = 8, signal } = {}) {
  const until = performance.now() + wait_s * 1000;
  const left_ms = () => until - performance.now();
  const ask = async () => unfolded(name, await questions.ask(name, request, left_ms(), signal));
  if (kernel.state === "awake" && !questions.overdue) {
    const told = await ask();
    if (told !== DIED) return told.answer;
  }
  const starting = kernel.state === "fetching" || kernel.state === "waking";
  const told = !elsewhere.inReach() || signal?.aborted ? null : await elsewhere.ask(name, request, Math.max(1, left_ms() / 1000), signal);
  if (told) return told.answer;
  if (starting && kernel.state !== "awake") await woken(left_ms());
  if (kernel.state !== "awake" || signal?.aborted) throw unknownNow("Neither this device nor the main computer can work it out now.");
  const late = await ask();
  if (late === DIED) throw unknownNow("The calculation stopped in the middle.");
  return late.answer;
}

/** By what an answer can be had now: when it changes, what was unknown may be known. */
export const means = () => `${kernel.state === "awake" && !questions.overdue} ${elsewhere.inReach()}`;

/** @param {Elsewhere} other asked while the kernel here is not awake or has too much to do */
export function askAlso(other) {
  elsewhere = other;
}

/**
 * @param {string} name
 * @param {import('./queue.js').Reply} reply
 * @returns {{answer: any} | typeof DIED}
 */
function unfolded(name, reply) {
  if (reply === DIED) return DIED;
  if (!reply) throw unknownNow(`${name} took longer than it may.`);
  const { answer, problem } = JSON.parse(/** @type {string} */ (reply));
  if (!problem) return { answer };
  throw new WorkError(problem.code === "defect", problem.detail, problem.remedy);
}

/** @param {string} message */
function unknownNow(message) {
  return new WorkError(true, message, "Go on without it; it is worked out when the main computer is in reach again.");
}

/** @param {number} wait_ms */
function woken(wait_ms) {
  return new Promise((resolve) => {
    const settle = () => {
      wakers.delete(settle);
      resolve(undefined);
    };
    wakers.add(settle);
    setTimeout(settle, Math.max(0, wait_ms));
  });
}

/** @param {(state: KernelState) => void} fn told every change of the kernel's state */
export function onKernel(fn) {
  listener = fn;
  fn(kernel);
}

/** Wakes the kernel once the page has nothing better to do. */
export function wakeWhenIdle() {
  const idle = window.requestIdleCallback ?? ((/** @type {() => void} */ fn) => setTimeout(fn, 2000));
  idle(
    () => {
      wakeKernel();
    },
    { timeout: 8000 },
  );
}

/** Fetches what is missing and starts the kernel; again after a failure. */
export async function wakeKernel() {
  if (kernel.state !== "asleep" && kernel.state !== "unavailable") return;
  become({ state: "fetching", done: 0, total: 0, why: "" });
  await controlled();
  const made = new Worker(new URL("./worker.js", import.meta.url), { type: "module", name: "kernel" });
  const lock = `kernel-${crypto.randomUUID()}`;
  worker = made;
  const present = () => worker === made; // one that was ended may still have something on its way
  made.addEventListener("message", ({ data }) => {
    if (!present()) return;
    if (data.holds) onRelease(lock, () => present() && crash("it ended without a word"));
    else heard(data);
  });
  made.addEventListener("error", ({ message }) => {
    if (!present()) return;
    if (kernel.state === "awake") crash(message || "it broke");
    else fail(message || "its script could not be loaded");
  });
  limit(STALL_WAIT_MS, "its files did not come");
  made.postMessage({ wake: lock });
}

/**
 * The worker holds a lock as long as it lives, which the browser gives on the moment it is gone: no question has to wait in vain to find out.
 * @param {string} lock
 * @param {() => void} gone
 */
function onRelease(lock, gone) {
  navigator.locks?.request(lock, gone);
}

/** @param {any} data */
function heard(data) {
  if (data.died) crash(data.died);
  else if (data.id) {
    crashes = 0; // it works: only crashes in a row keep it from being started again
    questions.answered(data);
  } else if (data.failed) fail(data.failed);
  else {
    become(data);
    if (data.state === "awake") clearTimeout(bound);
    else
      limit(
        data.state === "waking" ? START_WAIT_MS : STALL_WAIT_MS,
        data.state === "waking" ? "it did not start" : "its files did not come",
      );
    if (data.state === "awake") [...wakers].forEach((settle) => settle());
    questions.next();
  }
}

/**
 * It died at its work: whoever waits is told and asks the house, and it is started again.
 * @param {string} why
 */
function crash(why) {
  if (!worker) return;
  crashes += 1;
  fail(why);
  if (crashes <= RESTARTS_MOST) setTimeout(wakeKernel, RESTART_MS * 2 ** (crashes - 1));
}

/** @param {Partial<KernelState>} fields */
function become(fields) {
  kernel = { ...kernel, ...fields };
  listener(kernel);
}

/** @param {string} why */
function fail(why) {
  clearTimeout(bound);
  worker?.terminate();
  worker = null;
  become({ state: "unavailable", why: `Calculations are not available on this device: ${why}.` });
  questions.die();
  [...wakers].forEach((settle) => settle());
  window.addEventListener(
    "online",
    () => {
      wakeKernel();
    },
    { once: true },
  );
}

/** @type {(wait_ms: number, why: string) => void} */
function limit(wait_ms, why) {
  clearTimeout(bound);
  bound = window.setTimeout(() => fail(why), wait_ms);
}

/** Waits a little for the service worker, so that what is fetched is fetched once. */
async function controlled() {
  const workers = navigator.serviceWorker;
  if (!workers || workers.controller) return;
  await new Promise((resolve) => {
    workers.addEventListener("controllerchange", resolve, { once: true });
    setTimeout(resolve, CONTROL_WAIT_MS);
  });
}
