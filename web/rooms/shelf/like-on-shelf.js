import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { notWritten } from "../../parts/not-written.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import "../../parts/undo-key.js";

const ROWS = [2, 4, 6, 10];

/** How many of a good the owner likes on the shelf: what "melt" goes by until there is a record of callers. Property `good`: its id. */
class LikeOnShelf extends Part {
  static properties = { good: {}, done: { state: true }, error: { state: true } };

  constructor() {
    super();
    Object.assign(this, { good: "", done: null, error: null });
  }

  willUpdate(changed) {
    if (changed.has("good")) Object.assign(this, { done: null, error: null });
  }

  async #like(units) {
    try {
      this.done = await setHouse("shelf_units", { ...(house.view.setting("shelf_units", {}) || {}), [this.good]: units });
      this.error = null;
      sayAloud(`${units} on the shelf.`);
    } catch (error) {
      Object.assign(this, { done: null, error });
    }
  }

  render() {
    const { view } = house;
    const liked = (view.setting("shelf_units", {}) || {})[this.good] ?? null;
    const choices = ROWS.map((rows) => rows * (view.goods.get(this.good)?.row || 10));
    const mayNot = house.status.device?.role !== "keeper";
    return html`<h2 class="where">How many you like on the shelf</h2>
      <div class="keyrow four">${choices.map(
        (units) => html`
        <button type="button" class="key tight" aria-pressed=${liked === units} ?disabled=${mayNot} @click=${() => this.#like(units)}>${units}</button>`,
      )}</div>
      <p class="faint">${liked === null || choices.includes(liked) ? "" : `Now ${liked}. `}Until two weeks of callers say how fast they go.${mayNot ? " Only an owner’s device may change this." : ""}</p>
      ${
        this.done?.op
          ? html`<p role="status"><strong>Written down.</strong></p><undo-key .op=${this.done.op} @undone=${() => {
              this.done = null;
            }}></undo-key>`
          : nothing
      }
      ${this.error ? notWritten(this.error) : nothing}`;
  }
}
customElements.define("like-on-shelf", LikeOnShelf);
