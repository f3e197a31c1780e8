/** @file The questions to the kernel, in order. It answers one at a time; the others wait here, where one that is no longer wanted is taken out. */

/** Told instead of an answer when the kernel died meanwhile. */
export const DIED = Symbol("the kernel died");

const HANG_MS = 4_000; // beyond what the question may take; twice, since the timers of a page that slept go off all at once

/** @typedef {string | null | typeof DIED} Reply null when it took too long or is no longer wanted */
/** @typedef {{id: number, name: string, request: string, wait_ms: number, settle: (reply: Reply) => void}} Asked */

export class Queue {
  /** Whether the question with the kernel takes longer than it may: the kernel may be dead, better ask the house. */
  overdue = false;
  /** @type {Asked[]} */
  #waiting = [];
  /** @type {Asked | null} */
  #asked = null;
  #count = 0;

  /**
   * @param {(asked: {id: number, name: string, request: string}) => boolean} send whether the kernel could be given it
   * @param {(why: string) => void} dead told when a question never came back
   */
  constructor(send, dead) {
    this.send = send;
    this.dead = dead;
  }

  /**
   * @param {string} name
   * @param {Record<string, any>} request
   * @param {number} wait_ms
   * @param {AbortSignal} [signal]
   * @returns {Promise<Reply>}
   */
  ask(name, request, wait_ms, signal) {
    const id = (this.#count += 1);
    return new Promise((resolve) => {
      const settle = (/** @type {Reply} */ reply) => {
        this.#waiting = this.#waiting.filter((one) => one.id !== id);
        clearTimeout(late);
        signal?.removeEventListener("abort", withdraw);
        resolve(reply);
      };
      const withdraw = () => settle(null);
      const late = setTimeout(withdraw, wait_ms);
      signal?.addEventListener("abort", withdraw);
      this.#waiting.push({ id, name, request: JSON.stringify(request), wait_ms, settle });
      this.next();
    });
  }

  /** Gives the kernel the next question, if it has none and can take one. */
  next() {
    const [one] = this.#waiting;
    if (!one || this.#asked || !this.send({ id: one.id, name: one.name, request: one.request })) return;
    this.#waiting.shift();
    this.#asked = one;
    this.#watch(one, Math.max(0, one.wait_ms) + HANG_MS, 2);
  }

  /** @param {{id: number, reply: string}} data as the kernel sent it */
  answered({ id, reply }) {
    if (this.#asked?.id !== id) return;
    const { settle } = this.#asked;
    this.#asked = null;
    this.overdue = false;
    settle(reply);
    this.next();
  }

  /** The kernel is gone: everybody who waits is told, and asks elsewhere. */
  die() {
    const left = this.#asked ? [this.#asked, ...this.#waiting] : this.#waiting;
    this.#waiting = [];
    this.#asked = null;
    this.overdue = false;
    left.forEach(({ settle }) => settle(DIED));
  }

  /**
   * @param {Asked} one
   * @param {number} wait_ms
   * @param {number} strikes
   */
  #watch(one, wait_ms, strikes) {
    setTimeout(() => {
      if (this.#asked !== one) return;
      this.overdue = true;
      if (strikes > 1) this.#watch(one, HANG_MS, strikes - 1);
      else this.dead(`${one.name} never came back`);
    }, wait_ms);
  }
}
