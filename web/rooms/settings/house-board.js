import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { phoneSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { readPhone, setHouse, setHouseAll } from "../../store/acts.js";
import { placeOfZip } from "../../store/zip.js";

/** @import { Typed, TypedLines } from "../../parts/events.d.ts" */

/** @type {[string, string][]} */
const FIELDS = [
  ["name", "name of your honey house"],
  ["zip", "ZIP code"],
  ["state", "state"],
  ["city", "city"],
  ["street", "street"],
  ["area_code", "local area code"],
  ["phone", "telephone"],
  ["email", "e-mail"],
  ["time_zone", "time zone"],
  ["tracking_link", "page that follows a parcel: https://…{number}"],
  ["closing_words", "closing words on the slip"],
];
const LEFT = { touched: false }; // a field was left
const WHOLE = ["name", "city", "street", "phone", "email", "time_zone", "tracking_link", "closing_words"];
const DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
/** @type {[number, string][]} */
const CHANCES = [
  [10, "1 in 100"],
  [20, "1 in 50"],
  [50, "1 in 20"],
  [100, "1 in 10"],
];

/** What the house says of itself: on papers, on posting days, on how much harm it accepts. Keepers only. */
class HouseBoard extends Part {
  #act = new Act(this);

  /**
   * @param {string} key @param {unknown} value @param {{touched?: boolean}} [how]
   * @returns {Promise<{op: string} | null>} the entry, none where it stands so already; null where it was not written
   */
  async #set(key, value, how = {}) {
    if (JSON.stringify(value) !== JSON.stringify(house.view.setting(key, "")))
      return this.#act.run(() => setHouse(key, value), "Written down.", { focus: false, ...how });
    this.#act.stands();
    return { op: "" };
  }

  /** @param {string} key @param {Typed | TypedLines} event */
  async #typed(key, event) {
    const text = event.target.value.trim();
    const { phone, trouble } = key === "phone" ? await readPhone(text, house.view.setting("phone", "")) : { phone: "", trouble: "" };
    const value = key === "phone" ? phone : text;
    if (key === "tracking_link" && text && !/^https:\/\/[^{}\s]*\{number\}[^{}\s]*$/.test(text))
      this.#act.failed({
        kind: "draft",
        message: "That is no address with a place for the number.",
        remedy: "Open the carrier's page of one parcel, copy its address, and write {number} where its number stands.",
      });
    else if (trouble) this.#act.failed({ kind: "draft", message: trouble });
    else {
      const done = await this.#set(key, value, LEFT);
      if (key === "zip" && done) await this.#follow(value, done.op);
    }
  }

  /**
   * Town and state of a ZIP, where none is written yet. They are looked up once it is written, since their list may have to be fetched;
   * one undo takes back all three.
   * @param {string} zip @param {string} op
   */
  async #follow(zip, op) {
    const place = await placeOfZip(zip);
    if (!place || zip !== house.view.setting("zip", "")) return;
    const fresh = /** @type {const} */ (["city", "state"]).filter((key) => place[key] && !house.view.setting(key, ""));
    if (!fresh.length) return;
    const write = async () => {
      const followed = await setHouseAll(Object.fromEntries(fresh.map((key) => [key, place[key]])));
      return { ...followed, ops: [followed.op, ...(op ? [op] : [])] };
    };
    await this.#act.run(write, `Written down, with ${fresh.map((key) => place[key]).join(", ")}.`, { focus: false, ...LEFT });
  }

  /** @param {string} day */
  #day(day) {
    const days = house.view.setting("posting_days", []);
    this.#set(
      "posting_days",
      DAYS.filter((one) => (one === day ? !days.includes(day) : days.includes(one))),
    );
  }

  render() {
    const { view, status } = house;
    const mayNot = status.device?.role !== "keeper";
    const days = view.setting("posting_days", []);
    const accepts = view.setting("accept_permille", 20);
    const asked = view.setting("posting_honey_asked", false);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Your honey house</h1>
      ${mayNot ? html`<p class="faint">Only an owner's device may change these.</p>` : nothing}
      <fieldset class="plain" ?disabled=${mayNot}>
        <div class="fields split">${FIELDS.map(
          ([key, words]) => html`
          <label class="write ${WHOLE.includes(key) ? "whole" : ""}"><span>${words}</span>
            ${
              key === "closing_words"
                ? html`<textarea rows="3" .value=${view.setting(key, "")} @change=${(/** @type {TypedLines} */ event) => this.#typed(key, event)}></textarea>`
                : html`<input autocomplete="off" .value=${key === "phone" ? phoneSaid(view.setting(key, "")) : view.setting(key, "")} @change=${(/** @type {Typed} */ event) => this.#typed(key, event)} />`
            }</label>`,
        )}</div>
        <h2 class="where">Parcels go on</h2>
        <div class="keyrow three">${DAYS.map((day) => html`<button type="button" class="key tight" aria-pressed=${days.includes(day)} @click=${() => this.#day(day)}>${day}</button>`)}</div>
        <h2 class="where">A parcel may come to harm at most</h2>
        <div class="keyrow two">${CHANCES.map(([permille, words]) => html`<button type="button" class="key tight" aria-pressed=${accepts === permille} @click=${() => this.#set("accept_permille", permille)}>${words}</button>`)}</div>
        <h2 class="where">The scale shows steps of</h2>
        <div class="keyrow three">${[1, 2, 5].map((grams) => html`<button type="button" class="key tight" aria-pressed=${view.setting("scale_division_g", 5) === grams} @click=${() => this.#set("scale_division_g", grams)}>${grams} g</button>`)}</div>
        <h2 class="where">The packing slip</h2>
        <div class="keyrow two" role="group" aria-label="Prices on the packing slip">${[
          [false, "no prices on the slip"],
          [true, "prices on the slip"],
        ].map(
          ([on, words]) =>
            html`<button type="button" class="key tight" aria-pressed=${(view.setting("slip_prices") === true) === on} @click=${() => this.#set("slip_prices", on)}>${words}</button>`,
        )}</div>
        <h2 class="where">Mailing honey</h2>
        <button type="button" class="key left" role="checkbox" aria-checked=${Boolean(asked)} @click=${() => this.#set("posting_honey_asked", !asked)}>
          <span>${asked ? "We asked our state: honey may be mailed." : "We have not asked our state yet."}</span><small>Some states forbid mailing home-bottled honey.</small></button>
      </fieldset>
      ${this.#act.outcome()}
    </div></div>`;
  }
}
customElements.define("house-board", HouseBoard);
