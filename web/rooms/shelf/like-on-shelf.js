import { html } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";

const ROWS = [2, 4, 6, 10];

/** How many of a good the owner likes on the shelf: what "melt" goes by until there is a record of callers. Property `good`: its id. */
class LikeOnShelf extends Part {
  static properties = { good: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.good = "";
  }

  willUpdate() {
    this.#act.about(this.good);
  }

  /** @param {number} units */
  #like(units) {
    const liked = { ...(house.view.setting("shelf_units", {}) || {}), [this.good]: units };
    return this.#act.run(() => setHouse("shelf_units", liked), `Written down: ${units} on the shelf.`, { focus: false });
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
      ${this.#act.outcome()}`;
  }
}
customElements.define("like-on-shelf", LikeOnShelf);
