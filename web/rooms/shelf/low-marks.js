import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { notWritten } from "../../parts/not-written.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { lastingSaid, lowMark, usedOfLate } from "../bench/cartons-low.js";
import "../../parts/undo-key.js";

const MARKS = [0, 5, 10, 20];

/** At how many cartons to be told that they run low. Property `good`: the carton's id. A keeper sets it, and may take it back. */
class LowMarks extends Part {
  static properties = { good: {}, done: { state: true }, error: { state: true } };

  constructor() {
    super();
    Object.assign(this, { good: "", done: null, error: null });
  }

  willUpdate(changed) {
    if (changed.has("good")) Object.assign(this, { done: null, error: null });
  }

  async #mark(units) {
    try {
      this.done = await setHouse("carton_low", { ...(house.view.setting("carton_low", {}) || {}), [this.good]: units });
      this.error = null;
      sayAloud(`Told from ${units} on.`);
    } catch (error) {
      Object.assign(this, { done: null, error });
    }
  }

  render() {
    const { view } = house;
    const marked = lowMark(view.setting("carton_low", {}) || {}, this.good);
    const { used, days } = usedOfLate(this.good, view, house.today());
    const lasts = lastingSaid(this.good, view, house.today());
    const mayNot = house.status.device?.role !== "keeper";
    return html`<p class="faint">${lasts ? `What is here lasts ${lasts}.` : `${used} used in the last ${days === 1 ? "day" : `${days} days`}: too little to say how long they last.`}</p>
      <h2 class="where">Say that they run low at</h2>
      <div class="keyrow four">${MARKS.map((units) => html`
        <button type="button" class="key tight" aria-pressed=${marked === units} ?disabled=${mayNot} @click=${() => this.#mark(units)}>${units}</button>`)}</div>
      ${MARKS.includes(marked) ? nothing : html`<p class="faint">Now at ${marked}.</p>`}
      ${mayNot ? html`<p class="faint">Only a keeper's device may change this.</p>` : nothing}
      ${this.done?.op ? html`<p role="status"><strong>Written down.</strong></p><undo-key .op=${this.done.op} @undone=${() => { this.done = null; }}></undo-key>` : nothing}
      ${this.error ? notWritten(this.error) : nothing}`;
  }
}
customElements.define("low-marks", LowMarks);
