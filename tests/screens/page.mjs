/**
 * @file A page without a browser: what its modules take from one is given here. The clock stands still, whatever waits a moment happens at
 * once and whatever waits longer never, the store lies in memory, and what is to be worked out is asked of the Python that the kernel runs.
 */

import { createHash } from "node:crypto";
import { getEventListeners } from "node:events";
import { createRequire, register } from "node:module";
import { connect } from "node:net";
import { resolve } from "node:path";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";
import { effects } from "./effects.mjs";

export const WEB = resolve(import.meta.dirname, "../../web");
const LATER_MS = 3000;
const need = createRequire(pathToFileURL(`${WEB}/package.json`));
const indexed = need("fake-indexeddb");
const LIBRARY = `export const resolve = (name, context, next) => next(/^libphonenumber-js\\//.test(name)
  ? ${JSON.stringify(pathToFileURL(`${WEB}/node_modules/`).href)} + name : name, context);`;
const HonestDate = Date;
/** Node is older than the browsers are. */
Object.groupBy ??= (all, by) => all.reduce((groups, one) => ({ ...groups, [by(one)]: [...(groups[by(one)] ?? []), one] }), {});

/** The device: a module of the app sees it from the moment it is read in. @param {{now: string, wide?: boolean, told?: Record<string, any>}} how `told`: what the main computer answers, where it is in reach */
export function stand({ now, wide = false, told = undefined }) {
  const now_ms = HonestDate.parse(now);
  globalThis.Date = class extends HonestDate {
    constructor(...given) {
      super(...(given.length ? given : [now_ms]));
    }
    static now() {
      return now_ms;
    }
  };
  const listening = heardAt(ear);
  const quick = globalThis.setTimeout;
  let ids = 0;
  let place = "#counter";
  const surroundings = {
    ...listening,
    ...Object.fromEntries(Object.entries(indexed).filter(([name]) => name.startsWith("IDB"))),
    window: globalThis,
    indexedDB: new indexed.IDBFactory(),
    dispatchEvent: ear.dispatchEvent.bind(ear),
    matchMedia: () => ({ matches: wide, ...heardAt(new EventTarget()) }),
    setTimeout: (work, ms = 0, ...given) => (ms < LATER_MS ? quick(work, 0, ...given) : 0),
    localStorage: keeping("device"),
    sessionStorage: keeping("window"),
    location: {
      get hash() {
        return place;
      },
      set hash(to) {
        effects.push(`leads to ${(place = to)}`);
      },
      href: "https://honey.local/",
      origin: "https://honey.local",
      hostname: "honey.local",
      protocol: "https:",
      reload: () => effects.push("the page is loaded anew"),
      replace: (to) => effects.push(`leads to ${to} instead`),
    },
    navigator: {
      onLine: true,
      userAgent: "",
      ...(told ? { clipboard: { writeText: async (words) => effects.push(`copied: ${words}`) } } : {}),
      locks: { request: async (...given) => given.at(-1)({}), query: async () => ({ held: [], pending: [] }) },
    },
    crypto: {
      randomUUID: () => `00000000-0000-4000-8000-${String((ids += 1)).padStart(12, "0")}`,
      subtle: { digest: async (_name, bytes) => Uint8Array.from(createHash("sha256").update(bytes).digest()).buffer },
    },
    document: {
      visibilityState: "visible",
      documentElement: { dataset: {}, style: {} },
      body: { append: (element) => setImmediate(() => element.dispatchEvent(new Event("load"))) },
      activeElement: null,
      querySelector: () => null,
      querySelectorAll: () => [],
      elementFromPoint: () => null,
      getElementById: (id) => ({ replaceChildren: ({ textContent }) => effects.push(`${id}: ${textContent}`) }),
      createElement: made,
      createTreeWalker: () => ({}),
      createComment: () => ({}),
      ...listening,
    },
    BroadcastChannel: class extends EventTarget {
      postMessage() {}
      close() {}
    },
    Worker: class extends EventTarget {
      postMessage() {}
      terminate() {}
    },
    requestAnimationFrame: (work) => setImmediate(work),
    fetch: async (/** @type {string} */ path, { method = "GET", body = "" } = {}) => {
      const [way] = path.split("?");
      const door = Object.keys(told ?? {}).find((one) => `${method} ${way}` === one || `${method} ${way}`.startsWith(`${one}/`));
      if (!door) throw new TypeError("there is no main computer here");
      effects.push(`asks ${method} ${path} ${body}`);
      return new Response(JSON.stringify(told[door]), { headers: { "Content-Type": "application/json" } });
    },
  };
  for (const [name, value] of Object.entries(surroundings))
    Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
}

/** The window and the document, in one. */
const ear = new EventTarget();
/** Where something was ever listened for, and for what. @type {Map<string, Set<EventTarget>>} */
const listenedFor = new Map();

/** @param {EventTarget} place */
function heardAt(place) {
  const addEventListener = (what, ...more) => {
    listenedFor.set(what, (listenedFor.get(what) ?? new Set()).add(place));
    place.addEventListener(what, ...more);
  };
  return { addEventListener, removeEventListener: place.removeEventListener.bind(place) };
}

/** How many listen for what outside of their own element. @returns {Record<string, number>} */
export function listeners() {
  const many = [...listenedFor].map(([what, places]) => [what, [...places].reduce((sum, place) => sum + getEventListeners(place, what).length, 0)]);
  return Object.fromEntries(many.filter(([, times]) => times > 0).sort());
}

/** Papers that went to the printer since the last look: what each says. @type {string[]} */
export const printed = [];

/** An element that a module makes by hand: a frame to print from, a link to a file. It is in the page as soon as it is put there. */
function made() {
  const element = Object.assign(new EventTarget(), { style: {}, append() {}, remove() {}, click() {}, getContext: () => null });
  const sheet = Object.assign(new EventTarget(), { document: {}, focus() {}, print: () => printed.push(readable(element.srcdoc)) });
  return Object.assign(element, { setAttribute: (name, value) => (element[name] = value), contentWindow: sheet });
}

/** What stands on a paper. @param {string} page */
function readable(page) {
  const words = page.replace(/<(style|title|svg)\b[\s\S]*?<\/\1>/g, " ").replace(/<[^>]*>/g, " ");
  return words.replace(/\s+/g, " ").trim();
}

/** What is kept by name, by the device or the window; told once it is otherwise. @param {string} by */
function keeping(by) {
  /** What is kept is listed by its keys, as a browser does. @type {Record<string, string>} */
  const kept = Object.create({
    getItem: (key) => (Object.hasOwn(kept, key) ? kept[key] : null),
    setItem(key, value) {
      if (kept[key] !== String(value)) effects.push(`the ${by} keeps ${key}: ${value}`);
      kept[key] = String(value);
    },
    removeItem(key) {
      if (Object.hasOwn(kept, key) && delete kept[key]) effects.push(`the ${by} keeps ${key} no more`);
    },
    clear: () => Object.keys(kept).forEach((key) => delete kept[key]),
  });
  return kept;
}

const PHONES = "store/phones.js";
let isTold = false;

/**
 * A module of the app. With the one that reads telephone numbers Node is told what the page's import map says of its library: from then on
 * each module is found by a thread of its own, which costs more than all the others, so whoever needs it asks for it last.
 * @param {string} name
 */
export function module(name) {
  if (name === PHONES && !isTold) register(`data:text/javascript,${encodeURIComponent(LIBRARY)}`);
  isTold ||= name === PHONES;
  return import(pathToFileURL(`${WEB}/${name}`).href);
}

/**
 * Makes it a device that knows these rows. `log`: entries it has written; `marks` and `status`: how it stands, beside what is usual.
 * @param {{rows: any[], identity: any, granted?: Record<string, number>, log?: any[], marks?: any, status?: any}} kept
 */
export async function furnish({ rows, identity, granted = {}, log = [], marks = {}, status = {} }) {
  const names = ["store/known.js", "store/board.js", "store/database.js", "store/status.js", "kernel/work.js", "store/log.js"];
  const [{ known, load, noMarks }, { Board }, { write }, { change, current }, { onKernel }, { after }] = await Promise.all(names.map(module));
  const heard = new Date(Date.now() - 125_000);
  await write(["keep", "log", "rows", "sums"], async (tx) => {
    const board = new Board();
    const put = (store, key, value) => tx.objectStore(store).put(value, key);
    for (const row of rows) board.apply(row, put);
    for (const entry of log) tx.objectStore("log").put(entry);
    put("keep", "marks", { ...noMarks(), epoch: "screens", cursor: 1, heard_at: heard.toISOString(), ...marks });
    put("keep", "share", { granted, spent: {} });
    put("keep", "head", { seq: log.length, hash: "", orders: 20 });
    if (identity) put("keep", "identity", identity);
  });
  await load();
  onKernel((kernel) => change({ kernel }));
  after.append = () => change({}); // as a house that was opened hears of it
  Object.assign(current, { started: true, signal: identity ? "shared" : "none", since: heard, ...status });
  return known;
}

/** Questions that are out, and writing and reading under way. */
let out = 0;
/** Who waits until none is. @type {(() => void)[]} */
const waits = [];
export const isQuiet = () => out === 0;
const isIn = () => {
  out = Math.max(0, out - 1); // it may have been given up meanwhile
  if (!out) waits.splice(0).forEach((goOn) => goOn());
};

/** Until nothing is out; asleep meanwhile, since Python may think for seconds. */
export async function quiet() {
  while (!isQuiet()) {
    await new Promise((goOn) => waits.push(goOn));
    await new Promise((later) => setImmediate(later));
  }
}

/** What is out is waited for no longer: a question that was no question, or writing that broke off without a word. */
export const givenUp = () => (out = 0);

const { transaction } = indexed.IDBDatabase.prototype;
indexed.IDBDatabase.prototype.transaction = function (...given) {
  const made = transaction.apply(this, given);
  out += 1;
  for (const end of ["complete", "abort"]) made.addEventListener(end, isIn);
  return made;
};

/** Has questions worked out by Python; of what is asked often it is asked once. @param {number} port where it answers @returns {Promise<(() => void) & {nothingNew: () => void}>} ends it; `nothingNew`: from now on what was not asked before is refused */
export async function workedOutBy(port) {
  const waiting = [];
  const heard = new Map();
  let line = null;
  let over = false;
  const begun = () => {
    line = connect(port, "127.0.0.1");
    createInterface({ input: line }).on("line", (told) => waiting.shift()(JSON.parse(told)));
    line.on("error", (error) => gone(error.message));
    line.on("close", () => over || ended || gone("the line was closed"));
  };
  let refuses = false;
  let ended = "";
  const gone = (how) => {
    ended = `Python does not answer: ${how}.`;
    waiting.splice(0).forEach((told) => told({ problem: { detail: ended } }));
    queueMicrotask(() => {
      throw new Error(ended); // a screen may keep it to itself
    });
  };
  const { askAlso, WorkError } = await module("kernel/work.js");
  await module("store/house.js"); // it names somebody to ask, too
  const ask = async (name, request) => {
    const asked = JSON.stringify({ name, request });
    if (refuses && !heard.has(asked)) {
      effects.push(`asks Python ${asked}`);
      throw new WorkError(false, "It is not worked out here.", "");
    }
    if (!line) begun();
    out += 1;
    if (!heard.has(asked)) {
      const answered = new Promise((told) => {
        if (ended) return told({ problem: { detail: ended } });
        waiting.push(told);
        line.write(`${asked}\n`);
      });
      heard.set(asked, answered);
    }
    const { answer, problem } = structuredClone(await heard.get(asked));
    isIn();
    if (problem) throw new WorkError(false, problem.detail, problem.remedy);
    return { answer };
  };
  askAlso({ inReach: () => true, ask });
  const end = () => {
    over = true;
    line?.end();
  };
  return Object.assign(end, { nothingNew: () => (refuses = true) });
}
