import { html, nothing } from "lit";
import { given, Part } from "./part.js";
import { sayAloud } from "./aloud.js";
import { restUnderFinger } from "./resting.js";
import { undo, undoable } from "../store/acts.js";
import { house } from "../store/house.js";
import { troubleOf } from "../store/trouble.js";

const LOOK_AGAIN_MS = 10_000;
const MINUTE_MS = 60_000;

/**
 * Undo for ten minutes, instead of "are you sure?". Property `op`: the entry to undo; `ops`: all that was written with it, in the
 * order in which it is undone; `words`: what undoing means.
 * Sends `undone`.
 */
export class UndoKey extends Part {
  static properties = { op: {}, ops: {}, words: {}, trouble: { state: true } };

  #tick = 0;

  constructor() {
    super();
    /** @type {string | null | undefined} */
    this.op = given;
    /** @type {string[]} */
    this.ops = [];
    this.words = "undo";
    this.trouble = "";
  }

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), LOOK_AGAIN_MS);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  #busy = false;

  async #undo() {
    if (this.#busy || !this.op) return;
    this.#busy = true;
    const over = restUnderFinger(); // what was undone can be done again where the key for it comes back
    try {
      for (const op of this.ops.length ? this.ops : [this.op]) if (op === this.op || undoable(op)) await undo(op);
      sayAloud("Undone.");
      this.dispatchEvent(new CustomEvent("undone", { bubbles: true }));
    } catch (error) {
      const { message, remedy } = troubleOf(error);
      this.trouble = `${message} ${remedy}`;
    } finally {
      this.#busy = false;
      over();
    }
  }

  render() {
    const until = this.op ? undoable(this.op) : null;
    if (!until) return nothing;
    const minutes = Math.max(1, Math.ceil((until.getTime() - house.now().getTime()) / MINUTE_MS));
    return html`<button type="button" class="key undo" @click=${this.#undo}>${this.words}<small>for ${minutes} more ${minutes === 1 ? "minute" : "minutes"}</small></button>
      ${this.trouble ? html`<p class="heed" role="alert">${this.trouble}</p>` : nothing}`;
  }
}
customElements.define("undo-key", UndoKey);
