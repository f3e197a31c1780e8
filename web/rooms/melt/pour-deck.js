import { html, nothing } from "lit";
import { placeOf } from "../../parts/route.js";
import { clockSaid, counted, nameSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { make, pour as writePour } from "../../store/acts.js";
import { Question } from "../../kernel/question.js";
import { askToTell, mayAsk, readyToSound } from "../../parts/mold-timer.js";
import { waxSafety } from "../../parts/safety.js";
import { MakingDeck } from "./making-deck.js";
import { gramsFor, madeGoods, ownPours, stagesKnown } from "../../parts/weighing.js";
import { dueIn, emptySet, freshPour, keepPour, keptPour, looked, stepped, steppedBack, trayOf } from "../../parts/pour-state.js";

/** @import { Changed, Told } from "../../parts/events.d.ts" */
/** @import { MouldSet, Pour } from "../../parts/pour-state.js" */
/** @import { Good } from "../../store/shapes.d.ts" */

/** With and without a fan. @param {boolean} fan */
const usualS = (fan) => (fan ? 25 : 45) * 60; // until the kernel is awake; the same as stock/cooling.py

/** Sticky hands: a large key for each mould set with its next step; the tray; then the good ones to the shelf as a lot. */
class PourDeck extends MakingDeck {
  static properties = { pour: { state: true }, at: { state: true }, weighing: { state: true } };

  #tick = 0;
  #cooling = new Question(this, "stock.cooling_time");

  constructor() {
    super();
    this.pour = keptPour(house.view.setting("mould_sets", 1));
    /** The set that is looked over. @type {number | null} */
    this.at = null;
    this.weighing = false;
    this.kept = true;
  }

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), 1000);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    this.#cooling.about({ pours: ownPours(), fan: this.pour.fan });
    const due_s = this.#cool_s;
    if (this.pour.sets.some((set) => set.state === "cooling" && set.due_s !== due_s)) this.#set(dueIn(this.pour, due_s));
  }

  get cooling() {
    return this.#cooling.answer;
  }

  /** @param {Pour} pour */
  #set(pour) {
    this.pour = pour;
    this.kept = keepPour(pour);
  }

  /** @param {number} place */
  #step(place) {
    if (this.pour.sets[place].state === "out") this.at = place;
    else {
      readyToSound();
      this.#set(stepped(this.pour, place, Date.now(), this.#cool_s));
    }
  }

  #fan = () => {
    this.#set({ ...this.pour, fan: !this.pour.fan });
  };

  get #cool_s() {
    return this.cooling?.cool_s ?? usualS(this.pour.fan);
  }

  get #good() {
    return house.view.goods.get(this.pour.item ?? "") ?? madeGoods("wax")[0];
  }

  render() {
    const good = this.#good;
    if (!good)
      return html`<a class="key tight back" href=${placeOf("melt")}>back</a><p>Nothing of wax is sold yet: put it into <a href=${placeOf("settings", "goods")}>Settings</a>.</p>`;
    if (this.at !== null) return this.#lookOver(good, this.at);
    return html`
      <a class="key tight back" href=${placeOf("melt")}>back</a>
      <h2 class="where">Pour. Cooling takes ${this.cooling?.words ?? `about ${usualS(this.pour.fan) / 60} min`}.</h2>
      ${this.outcome()}
      <div class="moulds">${this.pour.sets.map((set, place) => this.#mould(set, place))}</div>
      <div class="keyrow two">
        <button type="button" class="key tight" aria-pressed=${this.pour.fan} @click=${this.#fan}>fan ${this.pour.fan ? "on" : "off"}</button>
        <button type="button" class="key tight" @click=${() => this.#set({ ...this.pour, sets: [...this.pour.sets, emptySet()] })}>another mold set</button>
        ${mayAsk() ? html`<button type="button" class="key tight quiet whole" @click=${() => askToTell().then(() => this.requestUpdate())}>tell me when they are ready, in other apps too</button>` : nothing}
      </div>
      ${!this.kept ? html`<p class="heed" role="alert">This device keeps no timers (its storage is full): note the times on paper.</p>` : nothing}
      ${this.#tray(good)}
      ${waxSafety()}`;
  }

  /** @param {MouldSet} set @param {number} place */
  #mould(set, place) {
    const left = Math.round(this.#cool_s - (Date.now() - set.at) / 1000);
    const says = {
      empty: ["pour", "molds empty"],
      cooling: ["knock out", left > 0 ? `cool ${clockSaid(left)} more` : `ready since ${clockSaid(-left)}`],
      out: ["look over", `cooled ${Math.round(set.cool_s / 60)} min`],
    }[set.state];
    return html`<div class="mould">
      <button type="button" class="key mould-key" data-state=${set.state === "cooling" && left <= 0 ? "ready" : set.state} @click=${() => this.#step(place)}>
        <span class="faint">set ${place + 1}</span><strong>${says[0]}</strong><small>${says[1]}</small></button>
      ${set.state === "empty" ? nothing : html`<button type="button" class="key quiet tight" @click=${() => this.#set(steppedBack(this.pour, place))}>step back</button>`}</div>`;
  }

  /** How many of a set are specked: one touch, and the moulds are free again. @param {Good} good @param {number} place */
  #lookOver(good, place) {
    const units = good.row || 10;
    /** @param {number} specked */
    const write = (specked) => {
      this.#set(looked(this.pour, place, units, specked));
      this.at = null;
    };
    return html`
      <h2 class="where">Set ${place + 1}, ${units} looked over: how many are specked?</h2>
      <div class="keyrow three specks">${Array.from(
        { length: units + 1 },
        (_, count) => html`
        <button type="button" class="key ${count ? "" : "on"}" @click=${() => write(count)}>${count ? count : "none"}<small>${units - count} good</small></button>`,
      )}</div>
      <button type="button" class="key quiet" @click=${() => {
        this.at = null;
      }}>not yet</button>`;
  }

  /** @param {Good} good */
  #tray(good) {
    const { good: units, specked, pours } = trayOf(this.pour);
    const wax = madeGoods("wax");
    const poured = this.pour.poured_g ?? gramsFor(good, units + specked);
    return html`
      ${
        !pours && wax.length > 1
          ? html`<div class="keyrow two" role="group" aria-label="What is poured">${wax.map(
              (one) => html`
        <button type="button" class="key tight" aria-pressed=${one.id === good.id} @click=${() => this.#set({ ...this.pour, item: one.id })}>${nameSaid(one)}</button>`,
            )}</div>`
          : nothing
      }
      ${
        pours
          ? html`<h2 class="where">On the tray: ${units} good, ${specked} specked from ${counted(pours, "pour")}</h2>
        ${
          this.weighing
            ? html`<weigh-walk .fields=${[{ key: "poured", words: "wax poured", usual: gramsFor(good, units + specked) }]} .values=${{ poured: this.pour.poured_g }} @change=${(/** @type {Told<{key: string, value: number | null}>} */ { detail }) => this.#set({ ...this.pour, poured_g: detail.value })}></weigh-walk>`
            : html`<button type="button" class="key quiet" @click=${() => {
                this.weighing = true;
              }}>${weightSaid(poured)} of wax ${this.pour.poured_g ? "weighed" : "by count: weigh it"}</button>`
        }
        <button type="button" class="key say" ?disabled=${!units} @click=${() => this.#toShelf(good, poured)}>${unitsSaid(good, units)} to the shelf</button>`
          : nothing
      }`;
  }

  /** @param {Good} good @param {number} poured_g */
  async #toShelf(good, poured_g) {
    const { good: units, specked, pours, cool_s } = trayOf(this.pour);
    const measures = { pours, cool_s, fan: this.pour.fan ? 1 : 0 };
    const back_g = Math.min(gramsFor(good, specked), poured_g - 1);
    const write = stagesKnown()
      ? () => writePour({ good: good.id, units, specked, poured_g, back_g: specked ? back_g : 0, measures })
      : () => make({ lots: [{ good: good.id, units, measures: { ...measures, poured: units + specked, specked } }] });
    if (!(await this.act(write, `${unitsSaid(good, units)} on the shelf${specked ? `, ${specked} to melt again` : ""}.`))) return;
    const { sets, fan, item } = this.pour;
    this.#set({ ...freshPour(sets.length, fan, item), sets });
    this.weighing = false;
  }
}
customElements.define("pour-deck", PourDeck);
