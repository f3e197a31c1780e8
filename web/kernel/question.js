/**
 * @file One question to the pure work, asked for as long as an element is on the screen. Its answer is seen only while it is the answer to the
 * present request: another request and the old answer is gone at once, however late the new one comes.
 */

import { means, work } from "./work.js";

/** @import { AnswerOf } from "./answers.d.ts" */

const AGAIN_AFTER_MS = [4_000, 8_000, 16_000, 32_000, 64_000]; // the kernel may wake meanwhile, the house come into reach

/**
 * `half`: part of the answer is there, the rest is still being worked out.
 * @typedef {'none' | 'working' | 'half' | 'known' | 'unknown' | 'refused'} State
 * @typedef {{request: any, signal: AbortSignal, tell: (answer: any, state?: State) => void}} Asking
 * @typedef {{requestUpdate(): void, addController?(controller: any): void}} Host an element, or whatever wants to be told of news
 */

/** Thrown by a way of asking when what it has already is all there will be. */
export class Enough extends Error {}

/**
 * The answer's type is known by the name of the work; a way of asking in several steps says itself what it answers.
 * @template {string} [Name=string]
 * @template [Answer=AnswerOf<Name>]
 */
export class Question {
  /** @type {State} */
  state = "none";
  /** Why it is not known. */
  why = "";
  remedy = "";
  /** The present request. @type {any} */
  asked = null;
  #key = "";
  #answer = /** @type {Answer | null} */ (null);
  #means = "";
  #timer = 0;
  #giveUp = new AbortController();

  /**
   * @param {Host} host drawn again at each news; the question ends when it leaves the screen
   * @param {Name | ((asking: Asking) => Promise<Answer>)} how the name of the work, or a way of asking in several steps
   * @param {{pause_ms?: number, wait_s?: number, heard?: () => void}} [options] `pause_ms`: so long nothing may change before it is asked;
   *   `heard`: told at each news, before the host
   */
  constructor(host, how, { pause_ms = 0, wait_s = 8, heard = () => {} } = {}) {
    this.host = host;
    this.how = typeof how === "string" ? (/** @type {Asking} */ { request, signal }) => work(how, request, { wait_s, signal }) : how;
    this.pause_ms = pause_ms;
    this.heard = heard;
    host.addController?.(this);
  }

  /** The answer to the present request, whole or in part, or null. */
  get answer() {
    return this.#answer;
  }

  /** Whether an answer is still out. */
  get waits() {
    return this.state === "working" || this.state === "half";
  }

  /**
   * Says what is to be known now.
   * @param {any} request null when nothing is asked
   * @param {string} [subject] what it is about, where two things may lead to the same request
   */
  about(request, subject = "") {
    const key = keyOf(request, subject);
    const again = this.state === "unknown" && this.#means !== means();
    if (key === this.#key && !again) return;
    this.#end();
    Object.assign(this, { state: request ? "working" : "none", asked: request, why: "", remedy: "" });
    this.#key = key;
    this.#means = means();
    if (request) this.#later(this.pause_ms, 0);
  }

  /**
   * The answer, if it is the answer to this very request.
   * @param {any} request
   * @param {string} [subject]
   */
  answerTo(request, subject = "") {
    return keyOf(request, subject) === this.#key ? this.#answer : null;
  }

  /** Nobody asks any more. */
  dispose() {
    this.#end();
    Object.assign(this, { state: "none", asked: null, why: "", remedy: "" });
    this.#key = "";
  }

  hostConnected() {
    this.host.requestUpdate();
  }

  hostDisconnected() {
    this.dispose();
  }

  #end() {
    clearTimeout(this.#timer);
    this.#giveUp.abort();
    this.#giveUp = new AbortController();
    this.#answer = null;
  }

  /**
   * @param {number} pause_ms
   * @param {number} times
   */
  #later(pause_ms, times) {
    const { signal } = this.#giveUp;
    this.#timer = window.setTimeout(() => this.#ask(signal, times), pause_ms);
  }

  /**
   * @param {AbortSignal} signal
   * @param {number} times
   */
  async #ask(signal, times) {
    const tell = (/** @type {any} */ answer, /** @type {State} */ state = "half") => {
      if (signal.aborted) return;
      this.#answer = answer;
      this.state = state;
      this.#told();
    };
    try {
      tell(await this.how({ request: this.asked, signal, tell }), "known");
    } catch (error) {
      if (!signal.aborted) this.#failed(/** @type {any} */ (error), times);
    }
  }

  /**
   * What came of it stays: half an answer is not forgotten because the rest takes too long.
   * @param {{unknown?: boolean, message: string, remedy?: string}} error
   * @param {number} times
   */
  #failed(error, times) {
    const state = error instanceof Enough ? "known" : error.unknown ? "unknown" : "refused";
    Object.assign(this, { state, why: error.message, remedy: error.remedy ?? "" });
    if (state === "unknown" && times < AGAIN_AFTER_MS.length) this.#later(AGAIN_AFTER_MS[times], times + 1);
    this.#told();
  }

  #told() {
    this.heard();
    this.host.requestUpdate();
  }
}

/**
 * @param {any} request
 * @param {string} subject
 */
const keyOf = (request, subject) => (request ? JSON.stringify([subject, request]) : "");
