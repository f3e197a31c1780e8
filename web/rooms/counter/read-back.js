import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { amend, promise, sell } from "../../store/acts.js";
import { notWritten } from "../../parts/not-written.js";
import { toTell } from "./frozen.js";

const WAIT_S = 1.5;

/**
 * The sentence alone, to be read to the caller, and one key. What stands here is what is written, whatever is heard meanwhile. Only after the
 * device has written it down for good does it send `said`. Property `frozen` (frozen.js). Sends `back` too.
 */
class ReadBack extends Part {
  static properties = { frozen: {}, busy: { state: true }, error: { state: true } };

  constructor() {
    super();
    this.busy = false;
    this.error = null;
  }

  firstUpdated() {
    this.querySelector(".key.say")?.focus();
  }

  #act() {
    const { draft, acted } = this.frozen;
    if (draft.way === "walk_in") return sell(acted);
    if (!draft.amends) return promise(acted, { wait_s: WAIT_S });
    const { person, ...change } = acted;
    return amend(draft.amends, person && draft.address ? { ...change, person } : change);
  }

  async #say() {
    if (this.busy) return;
    this.busy = true;
    this.error = null;
    try {
      const done = await this.#act();
      this.dispatchEvent(new CustomEvent("said", { detail: done }));
    } catch (error) {
      this.error = error; // stands above the sentence, where it is seen on the smallest screen
      this.querySelector(".board")?.scrollTo(0, 0);
      sayAloud(`Not taken. ${error.message}`, true);
    } finally {
      this.busy = false;
    }
  }

  render() {
    const { draft, aloud } = this.frozen;
    const words = draft.way === "walk_in" ? "Sell" : draft.amends ? "Change it" : "Promise";
    return html`
      <div class="board"><div class="column">
        <h1 class="where">${draft.way === "walk_in" ? "Say it" : "Read it to them"}</h1>
        ${this.error ? notWritten(this.error) : nothing}
        ${aloud}
        ${toTell(this.frozen)}
      </div></div>
      <div class="deck">
        <button type="button" class="key say" ?disabled=${this.busy} @click=${this.#say}>${this.busy ? "writing it down …" : this.error ? "try again" : words}</button>
        <button type="button" class="key" ?disabled=${this.busy} @click=${() => this.dispatchEvent(new CustomEvent("back"))}>not quite: change it</button>
      </div>`;
  }
}
customElements.define("read-back", ReadBack);
