import { html, nothing } from "lit";
import { Ask } from "./ask.js";
import { keepAnswer, keptAnswer } from "./kept-answers.js";
import { SETTING, withTold } from "../../../parts/first-questions.js";
import { house } from "../../../store/house.js";
import { setHouseAll } from "../../../store/acts.js";
import { placeOfZip } from "../../../store/zip.js";
import { zoneOfZip, zoneSaid } from "../../../store/zones.js";

/** @import { Typed } from "../../../parts/events.d.ts" */

/** @type {Key[]} */
const KEYS = ["name", "zip", "city", "state"];
const ZIP = /^\d{5}(-\d{4})?$/;

/** @typedef {"name" | "zip" | "city" | "state"} Key */

/** The name, and the ZIP from which town, state and time zone follow. Town and state may be written over: towns share a ZIP. */
class AskName extends Ask {
  static properties = { typed: { state: true }, own: { state: true } };

  #looked = "";

  constructor() {
    super();
    const { view } = house;
    const written = Object.fromEntries(KEYS.map((key) => [key, view.setting(key, "")]));
    /** @type {Record<Key, string>} */
    this.typed = { ...written, ...keptAnswer("name") };
    this.own = false;
    this.#look();
  }

  /** @param {Key} key @param {string} value */
  #type(key, value) {
    this.typed = { ...this.typed, [key]: value };
    keepAnswer("name", this.typed);
    if (key === "zip") this.#look();
  }

  /** Town and state of a whole ZIP; what was looked up once is not written over what a person typed since. */
  async #look() {
    const zip = this.typed.zip.trim();
    if (!ZIP.test(zip) || zip === this.#looked) return;
    const first = !this.#looked && zip === house.view.setting("zip", "") && this.typed.city;
    this.#looked = zip;
    if (first) return;
    const place = await placeOfZip(zip).catch(() => null);
    if (zip !== this.typed.zip.trim()) return;
    this.typed = { ...this.typed, city: place?.city ?? "", state: place?.state ?? zoneOfZip(zip)?.state ?? "" };
    keepAnswer("name", this.typed);
  }

  #write() {
    const typed = { ...this.typed };
    for (const key of KEYS) typed[key] = String(typed[key]).trim();
    const zone = zoneOfZip(typed.zip);
    return this.answer(async () => {
      if (!typed.name) throw badAnswer("There is no name yet.", "Write what stands over your door, or your own name.");
      if (!ZIP.test(typed.zip))
        throw badAnswer(
          typed.zip ? `“${typed.zip}” is no ZIP.` : "There is no ZIP yet.",
          "Five digits. Mailing and heat are worked out from it; or skip this for now.",
        );
      if (typed.state && !/^[A-Z]{2}$/i.test(typed.state)) throw badAnswer(`“${typed.state}” is no state.`, "Two letters, such as WI.");
      const time_zone = zone?.time_zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
      await setHouseAll({
        ...typed,
        state: typed.state.toUpperCase(),
        ...(time_zone ? { time_zone } : {}),
        [SETTING]: withTold(house.view, "name", "answered"),
      });
      keepAnswer("name", null);
    });
  }

  question() {
    return html`<h1>What is your honey house called, and where is it?</h1>`;
  }

  below() {
    const { name, zip } = this.typed;
    return html`<div class="fields" @keydown=${(/** @type {KeyboardEvent} */ event) => {
      if (event.key === "Enter") this.#write();
    }}>
      ${this.#field("name", "its name", name, { placeholder: "Maple Hill Honey", capitals: "words" })}
      ${this.#field("zip", "ZIP", zip, { mode: "numeric", most: 10, figures: true })}
      ${ZIP.test(zip.trim()) ? this.#place() : nothing}</div>`;
  }

  #place() {
    const { city, state, zip } = this.typed;
    const zone = zoneOfZip(zip);
    const where = [city, state].filter(Boolean).join(", ");
    return html`${
      this.own || !city
        ? html`<div class="fields split">
        ${this.#field("city", "town", city, { capitals: "words" })}${this.#field("state", "state, two letters", state, { capitals: "characters", most: 2 })}</div>`
        : html`<div class="first-place"><p class="tell"><strong>${where}</strong></p>
        <button type="button" class="key tight quiet" @click=${() => {
          this.own = true;
        }}>another town</button></div>`
    }
      <p class="faint">${
        zone
          ? `${zoneSaid(zone.time_zone)}. Mailing zones and the weather of your place follow from the ZIP.`
          : "This ZIP is not in our list of places: heat and mailing prices by zone cannot be told from it."
      }</p>`;
  }

  /** @param {Key} key @param {string} words @param {string} value */
  #field(key, words, value, { placeholder = "", mode = "text", most = 80, capitals = "none", figures = false }) {
    return html`<label class="write"><span>${words}</span><input name=${key} class=${figures ? "figures" : ""} autocomplete="off" inputmode=${mode} maxlength=${most}
      autocapitalize=${capitals} placeholder=${placeholder} .value=${value ?? ""} @input=${(/** @type {Typed} */ { target }) => this.#type(key, target.value)} /></label>`;
  }

  answers() {
    return html`<button type="button" class="key say" ?disabled=${this.working} @click=${() => this.#write()}>next</button>`;
  }
}
customElements.define("ask-name", AskName);

/** @param {string} message @param {string} remedy */
const badAnswer = (message, remedy) => Object.assign(new Error(message), { kind: "draft", remedy });
