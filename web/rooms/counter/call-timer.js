import { html } from "lit";
import { Part } from "../../parts/part.js";
import { clockSaid } from "../../parts/words.js";

const SECOND_MS = 1000;
const LONGEST_S = 3600;

/** "On the line, 0:06". Property `started`: milliseconds by this device's clock, or null. Silent for ears: it would never stop talking. */
class CallTimer extends Part {
  static properties = { started: {}, words: {} };

  #tick = 0;

  constructor() {
    super();
    /** @type {number | null} */
    this.started = null;
    this.words = "On the line";
  }

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), SECOND_MS);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  render() {
    const seconds = this.started ? (Date.now() - this.started) / SECOND_MS : Infinity;
    if (seconds > LONGEST_S) return html`${this.words}`;
    return html`${this.words}<span aria-hidden="true" class="timer">, ${clockSaid(seconds)}</span>`;
  }
}
customElements.define("call-timer", CallTimer);
