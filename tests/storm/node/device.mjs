/** @file A device: its disk, its windows, and how it may fail in the middle of a write. */

import { createRequire } from "node:module";
import { Locks } from "./locks.mjs";
import { Realm } from "./realm.mjs";
import { soon } from "./turns.mjs";

const need = createRequire(new URL("../../../web/package.json", import.meta.url));
const { IDBFactory, IDBOpenDBRequest } = need("fake-indexeddb");

const NAME = "honeyhold";

export class Device {
  /** @type {Realm[]} */
  windows = [];
  locks = new Locks();
  talks = [];
  storage = store();
  skew_ms = 0;
  reach = false;
  /** How many more times it writes, and what happens then. @type {{left: number, how: "before" | "after" | "full"} | null} */
  fate = null;
  /** Ids of entries that were told already. */
  told = new Set();

  constructor(key, disk = new IDBFactory()) {
    this.key = key;
    this.disk = disk;
  }

  /** The window of that number, opened where there is none (any more). */
  async window(number = 0) {
    if (!this.windows[number] || this.windows[number].dead) {
      this.windows[number] = new Realm(this);
      await this.windows[number].load();
    }
    return this.windows[number];
  }

  /** All its windows stop; what was being written is not there. */
  die() {
    this.fate = null;
    this.windows.forEach((realm) => realm.die());
    this.windows = [];
    this.talks = [];
  }

  /** What a window sees as `indexedDB`. */
  databaseFor(realm) {
    return {
      open: (...given) => {
        if (realm.dead) return new IDBOpenDBRequest(); // it will never be answered
        const request = this.disk.open(...given);
        request.addEventListener("success", () => this.#watch(request.result, realm));
        return request;
      },
    };
  }

  #watch(db, realm) {
    const begin = db.transaction.bind(db);
    realm.connections.push(db);
    db.transaction = (stores, mode, options) => {
      if (realm.dead) throw new DOMException("The window is gone.", "InvalidStateError");
      const tx = begin(stores, mode, options);
      realm.writing.add(tx);
      for (const ending of ["complete", "abort"]) tx.addEventListener(ending, () => realm.writing.delete(tx));
      if (mode === "readwrite") this.#meet(tx);
      return tx;
    };
  }

  /** What this write meets. */
  #meet(tx) {
    if (!this.fate) return;
    this.fate.left -= 1;
    if (this.fate.left > 0) return;
    const { how } = this.fate;
    this.fate = null;
    if (how === "full") soon(() => tx._abort("QuotaExceededError"));
    else tx.addEventListener("complete", (event) => this.#stop(event, tx, how === "before"));
  }

  /** The device stops where the disk has, or has not quite, written it: no window hears that it was. */
  #stop(event, tx, undone) {
    event.stopImmediatePropagation();
    if (undone) tx._rollbackLog.reverse().forEach((back) => back());
    const raw = tx.db._rawDatabase;
    this.die();
    raw.processTransactions();
  }

  /** Another device with the same disk: a backup put back, or a store carried over. */
  async twin(key) {
    this.die();
    const made = new Device(key, new IDBFactory());
    await copied(this.disk, made.disk);
    Object.assign(made.storage, this.storage);
    made.told = new Set(this.told);
    return made;
  }
}

/** localStorage: its keys are its own properties. */
export function store() {
  return Object.create({
    getItem(key) {
      return Object.hasOwn(this, key) ? this[key] : null;
    },
    setItem(key, value) {
      this[key] = String(value);
    },
    removeItem(key) {
      delete this[key];
    },
  });
}

async function copied(from, to) {
  const source = await result(from.open(NAME));
  const names = [...source.objectStoreNames];
  const tx = source.transaction(names);
  const stores = await Promise.all(
    names.map(async (name) => {
      const kept = tx.objectStore(name);
      const [keys, values] = await Promise.all([result(kept.getAllKeys()), result(kept.getAll())]);
      const indexes = [...kept.indexNames]
        .map((index) => kept.index(index))
        .map(({ name, keyPath, unique }) => ({ name, keyPath, unique }));
      return { name, keyPath: kept.keyPath, indexes, keys, values };
    }),
  );
  const opening = to.open(NAME, source.version);
  opening.addEventListener("upgradeneeded", () => {
    for (const { name, keyPath, indexes, keys, values } of stores) {
      const made = opening.result.createObjectStore(name, keyPath ? { keyPath } : {});
      for (const index of indexes) made.createIndex(index.name, index.keyPath, { unique: index.unique });
      values.forEach((value, i) => (keyPath ? made.add(value) : made.add(value, keys[i])));
    }
  });
  (await result(opening)).close();
  source.close();
}

const result = (request) =>
  new Promise((resolve, reject) => {
    request.addEventListener("success", () => resolve(request.result));
    request.addEventListener("error", () => reject(request.error));
  });
