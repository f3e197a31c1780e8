import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { house } from "../../store/house.js";
import { setHouse, setPourSize } from "../../store/acts.js";
import { madeGoods } from "../../parts/weighing.js";

/** @type {[number, string][]} */
const SETS = [1, 2, 3, 4, 6].map((sets) => [sets, String(sets)]);
const POURS = [1, 4, 6, 8, 9, 10, 12, 15, 16, 18, 20, 24];
/** @type {[number, string][]} */
const HOURS = [
  [2, "2 hours"],
  [3, "3 hours"],
  [4, "4 hours"],
  [6, "6 hours"],
];
/** @type {[boolean, string][]} */
const FAN = [
  [false, "no fan"],
  [true, "with a fan"],
];
/** @type {[number, string][]} */
const CHANCES = [
  [10, "1 in 10"],
  [20, "1 in 20"],
  [50, "1 in 50"],
  [100, "1 in 100"],
];

/** What a morning of melting can do here, and how seldom somebody may go without: what "melt by" reckons with. Keepers only. */
class MeltingBoard extends Part {
  #act = new Act(this);

  /** @param {string} key @param {unknown} value */
  #set(key, value) {
    if (house.view.setting(key, null) !== value) this.#act.run(() => setHouse(key, value), "Written down.", { focus: false });
  }

  /** @param {string} key @param {unknown} fallback @param {[unknown, string][]} choices */
  #keys(key, fallback, choices) {
    const now = house.view.setting(key, fallback);
    return html`<div class="keyrow four">${choices.map(
      ([value, words]) => html`
      <button type="button" class="key tight" aria-pressed=${now === value} @click=${() => this.#set(key, value)}>${words}</button>`,
    )}</div>`;
  }

  /** What one set of molds makes of each thing that is poured: a mold of twelve is as good as one of ten. */
  #pours() {
    return madeGoods("wax").map(
      ({ id, row = 10, plural, name }) => html`<h2 class="where">One set of molds makes, ${plural || name}</h2>
        <div class="keyrow four" role="group" aria-label="${plural || name} from one set">${[...new Set([...POURS, row])]
          .sort((a, b) => a - b)
          .map(
            (units) =>
              html`<button type="button" class="key tight" aria-pressed=${units === row} @click=${() => this.#pour(id, row, units)}>${units}</button>`,
          )}</div>`,
    );
  }

  /** @param {string} good @param {number} now @param {number} units */
  #pour(good, now, units) {
    if (units !== now) this.#act.run(() => setPourSize(good, units), "Written down.", { focus: false });
  }

  render() {
    const mayNot = house.status.device?.role !== "keeper";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Melting</h1>
      ${mayNot ? html`<p class="faint">Only an owner's device may change these.</p>` : nothing}
      <fieldset class="plain" ?disabled=${mayNot}>
        <h2 class="where">Sets of molds you have</h2>
        ${this.#keys("mould_sets", 1, SETS)}
        ${this.#pours()}
        <h2 class="where">A morning of melting lasts</h2>
        ${this.#keys("morning_hours", 4, HOURS)}
        <h2 class="where">Bars cool</h2>
        ${this.#keys("fan", false, FAN)}
        <h2 class="where">Somebody may go without before a pour is ready</h2>
        ${this.#keys("short_one_in", 20, CHANCES)}
        <p class="faint">The rarer, the earlier the Shelf says “melt by”, and the more bars lie there.</p>
      </fieldset>
      ${this.#act.outcome()}
    </div></div>`;
  }
}
customElements.define("melting-board", MeltingBoard);
