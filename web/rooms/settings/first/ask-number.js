import { html } from "lit";
import { Ask } from "./ask.js";
import { keepAnswer, keptAnswer } from "./kept-answers.js";
import "../../../parts/number-pad.js";

/**
 * A question whose answer is a number: a few ready answers, one touch each, and the keys for any other. What inherits it gives
 * `ready()` (`[number, words]`), `now()` (the number in the book, or null), `done(number)` (writes it) and `unit`, `point`.
 */
export class AskNumber extends Ask {
  static properties = { typed: { state: true } };

  constructor() {
    super();
    this.typed = null;
  }

  get #key() {
    return this.at.join("/");
  }

  willUpdate() {
    this.typed ??= keptAnswer(this.#key) ?? "";
  }

  #type(text) {
    this.typed = text;
    keepAnswer(this.#key, text || null);
  }

  #give(number) {
    return this.answer(async () => {
      await this.done(number);
      keepAnswer(this.#key, null);
    });
  }

  answers() {
    const now = this.now();
    const number = Number(this.typed);
    return html`<div class="keyrow four" role="group" aria-label="Ready answers">${this.ready().map(
      ([value, words]) => html`
        <button type="button" class="key ready" aria-pressed=${value === now} ?disabled=${this.working} @click=${() => this.#give(value)}>${words}</button>`,
    )}</div>
      <number-pad ?point=${Boolean(this.point)} .value=${this.typed} .unit=${this.unit ?? ""} .label=${this.label ?? "Another number"}
        @change=${({ detail }) => this.#type(detail)}></number-pad>
      <button type="button" class="key ${this.typed ? "say" : ""}" ?disabled=${this.working || this.typed === "" || !Number.isFinite(number)} @click=${() => this.#give(number)}>
        ${this.typed ? this.words(number) : "or another number"}</button>`;
  }
}
