/** @file The turns that windows of one device take (Web Locks), and their talk (BroadcastChannel): given up when a window dies. */

import { soon } from "./turns.mjs";

export class Locks {
  /** @type {{name: string, mode: string, realm: any, lose: (reason: any) => void}[]} */
  held = [];
  /** @type {{name: string, mode: string, realm: any, grant: () => void}[]} */
  waiting = [];

  /** What a window sees as `navigator.locks`. */
  for(realm) {
    return {
      request: (name, ...given) => this.#request(realm, name, given.length > 1 ? given[0] : {}, given.at(-1)),
      query: async () => ({
        held: this.held.map(({ name, mode }) => ({ name, mode })),
        pending: this.waiting.map(({ name }) => ({ name })),
      }),
    };
  }

  letGoOf(realm) {
    this.waiting = this.waiting.filter((one) => one.realm !== realm);
    this.held = this.held.filter((one) => one.realm !== realm);
    this.#next();
  }

  #free(name, mode) {
    return this.held.every((one) => one.name !== name || (one.mode === "shared" && mode === "shared"));
  }

  #request(realm, name, { mode = "exclusive", ifAvailable = false, steal = false, signal } = {}, work) {
    if (realm.dead) return new Promise(() => {});
    if (steal) this.#steal(name);
    const free = this.#free(name, mode) && !this.waiting.some((one) => one.name === name);
    if (ifAvailable && !free) return Promise.resolve(work(null));
    return new Promise((resolve, reject) => {
      const grant = () => {
        const held = { name, mode, realm, lose: reject };
        this.held.push(held);
        const given = (async () => work({ name, mode }))();
        given.then(resolve, reject).finally(() => {
          this.held = this.held.filter((one) => one !== held);
          this.#next();
        });
      };
      if (free || steal) return grant();
      const waits = { name, mode, realm, grant };
      this.waiting.push(waits);
      signal?.addEventListener("abort", () => {
        if (!this.waiting.includes(waits)) return;
        this.waiting = this.waiting.filter((one) => one !== waits);
        reject(signal.reason);
      });
      return undefined;
    });
  }

  #steal(name) {
    const robbed = this.held.filter((one) => one.name === name);
    this.held = this.held.filter((one) => one.name !== name);
    for (const { lose } of robbed) lose(new DOMException("The lock was stolen.", "AbortError"));
  }

  #next() {
    for (const one of [...this.waiting]) {
      const ahead = this.waiting.slice(0, this.waiting.indexOf(one)).some(({ name }) => name === one.name);
      if (!ahead && this.#free(one.name, one.mode)) {
        this.waiting = this.waiting.filter((other) => other !== one);
        one.grant();
      }
    }
  }
}

/** @param {any} device whose windows hear each other @param {any} realm */
export function talkFor(device, realm) {
  return class {
    constructor(name) {
      this.name = name;
      this.listeners = [];
      device.talks.push({ realm, talk: this });
    }
    addEventListener(_type, listener) {
      this.listeners.push(listener);
    }
    postMessage(data) {
      if (realm.dead) return;
      for (const { realm: other, talk } of device.talks) {
        if (other === realm || talk.name !== this.name) continue;
        soon(() => other.dead || talk.listeners.forEach((listener) => listener({ data: structuredClone(data) })));
      }
    }
  };
}
