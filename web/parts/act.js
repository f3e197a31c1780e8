import { html, nothing } from "lit";
import { sayAloud } from "./aloud.js";
import { notDone, notWritten } from "./not-written.js";
import { onceLifted, restUnderFinger } from "./resting.js";
import { troubleOf } from "../store/trouble.js";
import "./undo-key.js";

/** @import { Trouble } from "../store/shapes.d.ts" */

/**
 * What is done on a board: once however often it is touched, said when it is written down, undone by a key that is never under the finger, and
 * told with its remedy when it is not. One of them for an element; `outcome()` is drawn where it is to be read.
 */
export class Act {
  busy = false;
  /** What the act resolved with, and its words. @type {({words: string, op?: string | null} & Record<string, any>) | null} */
  done = null;
  /** @type {Trouble | null} */
  error = null;
  #subject = "";
  /** @type {Promise<unknown>} */
  #before = Promise.resolve();

  /**
   * @param {import("lit").ReactiveControllerHost & HTMLElement} host
   * @param {{asks?: boolean}} [options] `asks`: the main computer is asked to do it; nothing is written here that could be lost
   */
  constructor(host, { asks = false } = {}) {
    this.host = host;
    this.asks = asks;
    host.addController(this);
  }

  hostConnected() {}

  /**
   * @template {object | void} T
   * @param {() => Promise<T>} write one of the acts
   * @param {string | ((done: T) => string)} words what is said when it is written down
   * @param {{focus?: boolean, touched?: boolean}} [options] `focus`: the keyboard goes to what was done, unless one goes on working where one is;
   *   `touched`: false when no key was touched for it (a field was left, a board came up): the finger may lie on a key already, which answers,
   *   and what is under way is waited for
   * @returns {Promise<T | null>} null when it was not written, or another is under way
   */
  async run(write, words, { focus = true, touched = true } = {}) {
    if (this.busy && touched) return null;
    const over = touched ? restUnderFinger() : () => {};
    this.busy ||= touched;
    const turn = this.#before.then(() => this.#write(write, words, { focus: focus && touched, touched }));
    this.#before = turn;
    this.host.requestUpdate();
    const done = await turn;
    if (touched) this.busy = false;
    over();
    this.host.requestUpdate();
    return done;
  }

  /**
   * @template T
   * @param {() => Promise<T>} write
   * @param {string | ((done: T) => string)} words
   * @param {{focus: boolean, touched: boolean}} how
   * @returns {Promise<T | null>}
   */
  async #write(write, words, { focus, touched }) {
    if (touched) this.error = null;
    try {
      const done = await write();
      const said = typeof words === "function" ? words(done) : words;
      this.#tell({ done: { ...done, words: said }, error: null });
      if (said) sayAloud(said);
      if (focus) this.#focus();
      return done;
    } catch (error) {
      this.failed(troubleOf(error));
      return null;
    }
  }

  /** Something stands in the way before anything is written. @param {Trouble} error */
  failed(error) {
    this.#tell({ done: null, error });
    sayAloud(`${this.asks ? "Not done" : "Not written down"}. ${error.message}`, true);
  }

  /** What is given stands already: there is nothing to write, and nothing in the way any more. */
  stands() {
    if (this.error) this.#tell({ error: null });
  }

  /** @param {Partial<Act>} outcome */
  #tell(outcome) {
    onceLifted(() => {
      Object.assign(this, outcome);
      this.host.requestUpdate();
    });
  }

  /** Another thing is on the board now: what was done with the one before is not told any more. @param {string} subject */
  about(subject) {
    if (subject !== this.#subject) this.clear();
    this.#subject = subject;
  }

  clear() {
    if (this.done || this.error) Object.assign(this, { done: null, error: null });
  }

  /**
   * @param {{undo?: string, undone?: () => void, more?: unknown}} [options] `undo`: what undoing means; `more`: what else is to be told of it
   */
  outcome({ undo = "undo", undone, more = nothing } = {}) {
    const { done, error } = this;
    const back = () => {
      this.clear();
      undone?.();
      this.host.requestUpdate();
    };
    return html`${error ? (this.asks ? notDone(error) : notWritten(error)) : nothing}
      ${done?.words ? html`<p role="status" class="done" tabindex="-1"><strong>${done.words}</strong></p>` : nothing}${done ? more : nothing}
      ${done?.op ? html`<undo-key .op=${done.op} .ops=${done.ops ?? []} .words=${undo} @undone=${back}></undo-key>` : nothing}`;
  }

  /** Where the key was that did it there may be none any more. */
  #focus() {
    this.host.updateComplete.then(() => {
      const here = document.activeElement;
      const lost = !here || here === document.body || !here.checkVisibility();
      if (lost) /** @type {HTMLElement | null} */ (this.host.querySelector(".done"))?.focus({ preventScroll: true });
    });
  }
}
