import { html, nothing } from "lit";
import { addressFields, addressWritten, addressTrouble, troubleSaid } from "../../parts/address-form.js";
import { Part } from "../../parts/part.js";
import { house } from "../../store/house.js";
import { glanceOf } from "../../store/glance.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Standing } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

/** @type {[string, Standing["every"], number][]} */
const OFTEN = [
  ["month", "month", 1],
  ["2 months", "month", 2],
  ["3 months", "month", 3],
  ["week", "week", 1],
  ["2 weeks", "week", 2],
  ["4 weeks", "week", 4],
];

/** @param {View} view */
const offered = (view) =>
  [...view.goods.values()].filter((good) => good.sold && !good.hidden && good.kind !== "carton").sort((a, b) => a.rank - b.rank);

/** Another standing order: what, how often, from when, how. Properties: `person`, an id; `write`, given the fields. */
class StandingForm extends Part {
  static properties = { person: {}, write: {}, elsewhere: { state: true }, trouble: { state: true } };

  constructor() {
    super();
    this.person = "";
    /** @type {(fields: Partial<Standing>) => void} */
    this.write = () => {};
    this.elsewhere = false;
    this.trouble = "";
  }

  /** @param {Submitted} event */
  #save(event) {
    event.preventDefault();
    const form = event.target;
    const written = new FormData(form);
    const wanted = offered(house.view)
      .map(({ id }) => ({ good: id, units: Number(written.get(`units ${id}`) || 0) }))
      .filter(({ units }) => units > 0);
    const first_on = String(written.get("first_on") ?? "");
    const [, every, interval] = OFTEN[Number(written.get("often"))];
    const address = this.elsewhere ? addressWritten(form) : null;
    if (!wanted.length) this.trouble = "Say how many of what.";
    else if (!wanted.every(({ units }) => Number.isSafeInteger(units))) this.trouble = "Whole numbers only.";
    else if (!first_on) this.trouble = "Choose the first day.";
    else this.trouble = address ? addressTrouble(address) : "";
    if (this.trouble) return;
    const way = /** @type {Standing["way"]} */ (written.get("way"));
    const note = String(written.get("note") ?? "").trim();
    this.write({
      wanted,
      every,
      interval,
      first_on,
      way,
      ...(note ? { note } : {}),
      ...(address && way === "post" ? this.#there(address, written) : {}),
    });
  }

  /** @param {Record<string, string>} address @param {FormData} written @returns {Partial<Standing>} */
  #there({ street, unit, city, state, zip }, written) {
    const to = { to_street: street, to_unit: unit, to_city: city, to_state: state, to_zip: zip };
    const said = (/** @type {string} */ name) => String(written.get(name) ?? "").trim();
    const gift_note = said("gift_note");
    return { goes_to: "other", to_name: said("to_name"), ...to, ...(gift_note ? { gift_note } : {}) };
  }

  render() {
    const { view } = house;
    const usual = glanceOf(view, this.person).usual ?? [];
    return html`<form class="fields split" @submit=${this.#save} novalidate>
      <h2 class="where whole">A standing order</h2>
      ${offered(view).map(
        ({ id, plural, name }) => html`
        <label class="write"><span>${plural || name}</span><input name="units ${id}" inputmode="numeric" autocomplete="off" .value=${String(usual.find(({ good }) => good === id)?.units ?? "")} /></label>`,
      )}
      <label class="write whole"><span>every</span><select name="often">${OFTEN.map(([words], place) => html`<option value=${place}>${words}</option>`)}</select></label>
      <label class="write whole"><span>first on</span><input name="first_on" type="date" .value=${house.today()} /></label>
      <label class="write whole"><span>it is</span><select name="way"><option value="post">mailed</option><option value="pick_up">picked up</option></select></label>
      <label class="tickline whole"><input type="checkbox" .checked=${this.elsewhere} @change=${(/** @type {Event} */ event) => {
        this.elsewhere = /** @type {HTMLInputElement} */ (event.target).checked;
      }} /><span>to somebody else, or another address</span></label>
      ${this.elsewhere ? html`<label class="write whole"><span>who receives it</span><input name="to_name" autocomplete="off" autocapitalize="words" /></label>${addressFields({})}<label class="write whole"><span>words for them, on the slip</span><input name="gift_note" autocomplete="off" /></label>` : nothing}
      <label class="write whole"><span>note</span><input name="note" autocomplete="off" /></label>
      <div class="whole">${troubleSaid(this.trouble)}</div>
      <button class="key on">write it down</button>
      <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("left"))}>leave it</button>
    </form>`;
  }
}
customElements.define("standing-form", StandingForm);
