/**
 * @file The pure Python's answers: from the kernel in this browser when it is awake, else from the house, else "not known yet".
 * The kernel is fetched and started once the page is idle; nothing waits for it.
 */

import { knockJson } from '../store/doors.js';
import { known } from '../store/known.js';
import { current } from '../store/status.js';

/** @typedef {import('../store/shapes.d.ts').KernelState} KernelState */

const START_WAIT_MS = 60_000; // without leave to compile, the start never ends by itself
const STALL_WAIT_MS = 45_000;
const CONTROL_WAIT_MS = 5_000;

/** @type {KernelState} */
let kernel = { state: 'asleep', done: 0, total: 0, why: '', start_s: null, heap_mb: null };
/** @type {Worker | null} */
let worker = null;
/** @type {(state: KernelState) => void} */
let listener = () => {};
let bound = 0;
let asked = 0;
/** @type {Map<number, (reply: any) => void>} */
const waiting = new Map();
/** @type {Set<() => void>} */
const wakers = new Set();

/** No answer, or a refusal; `unknown` tells which. */
export class WorkError extends Error {
  /**
   * @param {boolean} unknown nobody could work it out now: say what is not known and go on
   * @param {string} message
   * @param {string} remedy
   */
  constructor(unknown, message, remedy) {
    super(message);
    this.name = 'WorkError';
    this.unknown = unknown;
    this.remedy = remedy;
  }
}

/**
 * @param {string} name such as `bench.plan`
 * @param {Record<string, any>} request
 * @param {{wait_s?: number}} [options]
 * @returns {Promise<any>} the answer; rejects with a WorkError
 */
export async function work(name, request, { wait_s = 8 } = {}) {
  const until = performance.now() + wait_s * 1000;
  const starting = kernel.state === 'fetching' || kernel.state === 'waking';
  if (kernel.state !== 'awake' && current.signal !== 'none') {
    try {
      return await knockJson(`/api/work/${name}`, { body: request, token: known.identity?.token, wait_s });
    } catch (error) {
      const { kind, message, remedy, status } = /** @type {import('../store/trouble.js').HouseError} */ (error);
      if (kind === 'refused' && status >= 400 && status < 500 && status !== 401) throw new WorkError(false, message, remedy);
      // else the house is out of reach: the kernel may be awake by now
    }
  }
  if (starting && kernel.state !== 'awake') await woken(until - performance.now());
  if (kernel.state !== 'awake') throw unknown('Neither this device nor the house can work it out now.');
  return ask(name, request, until - performance.now());
}

/**
 * @param {string} name
 * @param {Record<string, any>} request
 * @param {number} wait_ms
 */
async function ask(name, request, wait_ms) {
  const id = asked += 1;
  const reply = await new Promise((resolve) => {
    waiting.set(id, resolve);
    setTimeout(() => resolve(null), Math.max(0, wait_ms));
    worker?.postMessage({ id, name, request: JSON.stringify(request) });
  });
  waiting.delete(id);
  if (!reply) throw unknown(`${name} took longer than it may.`);
  const { answer, problem } = JSON.parse(reply);
  if (!problem) return answer;
  throw new WorkError(problem.code === 'defect', problem.detail, problem.remedy);
}

/** @param {string} message */
function unknown(message) {
  return new WorkError(true, message, 'Go on without it; it is worked out when the house is in reach again.');
}

/** @param {number} wait_ms */
function woken(wait_ms) {
  return new Promise((resolve) => {
    const settle = () => { wakers.delete(settle); resolve(undefined); };
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
  idle(() => { wakeKernel(); }, { timeout: 8000 });
}

/** Fetches what is missing and starts the kernel; again after a failure. */
export async function wakeKernel() {
  if (kernel.state !== 'asleep' && kernel.state !== 'unavailable') return;
  become({ state: 'fetching', done: 0, total: 0, why: '' });
  await controlled();
  worker = new Worker(new URL('./worker.js', import.meta.url), { type: 'module', name: 'kernel' });
  worker.addEventListener('message', ({ data }) => heard(data));
  worker.addEventListener('error', (event) => fail(event.message || 'its script could not be loaded'));
  limit(STALL_WAIT_MS, 'its files did not come');
  worker.postMessage('wake');
}

/** @param {any} data */
function heard(data) {
  if (data.id) {
    waiting.get(data.id)?.(data.reply);
  } else if (data.failed) fail(data.failed);
  else {
    become(data);
    if (data.state === 'awake') clearTimeout(bound);
    else limit(data.state === 'waking' ? START_WAIT_MS : STALL_WAIT_MS, data.state === 'waking' ? 'it did not start' : 'its files did not come');
    if (data.state === 'awake') [...wakers].forEach((settle) => settle());
  }
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
  waiting.forEach((settle) => settle(null));
  become({ state: 'unavailable', why: `Calculations are not available on this device: ${why}.` });
  [...wakers].forEach((settle) => settle());
  window.addEventListener('online', () => { wakeKernel(); }, { once: true });
}

/**
 * @param {number} wait_ms
 * @param {string} why
 */
function limit(wait_ms, why) {
  clearTimeout(bound);
  bound = window.setTimeout(() => fail(why), wait_ms);
}

/** Waits a little for the service worker, so that what is fetched is fetched once. */
async function controlled() {
  const workers = navigator.serviceWorker;
  if (!workers || workers.controller) return;
  await new Promise((resolve) => {
    workers.addEventListener('controllerchange', resolve, { once: true });
    setTimeout(resolve, CONTROL_WAIT_MS);
  });
}
