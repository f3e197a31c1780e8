import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { everySaid, wantedSaid } from "../../parts/standing-words.js";
import { daySaid } from "../../parts/words.js";
import { saveStanding } from "../../store/acts.js";
import { house } from "../../store/house.js";
import { nextDay } from "../../store/recurring.js";
import "./standing-form.js";

/** @import { Changed } from "../../parts/events.d.ts" */
/** @import { Standing } from "../../store/shapes.d.ts" */

/** What a person wants again and again: when it comes next, paused, ended; and another one. Property `person`: an id. */
class StandingList extends Part {
  static properties = { person: {}, adding: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.person = "";
    this.adding = false;
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("person")) {
      this.#act.about(this.person);
      this.adding = false;
    }
  }

  render() {
    const standing = house.view.standingOf(this.person, house.today());
    return html`<section class="standing" aria-label="Standing orders">
      ${standing.length ? html`<h2 class="where">Standing orders</h2>` : nothing}
      ${standing.map((one) => this.#one(one))}
      ${this.#act.outcome()}
      ${
        this.adding
          ? html`<standing-form .person=${this.person} .write=${(/** @type {Partial<Standing>} */ fields) => this.#add(fields)} @left=${() => {
              this.adding = false;
            }}></standing-form>`
          : html`<button type="button" class="key quiet" @click=${() => {
              this.adding = true;
            }}>${standing.length ? "another standing order" : "a standing order"}</button>`
      }</section>`;
  }

  /** @param {Standing} standing */
  #one(standing) {
    const next = nextDay(standing, house.today());
    const comes = standing.paused ? html`<span class="heed">paused</span>` : next ? `next ${daySaid(next, house.today())}` : "over";
    return html`<div class="again-one">
      <p><strong>${wantedSaid(standing, house.view)}</strong>, ${standing.way === "post" ? "by mail" : "picked up"}
        <small class="faint">${everySaid(standing)} · ${comes}${standing.goes_to ? ` · to ${standing.to_name || "another address"}` : ""}</small></p>
      <div class="keyrow two">
        <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#write(standing, { paused: !standing.paused }, standing.paused ? "It goes on." : "Paused. Nothing comes of it until you start it again.")}>${standing.paused ? "start it again" : "pause it"}</button>
        <button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${() => this.#write(standing, { ends_on: yesterday(house.today()) }, "Ended. What was promised stays promised.")}>end it</button>
      </div></div>`;
  }

  /** @param {Standing} standing @param {Partial<Standing>} fields @param {string} words */
  #write = (standing, fields, words) => this.#act.run(() => saveStanding({ id: standing.id, ...fields }), words);

  /** @param {Partial<Standing>} fields */
  async #add(fields) {
    const done = await this.#act.run(
      () => saveStanding({ person: this.person, ...fields }),
      "Written down. A week before its day the Counter asks you to promise it.",
    );
    if (done) this.adding = false;
  }
}
customElements.define("standing-list", StandingList);

/** @param {string} day */
const yesterday = (day) => new Date(Date.parse(`${day}T00:00:00Z`) - 86_400_000).toISOString().slice(0, 10);
