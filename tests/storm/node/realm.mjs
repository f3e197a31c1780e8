/**
 * @file One window of a device: the modules of web/store as they are served, in a realm of their own. All that they take from a browser is
 * given here: clock, chance, network, disk, locks, the other windows. Nothing of the store is replaced.
 */

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import vm from "node:vm";
import { chance } from "./chance.mjs";
import { store } from "./device.mjs";
import { talkFor } from "./locks.mjs";
import { asked } from "./network.mjs";
import { forgetTimersOf, time, unwait, wait } from "./turns.mjs";

const WEB = resolve(dirname(fileURLToPath(import.meta.url)), "../../../web");
const need = createRequire(pathToFileURL(`${WEB}/package.json`));
const indexed = need("fake-indexeddb");
const IDB_NAMES = ["IDBCursor", "IDBDatabase", "IDBIndex", "IDBKeyRange", "IDBObjectStore", "IDBRequest", "IDBTransaction"];

/** What the acts of the storm call. */
const ASKED_FOR = ["acts", "board", "house", "log", "known", "database", "wishes", "making", "sentences", "status"];

/** Text of each module, and how it was compiled: the same for all windows. @type {Map<string, {text: string, compiled?: Buffer}>} */
const sources = new Map();

/** Known mistakes, put in on purpose: the text of a module with one place changed. @param {{file: string, was: string, is: string}} mistake */
export function plant({ file, was, is }) {
  const path = `${WEB}/${file}`;
  const { text } = sourceOf(path);
  if (text.split(was).length !== 2) throw new Error(`${file} does not hold exactly once: ${was}`);
  sources.set(path, { text: text.replace(was, () => is) });
}

function sourceOf(path) {
  if (!sources.has(path)) sources.set(path, { text: readFileSync(path, "utf8") });
  return sources.get(path);
}

export class Realm {
  dead = false;
  connections = [];
  writing = new Set();
  /** Errors that nobody caught. @type {string[]} */
  troubles = [];
  /** The modules by name, once loaded. @type {Record<string, any>} */
  here = {};
  #modules = new Map();

  constructor(device) {
    this.device = device;
    this.born_ms = time.now();
    this.context = vm.createContext(this.#surroundings());
    vm.runInContext(PRELUDE, this.context)(() => time.now() + device.skew_ms, chance.real);
  }

  async load() {
    for (const name of ASKED_FOR) this.here[name] = (await this.#ready(`${WEB}/store/${name}.js`)).namespace;
  }

  die() {
    if (this.dead) return;
    this.dead = true;
    for (const tx of this.writing) {
      try {
        tx.abort();
      } catch {
        /* it has ended already */
      }
    }
    this.connections.forEach((db) => db.close());
    forgetTimersOf(this);
    this.device.locks.letGoOf(this);
  }

  async #ready(path) {
    const module = this.#module(path);
    if (module.status === "unlinked") await module.link((name, from) => this.#module(resolved(name, from.identifier)));
    if (module.status === "linked") await module.evaluate();
    return module;
  }

  #module(path) {
    const made = this.#modules.get(path);
    if (made) return made;
    const source = sourceOf(path);
    const module = new vm.SourceTextModule(source.text, {
      identifier: path,
      context: this.context,
      cachedData: source.compiled,
      initializeImportMeta: (meta) => {
        meta.url = pathToFileURL(path).href;
      },
      importModuleDynamically: (name) => this.#ready(resolved(name, path)),
    });
    source.compiled ??= module.createCachedData();
    this.#modules.set(path, module);
    return module;
  }

  #surroundings() {
    const { device } = this;
    const ear = new EventTarget();
    const listening = { addEventListener: ear.addEventListener.bind(ear), removeEventListener: ear.removeEventListener.bind(ear) };
    return {
      ...Object.fromEntries(IDB_NAMES.map((name) => [name, indexed[name]])),
      ...listening,
      indexedDB: device.databaseFor(this),
      localStorage: device.storage,
      sessionStorage: store(),
      navigator: { locks: device.locks.for(this), onLine: true },
      BroadcastChannel: talkFor(device, this),
      // in a pocket: it speaks after each entry and when it is told to, not by a timer
      document: { visibilityState: "hidden", ...listening },
      location: { reload: () => this.die() },
      crypto: { randomUUID: chance.uuid, subtle: { digest: async (_name, bytes) => digest(bytes) } },
      performance: { now: () => time.now() - this.born_ms },
      setTimeout: (fn, ms, ...given) => wait(this, () => fn(...given), ms),
      clearTimeout: unwait,
      requestIdleCallback: () => 0, // it is never idle: no kernel, no library of telephone numbers
      fetch: (path, options) => asked(this, path, options),
      AbortController,
      AbortSignal: { any: (signals) => AbortSignal.any(signals), timeout: (ms) => this.#after(ms) },
      reportError: (error) => this.troubles.push(String(error?.stack ?? error)),
      console,
      DOMException,
      EventTarget,
      Event,
      TextEncoder,
      URL,
      queueMicrotask,
      structuredClone,
    };
  }

  #after(ms) {
    const control = new AbortController();
    wait(this, () => control.abort(new DOMException("It took too long.", "TimeoutError")), ms);
    return control.signal;
  }
}

/** Where the import map of index.html finds it. */
function resolved(name, from) {
  if (name.startsWith(".")) return resolve(dirname(from), name);
  if (name === "idb") return `${WEB}/node_modules/idb/build/index.js`;
  return `${WEB}/node_modules/${name}`;
}

function digest(bytes) {
  return Uint8Array.from(createHash("sha256").update(bytes).digest()).buffer;
}

/** Clock and chance of the realm's own Date and Math; and what a browser of today has that Node 20 lacks. */
const PRELUDE = `(now, real) => {
  globalThis.window = globalThis.self = globalThis;
  const Real = Date;
  globalThis.Date = class Date extends Real {
    constructor(...given) {
      if (given.length) super(...given);
      else super(now());
    }
    static now() {
      return now();
    }
  };
  Math.random = real;
  Object.groupBy ??= (items, keyOf) => {
    const groups = Object.create(null);
    for (const item of items) (groups[keyOf(item)] ??= []).push(item);
    return groups;
  };
}`;
