import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Question } from "../../kernel/question.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { agoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";

/** @import { Limit } from "../../kernel/answers.d.ts" */
/** @import { Typed } from "../../parts/events.d.ts" */

/** @type {[string, string][]} */
const BOXES = [
  ["metal_sun", "metal, in the sun"],
  ["metal_dark_sun", "dark metal, in the sun"],
  ["metal_shade", "metal, in the shade"],
  ["porch_sun", "sunny porch"],
  ["porch_shade", "shaded porch"],
  ["indoors", "handed in at the door"],
];
/** @type {[number, string][]} */
const HOURS = [
  [9, "9 am"],
  [12, "noon"],
  [15, "3 pm"],
  [17, "5 pm"],
];
/** @type {[boolean, string][]} */
const HOLD = [
  [true, "may be advised"],
  [false, "is never advised"],
];
const FIRST = ["wax_mark_c", "wax_mark_h", "wax_slump_c", "wax_run_c", "honey_lid_kpa", "honey_leak_kpa"];

/** What wax and honey bear and where each figure is from, the mailbox that is reckoned with, and the weather service. Keepers only. */
class HeatBoard extends Part {
  #act = new Act(this);
  #usual = new Question(this, "heat.limits");

  willUpdate() {
    this.#usual.about({ house: {} });
  }

  /** Each limit as it is usual, with what was made of it here. */
  get #limits() {
    const own = house.view.setting("thresholds", null) ?? {};
    return this.#usual.answer?.limits.map((limit) => ({ ...limit, tenths: own[limit.name] ?? limit.usual_tenths })) ?? null;
  }

  /** @param {string} key @param {unknown} value */
  #set(key, value) {
    if (value === house.view.setting(key, null)) this.#act.stands();
    else this.#act.run(() => setHouse(key, value), "Written down.", { focus: false });
  }

  /** Whole tenths in the setting; degrees in the house's own unit on the screen. @param {Limit} limit @param {Typed} event */
  #typed(limit, event) {
    const typed = Number(event.target.value.replace(",", "."));
    const tenths = Math.round(10 * fromShown(typed, limit.unit));
    if (!Number.isFinite(typed) || tenths < 1 || tenths > 10_000) {
      this.#act.failed({
        kind: "draft",
        message: `“${event.target.value}” is no figure for this.`,
        remedy: `Usual is ${shown(limit.usual_tenths, limit.unit)}.`,
      });
    } else if (event.target.value.trim() === shown(limit.tenths, limit.unit)) this.#act.stands();
    else this.#put(limit, tenths, { touched: false });
  }

  /**
   * The others are read when its turn has come: two fields left one after the other both count.
   * @param {Limit} limit
   * @param {number} tenths
   * @param {{touched?: boolean}} [how]
   */
  #put(limit, tenths, how = {}) {
    const write = () => {
      const { [limit.name]: _, ...others } = house.view.setting("thresholds", null) ?? {};
      return setHouse("thresholds", tenths === limit.usual_tenths ? others : { ...others, [limit.name]: tenths });
    };
    this.#act.run(write, "Written down.", { focus: false, ...how });
  }

  render() {
    const { view, status } = house;
    const mayNot = status.device?.role !== "keeper";
    const ask = view.setting("ask_weather", true);
    const box = view.setting("mailbox", "metal_sun");
    const limits = this.#limits;
    const [first, rest] = [true, false].map((wanted) => (limits ?? []).filter(({ name }) => FIRST.includes(name) === wanted));
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Heat and weather</h1>
      ${mayNot ? html`<p class="faint">Only an owner's device may change these.</p>` : nothing}
      <fieldset class="plain" ?disabled=${mayNot}>
        <h2 class="where">The weather where parcels go</h2>
        <button type="button" class="key left" role="checkbox" aria-checked=${Boolean(ask)} @click=${() => this.#set("ask_weather", !ask)}>
          <span>${ask ? "The weather service is asked." : "Nobody is asked."}</span><small>${this.#weather()}</small></button>
        <h2 class="where">Reckon with a mailbox of</h2>
        <div class="keyrow two">${BOXES.map(([value, words]) => html`<button type="button" class="key tight" aria-pressed=${box === value} @click=${() => this.#set("mailbox", value)}>${words}</button>`)}</div>
        <h2 class="where">Parcels are handed in at</h2>
        <div class="keyrow four">${HOURS.map(([hour, words]) => html`<button type="button" class="key tight" aria-pressed=${view.setting("leave_hour", 15) === hour} @click=${() => this.#set("leave_hour", hour)}>${words}</button>`)}</div>
        <h2 class="where">Held at the post office until they pick it up</h2>
        <div class="keyrow two">${HOLD.map(([value, words]) => html`<button type="button" class="key tight" aria-pressed=${view.setting("hold_allowed", true) === value} @click=${() => this.#set("hold_allowed", value)}>${words}</button>`)}</div>
        <h2 class="where">What wax and honey bear</h2>
        ${
          limits
            ? html`<div class="fields split">${first.map((limit) => this.#limit(limit))}</div>
          <details><summary>all the other figures</summary><div class="fields split">${rest.map((limit) => this.#limit(limit))}</div></details>`
            : html`<p class="faint">Shown once this device can work it out, or the main computer is in reach.</p>`
        }
      </fieldset>
      ${this.#act.outcome()}
    </div></div>`;
  }

  #weather() {
    const rows = [...house.view.forecasts.values()].filter(({ days }) => days.length);
    if (!rows.length) return "No forecast has come yet: monthly normals stand in, and say so.";
    const newest = rows
      .map(({ fetched_at: at }) => at)
      .sort()
      .at(-1);
    const names = [...new Set(rows.map(({ service }) => service))].join(", ");
    return `${rows.length} ${rows.length === 1 ? "place" : "places"}, heard ${agoSaid(house.now().getTime() - Date.parse(newest ?? ""))} from ${names}.`;
  }

  /** @param {Limit} limit */
  #limit(limit) {
    const own = limit.tenths !== limit.usual_tenths;
    return html`<label class="write"><span>${limit.words}${limit.unit ? ` (${unitSaid(limit.unit)})` : ""}</span>
      <input inputmode="decimal" autocomplete="off" .value=${shown(limit.tenths, limit.unit)} @change=${(/** @type {Typed} */ event) => this.#typed(limit, event)} />
      <small class="faint">${own ? `usual ${shown(limit.usual_tenths, limit.unit)}; ` : ""}${limit.source}</small>
      ${own ? html`<button type="button" class="key tight quiet" @click=${() => this.#put(limit, limit.usual_tenths)}>back to the usual</button>` : nothing}</label>`;
  }
}
customElements.define("heat-board", HeatBoard);

const fahrenheit = () => house.view.setting("temperature_unit", "F") === "F";
/** @param {string} unit */
const unitSaid = (unit) => (unit.startsWith("°") ? `${unit === "°±" ? "± " : ""}°${fahrenheit() ? "F" : "C"}` : unit);

/** A figure as it is shown: degrees in the house's unit, differences without the offset. @param {number} tenths @param {string} unit */
function shown(tenths, unit) {
  const value = tenths / 10;
  if (!unit.startsWith("°") || !fahrenheit()) return String(value);
  return String(Math.round(10 * (unit === "°" ? value * 1.8 + 32 : value * 1.8)) / 10);
}

/** @param {number} value @param {string} unit */
function fromShown(value, unit) {
  if (!unit.startsWith("°") || !fahrenheit()) return value;
  return unit === "°" ? (value - 32) / 1.8 : value / 1.8;
}
