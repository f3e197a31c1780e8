import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { lastingSaid, lowMark, usedOfLate } from "../../parts/cartons-low.js";

/** @import { Changed } from "../../parts/events.d.ts" */

const MARKS = [0, 5, 10, 20];

/** At how many cartons to be told that they run low. Property `good`: the carton's id. A keeper sets it, and may take it back. */
class LowMarks extends Part {
  static properties = { good: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.good = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("good")) this.#act.about(this.good);
  }

  /** @param {number} units */
  #mark(units) {
    const marks = { ...(house.view.setting("carton_low", {}) || {}), [this.good]: units };
    return this.#act.run(() => setHouse("carton_low", marks), `Written down. Told from ${units} on.`);
  }

  render() {
    const { view } = house;
    const marked = lowMark(view.setting("carton_low", {}) || {}, this.good);
    const { used, days } = usedOfLate(this.good, view, house.today());
    const lasts = lastingSaid(this.good, view, house.today());
    const mayNot = house.status.device?.role !== "keeper";
    return html`<p class="faint">${lasts ? `What is here lasts ${lasts}.` : `${used} used in the last ${days === 1 ? "day" : `${days} days`}: too little to say how long they last.`}</p>
      <h2 class="where">Say that they run low at</h2>
      <div class="keyrow four">${MARKS.map(
        (units) => html`
        <button type="button" class="key tight" aria-pressed=${marked === units} ?disabled=${mayNot} @click=${() => this.#mark(units)}>${units}</button>`,
      )}</div>
      ${MARKS.includes(marked) ? nothing : html`<p class="faint">Now at ${marked}.</p>`}
      ${mayNot ? html`<p class="faint">Only an owner's device may change this.</p>` : nothing}
      ${this.#act.outcome()}`;
  }
}
customElements.define("low-marks", LowMarks);
