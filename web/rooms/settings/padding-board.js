import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { centsTyped } from "../../parts/cartons.js";
import { lengthMm } from "../../parts/lengths.js";
import { placeOf } from "../../parts/route.js";
import { money } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { newId } from "../../store/ids.js";

/** @import { Submitted, Typed } from "../../parts/events.d.ts" */
/** @import { PackingMaterial } from "./answers.d.ts" */

const GRAMS_PER_OUNCE = 28.349523125;
/** @typedef {"paddings" | "cold_packs"} List */
/**
 * `sides`: field, words, example; `more`: what a new one is reckoned with.
 * @type {Record<List, {heading: string, one: string, sides: [string, string, string][], weight: string | null, more: Record<string, number>, none: string}>}
 */
const LISTS = {
  paddings: {
    heading: "Paddings",
    one: "padding",
    sides: [["thickness_mm", "thickness", "1/2"]],
    weight: null,
    more: { mw_per_mk: 40, kg_per_m3: 35 },
    none: "None is listed: the plan reckons with a recycled fiber batt of 15 mm.",
  },
  cold_packs: {
    heading: "Cold packs",
    one: "cold pack",
    sides: [
      ["length_mm", "length", "6"],
      ["width_mm", "width", "4"],
      ["height_mm", "thickness", "1"],
    ],
    weight: "weight of one, ounces",
    more: {},
    none: "None is listed: the plan reckons with one of 6 × 4 × 1 in, 10 oz.",
  },
};

/** @param {string} message @param {string} remedy */
const bad = (message, remedy) => Object.assign(new Error(message), { remedy, kind: "draft" });

/** Paddings and cold packs that lie here, in the order in which they are used: added, measured, priced, counted, put away and brought back. */
class PaddingBoard extends Part {
  static properties = { adding: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.adding = "";
  }

  /** @param {List} list @param {(rows: PackingMaterial[]) => PackingMaterial[]} change made to the rows as they are when its turn has come @param {{touched?: boolean}} [how] */
  #set = (list, change, how = {}) => this.#act.run(async () => setHouse(list, change(this.#rows(list))), "Written down.", how);

  /** @param {List} list @returns {PackingMaterial[]} */
  #rows = (list) => house.view.setting(list, []) ?? [];

  /** @param {List} list @param {string} id @param {Partial<PackingMaterial>} change */
  #change = (list, id, change) => this.#set(list, (rows) => rows.map((row) => (row.id === id ? { ...row, ...change } : row)));

  /** @param {List} list @param {string} id */
  #first = (list, id) => this.#set(list, (rows) => [...rows.filter((row) => row.id === id), ...rows.filter((row) => row.id !== id)]);

  /** @param {List} list @param {Submitted} event */
  async #add(list, event) {
    event.preventDefault();
    const form = new FormData(event.target);
    /** @param {string} name */
    const text = (name) => String(form.get(name) ?? "").trim();
    const added = await this.#set(list, (rows) => {
      const { sides, weight, more, one } = LISTS[list];
      if (!text("name")) throw bad("The name is missing.", `Call the ${one} as you call it: wool, paper batt, gel pack.`);
      /** @type {PackingMaterial} */
      const row = {
        id: newId(),
        name: text("name").slice(0, 60),
        ...more,
        cost_cents: centsTyped(text("cost")),
        here: this.#count(text("here")),
        hidden: false,
      };
      for (const [field, words] of sides) {
        const mm = lengthMm(text(field));
        if (mm === null) throw bad(`The ${words} is “${text(field)}”, which is no length.`, "Write it like 1/2, 1 1/4 in, or 15 mm.");
        row[field] = Math.ceil(mm - 1e-6);
      }
      if (weight) row.mass_g = this.#grams(text("weight"));
      return [...rows, row];
    });
    if (added && this.adding === list) this.adding = ""; // what is written down closes no form that somebody opened meanwhile
  }

  /** Nothing typed: not counted, so never used up. @param {string} text */
  #count(text) {
    if (!text) return null;
    if (!/^\d{1,6}$/.test(text)) throw bad(`“${text}” is no number of them.`, "Count them, or leave it empty.");
    return Number(text);
  }

  /** @param {string} text */
  #grams(text) {
    const ounces = Number(text);
    if (!(ounces > 0)) throw bad(`“${text}” is no weight.`, "Put one on the scale and write the ounces.");
    return Math.round(ounces * GRAMS_PER_OUNCE);
  }

  /** @param {List} list @param {string} id @param {Typed} event */
  #counted(list, id, event) {
    const text = event.target.value.trim();
    /** @param {PackingMaterial} row */
    const counted = (row) => (row.id === id ? { ...row, here: this.#count(text) } : row);
    this.#set(list, (rows) => rows.map(counted), { touched: false });
  }

  render() {
    const mayNot = house.status.device?.role !== "keeper";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Padding and cold packs</h1>
      <p class="faint">A parcel is planned with the first of each that lies here. Careful with dry ice: its rules differ, and it is none of these.</p>
      ${mayNot ? html`<p class="faint">Only an owner's device may change these.</p>` : nothing}
      ${this.#act.outcome()}
      <fieldset class="plain" ?disabled=${mayNot}>${/** @type {List[]} */ (Object.keys(LISTS)).map((list) => this.#list(list))}</fieldset>
    </div></div>`;
  }

  /** @param {List} list */
  #list(list) {
    const { heading, one, none } = LISTS[list];
    const rows = this.#rows(list),
      here = rows.filter(({ hidden }) => !hidden),
      away = rows.filter(({ hidden }) => hidden);
    const used = here.find((row) => row.here !== 0);
    return html`<section aria-label=${heading}><h2 class="where">${heading}</h2>
      ${used ? nothing : rows.length ? html`<p class="heed">None of them lies here: no parcel is packed with a ${one} until one is counted or brought back.</p>` : html`<p>${none}</p>`}
      ${here.map((row) => this.#row(list, row, row === used))}
      ${away.length ? html`<p class="faint">Put away:</p><div class="keyrow two">${away.map((row) => html`<button type="button" class="key tight" @click=${() => this.#change(list, row.id, { hidden: false })}>bring ${row.name} back</button>`)}</div>` : nothing}
      ${
        this.adding === list
          ? this.#form(list)
          : html`<button type="button" class="key" @click=${() => {
              this.adding = list;
              this.focusOn("padding-board input[name=name]");
            }}>add a ${one}</button>`
      }</section>`;
  }

  /** @param {List} list @param {PackingMaterial} row @param {boolean} used */
  #row(list, row, used) {
    const size = LISTS[list].sides.map(([field]) => `${row[field]}`).join(" × ");
    return html`<div class="again-one" role="group" aria-label=${row.name}><p><strong>${row.name}</strong> ${used ? "is used now" : row.here === 0 ? html`<span class="heed">is used up</span>` : "comes after"}
      <small class="faint">${size} mm${row.mass_g ? `, ${Math.round(row.mass_g / GRAMS_PER_OUNCE)} oz` : ""}${row.cost_cents ? `, ${money(row.cost_cents)} each` : ""}</small></p>
      <label class="write"><span>how many lie here (empty: not counted)</span><input class="figures" inputmode="numeric" autocomplete="off" .value=${row.here === null || row.here === undefined ? "" : String(row.here)} @change=${(/** @type {Typed} */ event) => this.#counted(list, row.id, event)} /></label>
      <div class="keyrow two">${used ? nothing : html`<button type="button" class="key tight" @click=${() => this.#first(list, row.id)}>use this one first</button>`}
        <button type="button" class="key tight quiet" @click=${() => this.#change(list, row.id, { hidden: true })}>put it away</button></div></div>`;
  }

  /** @param {List} list */
  #form(list) {
    const { sides, weight, one } = LISTS[list];
    return html`<form class="fields split" @submit=${(/** @type {Submitted} */ event) => this.#add(list, event)} novalidate>
      <label class="write whole"><span>what you call it</span><input name="name" autocomplete="off" /></label>
      ${sides.map(([field, words, example]) => html`<label class="write"><span>${words}, inches</span><input class="figures" name=${field} autocomplete="off" placeholder=${example} /></label>`)}
      ${weight ? html`<label class="write"><span>${weight}</span><input class="figures" name="weight" inputmode="decimal" autocomplete="off" /></label>` : nothing}
      <label class="write"><span>cost of one, dollars</span><input class="figures" name="cost" inputmode="decimal" autocomplete="off" /></label>
      <label class="write"><span>how many lie here</span><input class="figures" name="here" inputmode="numeric" autocomplete="off" /></label>
      <div class="keyrow two whole"><button class="key say">add the ${one}</button><button type="button" class="key quiet" @click=${() => {
        this.adding = "";
      }}>leave it</button></div></form>`;
  }
}
customElements.define("padding-board", PaddingBoard);
