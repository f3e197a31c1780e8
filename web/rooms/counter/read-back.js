import { html, nothing } from "lit";
import { given, Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { amend, promise, sell } from "../../store/acts.js";
import { pricedApart } from "../../parts/apart.js";
import { notWritten } from "../../parts/not-written.js";
import { toTell } from "./frozen.js";

/** @import { Frozen } from "./frozen.js" */
/** @import { Written } from "./now.d.ts" */

const WAIT_S = 1.5;

/**
 * The sentence alone, to be read to the caller, and one key. What stands here is what is written, whatever is heard meanwhile. Only after the
 * device has written it down for good does it send `said`. Property `frozen` (frozen.js). Sends `back` too.
 */
class ReadBack extends Part {
  static properties = { frozen: {} };

  constructor() {
    super();
    /** @type {Frozen} */
    this.frozen = given;
  }

  #act = new Act(this);

  firstUpdated() {
    this.focusOn(".key.say");
  }

  /** @returns {Promise<Written>} */
  async #write() {
    const { draft, acted } = this.frozen;
    if (draft.way === "walk_in") return sell(acted);
    if (!draft.amends) return promise(acted, { wait_s: WAIT_S });
    const { person, ...change } = acted;
    return pricedApart(await amend(draft.amends, person && draft.address ? { ...change, person } : change));
  }

  async #say() {
    const done = await this.#act.run(() => this.#write(), "", { focus: false });
    if (done) this.dispatchEvent(new CustomEvent("said", { detail: done }));
    else if (this.#act.error) this.querySelector(".board")?.scrollTo(0, 0); // it stands above the sentence, where it is seen on the smallest screen
  }

  render() {
    const { draft, aloud } = this.frozen;
    const { busy, error } = this.#act;
    const words = draft.way === "walk_in" ? "Sell" : draft.amends ? "Change it" : "Promise";
    return html`
      <div class="board" tabindex="0"><div class="column">
        <h1 class="where">${draft.way === "walk_in" ? "Say it" : "Read it to them"}</h1>
        ${error ? notWritten(error) : nothing}
        ${aloud}
        ${toTell(this.frozen)}
      </div></div>
      <div class="deck">
        <button type="button" class="key say" ?disabled=${busy} @click=${this.#say}>${busy ? "writing it down …" : error ? "try again" : words}</button>
        <button type="button" class="key" ?disabled=${busy} @click=${() => this.dispatchEvent(new CustomEvent("back"))}>not quite: go back</button>
      </div>`;
  }
}
customElements.define("read-back", ReadBack);
