import { html } from "lit";
import { Ask } from "./ask.js";
import { moldedBar } from "../../../parts/first-questions.js";
import { house } from "../../../store/house.js";
import { setHouse } from "../../../store/acts.js";

const MOLDS = [1, 2, 3, 4, 6];

/** How many bars the molds take: what a morning of melting can make. */
class AskMolds extends Ask {
  /** @param {number} sets */
  #give = (sets) => this.answer(() => setHouse("mould_sets", sets));

  question() {
    return html`<h1>How many bars do your molds take at a time?</h1>
      <p class="faint">“Melt by” on the Shelf reckons with it: how many mornings it takes to have enough.</p>`;
  }

  answers() {
    const now = house.view.setting("mould_sets", null);
    const bars = moldedBar(house.view)?.row ?? 10;
    return html`<div class="keyrow three" role="group" aria-label="Bars at a time">${MOLDS.map(
      (sets) => html`
        <button type="button" class="key ready" aria-pressed=${sets === now} @click=${() => this.#give(sets)}>${sets * bars} bars</button>`,
    )}
      <button type="button" class="key tight" @click=${() => this.answer(async () => {}, "skipped")}>no molds yet</button></div>`;
  }
}
customElements.define("ask-molds", AskMolds);

/** Whether honey may be mailed: off until the owner says that they asked their state. */
class AskHoney extends Ask {
  /** @param {boolean} asked */
  #give = (asked) =>
    this.answer(() =>
      house.view.setting("posting_honey_asked", null) === asked ? Promise.resolve() : setHouse("posting_honey_asked", asked),
    );

  question() {
    const state = house.view.setting("state", "");
    return html`<h1>Did you ask ${state ? `the state (${state})` : "your state"} whether you may mail your honey?</h1>
      <p>Some states do not let honey bottled at home be mailed. Their department of agriculture knows; this app does not.</p>
      <p class="faint">Until you say yes here, honey is picked up, or its order waits. Wax is mailed all the same.</p>`;
  }

  answers() {
    const now = house.view.setting("posting_honey_asked", null);
    return html`<button type="button" class="key" aria-pressed=${now === false} @click=${() => this.#give(false)}>Not yet<small>honey is not mailed</small></button>
      <button type="button" class="key" aria-pressed=${now === true} @click=${() => this.#give(true)}>I asked: it may be mailed</button>`;
  }
}
customElements.define("ask-honey", AskHoney);
