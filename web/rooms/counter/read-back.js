import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { listed, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { amend, promise, sell } from "../../store/acts.js";
import { asActed } from "./draft.js";
import { verdictSaid } from "../../parts/heat-words.js";
import { notWritten } from "../../parts/not-written.js";
import { postingChanged } from "./posting.js";
import { sentenceAloud } from "./sentence.js";
import { surenessOf } from "./sureness.js";

const WAIT_S = 1.5;

/**
 * The sentence alone, to be read to the caller, and one key. Only after the device has written it down for good does it send `said`.
 * Properties: `draft`, `call` (the answer of answers.call, or null). Sends `back` too.
 */
class ReadBack extends Part {
  static properties = { draft: {}, call: {}, busy: { state: true }, error: { state: true } };

  constructor() {
    super();
    this.busy = false;
    this.error = null;
  }

  firstUpdated() {
    this.querySelector(".key.say")?.focus();
  }

  #act(acted) {
    const { draft } = this;
    if (draft.way === "walk_in") return sell(acted);
    if (!draft.amends) return promise(acted, { wait_s: WAIT_S });
    const { person, ...change } = acted;
    if (person && draft.address) change.person = person;
    return amend(draft.amends, change);
  }

  async #say() {
    if (this.busy) return;
    this.busy = true;
    this.error = null;
    try {
      const done = await this.#act(asActed(this.draft, house.view, house.today(), heatTold(this.call), this.call?.told ?? {}));
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
    const { draft } = this;
    const words = draft.way === "walk_in" ? "Sell" : draft.amends ? "Change it" : "Promise";
    return html`
      <div class="board"><div class="column">
        <h1 class="where">${draft.way === "walk_in" ? "Say it" : "Read it to them"}</h1>
        ${this.error ? notWritten(this.error) : nothing}
        ${sentenceAloud(draft, house.view, house.today())}
        ${this.#waits()}
      </div></div>
      <div class="deck">
        <button type="button" class="key say" ?disabled=${this.busy} @click=${this.#say}>${this.busy ? "writing it down …" : this.error ? "try again" : words}</button>
        <button type="button" class="key" ?disabled=${this.busy} @click=${() => this.dispatchEvent(new CustomEvent("back"))}>not quite: change it</button>
      </div>`;
  }

  /** What the caller must hear before they agree. */
  #waits() {
    const rest = this.draft.way === "walk_in" ? [] : this.draft.lines.map((line) => surenessOf(line, this.draft, house.view, house.share(line.good))).filter((found) => found.rest);
    const waits = listed(rest.map((found) => unitsSaid(house.view.goods.get(found.good), found.rest)));
    const { heat } = this.call ?? {};
    const posting = postingChanged(this.draft);
    return html`
      ${posting === nothing ? nothing : html`<p class="tell">${posting}</p>`}
      ${waits ? html`<p class="tell">Of these, <strong>${waits}</strong> ${rest.length === 1 && rest[0].rest === 1 ? "waits" : "wait"} for the next pour. We ring when they are there.</p>` : nothing}
      ${heat && !heat.harmless ? html`<p class="tell">On the way <strong>${verdictSaid(heat)}</strong>${heat.chance_words ? `, ${heat.chance_words}` : ""}.</p>` : nothing}`;
  }
}
customElements.define("read-back", ReadBack);

/** One sentence for the order's own record of what the caller was told. */
function heatTold(call) {
  const { heat } = call ?? {};
  return heat ? [verdictSaid(heat), heat.chance_words, heat.when_words].filter(Boolean).join(", ").slice(0, 200) : "";
}
