import { html } from "lit";
import { Ask } from "./ask.js";
import { keepAnswer, keptAnswer } from "./kept-answers.js";
import "../../../parts/number-pad.js";

/** @import { Told } from "../../../parts/events.d.ts" */

/**
 * A question whose answer is a number: a few ready answers, one touch each, and the keys for any other. What inherits it gives
 * `ready()` (`[number, words]`), `now()` (the number in the book, or null), `done(number)` (writes it) and `unit`, `point`.
 */
export class AskNumber extends Ask {
  static properties = { typed: { state: true } };

  constructor() {
    super();
    /** @type {string | null} */
    this.typed = null;
    /** A decimal point is offered. */
    this.point = false;
    this.unit = "";
  }

  /** The ready answers: number and words. @returns {[number, string | number][]} */
  ready() {
    return [];
  }

  /** The number in the book. @returns {number | null} */
  now() {
    return null;
  }

  /** A number as the key says it. @param {number} number @returns {string} */
  words(number) {
    return String(number);
  }

  /** Writes it down; every heir has its own. @param {number} number @returns {Promise<unknown>} */
  async done(number) {
    throw new Error(`Nobody writes ${number} down.`);
  }

  get label() {
    return "Another number";
  }

  get #key() {
    return this.at.join("/");
  }

  willUpdate() {
    this.typed ??= keptAnswer(this.#key) ?? "";
  }

  /** @param {string} text */
  #type(text) {
    this.typed = text;
    keepAnswer(this.#key, text || null);
  }

  /** @param {number} number */
  #give(number) {
    return this.answer(async () => {
      await this.done(number);
      keepAnswer(this.#key, null);
    });
  }

  answers() {
    const now = this.now();
    const number = Number(this.typed ?? "");
    return html`<div class="keyrow four" role="group" aria-label="Ready answers">${this.ready().map(
      ([value, words]) => html`
        <button type="button" class="key ready" aria-pressed=${value === now} ?disabled=${this.working} @click=${() => this.#give(value)}>${words}</button>`,
    )}</div>
      <number-pad own ?point=${this.point} .value=${this.typed} .unit=${this.unit} .label=${this.label}
        @change=${(/** @type {Told<string>} */ { detail }) => this.#type(detail)}></number-pad>
      <button type="button" class="key ${this.typed ? "say" : ""}" ?disabled=${this.working || this.typed === "" || !Number.isFinite(number)} @click=${() => this.#give(number)}>
        ${this.typed ? this.words(number) : "or another number"}</button>`;
  }
}
