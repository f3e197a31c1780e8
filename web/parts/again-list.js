import { html, nothing } from "lit";
import { Part } from "./part.js";
import { Act } from "./act.js";
import { verdictSaid } from "./heat-words.js";
import { placeOf } from "./route.js";
import { amend } from "../store/acts.js";
import { onAgain, toTell } from "./again.js";
import { noteOf } from "./bench-notes.js";
import { postingAnew } from "./posting-anew.js";

/** @import { RecheckAnswer } from "../kernel/answers.d.ts" */
/** @import { Amendment, Order } from "../store/shapes.d.ts" */

const ENOUGH = 2;

/** What the morning's asking found: which parcel to dress otherwise, move or hold, and one key to do so. */
export class AgainList extends Part {
  static properties = { all: { type: Boolean } };

  #act = new Act(this);

  /** @type {(() => void) | null} */
  #end = null;

  constructor() {
    super();
    this.all = false;
  }

  connectedCallback() {
    super.connectedCallback();
    this.#end = onAgain(() => this.requestUpdate());
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#end?.();
  }

  /** @param {Order} order @param {Amendment} change @param {string} words */
  #write(order, change, words) {
    const dressed = change.dressing && change.dressing !== order.dressing;
    return this.#act.run(
      async () => {
        const posting = dressed ? await postingAnew(order, change, noteOf(order.id).carton) : { change: {}, words: "" };
        return { ...(await amend(order.id, { ...change, ...posting.change })), posting: posting.words };
      },
      ({ posting }) => [words, posting].filter(Boolean).join(" "),
    );
  }

  render() {
    const tell = toTell();
    if (!tell.length && !this.#act.done && !this.#act.error) return nothing;
    if (!this.all) return this.#briefly(tell);
    return html`<section class="again" aria-label="Heat looked at again">
      ${tell.length ? html`<h2 class="where">Heat looked at again this morning</h2>` : nothing}
      ${tell.slice(0, ENOUGH).map(({ order, answer }) => this.#told(order, answer))}
      ${tell.length > ENOUGH ? html`<details><summary>${tell.length - ENOUGH} more</summary>${tell.slice(ENOUGH).map(({ order, answer }) => this.#told(order, answer))}</details>` : nothing}
      ${this.#act.outcome()}
    </section>`;
  }

  /** Where calls are taken, one line each: what is to be done is done on the Bench. @param {{order: Order, answer: RecheckAnswer}[]} tell */
  #briefly(tell) {
    return html`<dl class="under" aria-label="Heat looked at again">${tell.slice(0, ENOUGH).map(
      ({ order, answer }) => html`
      <div><dt>heat</dt><dd><a class=${answer.change === "worse" ? "heed" : ""} href=${placeOf("bench", order.id)}>${answer.words}</a></dd></div>`,
    )}
      ${tell.length > ENOUGH ? html`<div><dt>and</dt><dd><a href=${placeOf("bench")}>${tell.length - ENOUGH} more on the Bench</a></dd></div>` : nothing}</dl>`;
  }

  /** @param {Order} order @param {RecheckAnswer} answer */
  #told(order, answer) {
    const heat = [verdictSaid(answer.told), answer.told?.basis && `by the ${answer.told.basis}`].filter(Boolean).join(", ");
    const leave = answer.change === "worse" ? "send it as it is" : answer.change === "cool" ? "" : "leave it as it is";
    return html`<div class="again-one">
      <p><a class=${answer.change === "worse" ? "heed" : ""} href=${placeOf("bench", order.id)}>${answer.words}</a>
        ${answer.change === "worse" && heat ? html`<small class="faint">As it stands: ${heat}.</small>` : nothing}</p>
      <div class="keyrow two">
        ${answer.do ? html`<button type="button" class="key tight" @click=${() => this.#write(order, { ...answer.do, told: answer.told_then ?? {}, ...(answer.change === "cool" ? { call_for: "going" } : {}) }, "Done. It stands so with the order.")}>do that</button>` : nothing}
        ${leave ? html`<button type="button" class="key tight quiet" @click=${() => this.#write(order, { told: answer.told }, "It goes as it is.")}>${leave}</button>` : nothing}
      </div></div>`;
  }
}
customElements.define("again-list", AgainList);
