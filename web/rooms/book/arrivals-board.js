import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Question } from "../../kernel/question.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { daySaid, dayShort, whoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setHouse } from "../../store/acts.js";
import { byNumber, compare } from "../../store/sorting.js";
import "../../parts/picture.js";
import { cameSaid } from "./arrival-keys.js";

/** @import { Order } from "../../store/shapes.d.ts" */

const SHOWN = 12;

/** How parcels came beside what was told of them: whom to ask, and what the word of this house is worth. */
class ArrivalsBoard extends Part {
  #act = new Act(this);
  #calibration = new Question(this, "heat.calibration");

  willUpdate() {
    this.#calibration.about(house.status.started ? this.#request() : null);
  }

  get found() {
    return this.#calibration.answer;
  }

  #request() {
    const parcels = [...house.view.parcels.values()]
      .filter((parcel) => parcel.arrived)
      .map(({ told_permille = null, arrived, packed_on }) => ({ told_permille, arrived, packed_on }));
    return { parcels, since: house.view.setting("heat_offset", null)?.since ?? "" };
  }

  /** @param {number} shift_permille @param {string} words */
  #shift(shift_permille, words) {
    return this.#act.run(() => setHouse("heat_offset", { shift_permille, since: house.today() }), words);
  }

  #learn() {
    const before = house.view.setting("heat_offset", null)?.shift_permille ?? 0;
    return this.#shift(before + (this.found?.shift_permille ?? 0), "Learned. Chances told from now on are your own.");
  }

  render() {
    const { view } = house;
    const gone = [...view.orders.values()]
      .filter(({ state, way }) => state === "gone" && way === "post")
      .sort((a, b) => compare(b.gone_on ?? "", a.gone_on ?? "") || byNumber(b, a));
    const unheard = gone.filter(({ id }) => view.parcelsOf(id).some(({ arrived }) => !arrived)).slice(0, SHOWN);
    const heard = gone.filter(({ id }) => view.parcelsOf(id).some(({ arrived }) => arrived)).slice(0, SHOWN);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      <h1>How did they come?</h1>
      ${this.found?.heard ? html`<kernel-picture name="heat.calibration_picture" .request=${this.#request()} missing="No drawing now."></kernel-picture>` : html`<p>${this.found?.words ?? ""} <span class="faint">${this.found?.enough_words ?? ""}</span></p>`}
      ${this.#offset()}
      ${this.#act.outcome()}
      <h2 class="where">Not heard of yet: ask when they call</h2>
      ${unheard.length ? html`<ol>${unheard.map((order) => this.#row(order))}</ol>` : html`<p class="faint">${gone.length ? "All that was mailed was heard of." : "Nothing was mailed yet."}</p>`}
      ${heard.length ? html`<h2 class="where">Heard of</h2><ol>${heard.map((order) => this.#row(order))}</ol>` : nothing}
    </div></div>`;
  }

  /** The house's own offset: offered only when there is enough to learn from, and taken back as easily. */
  #offset() {
    const own = house.view.setting("heat_offset", null);
    const keeper = house.status.device?.role === "keeper";
    const learn = this.found?.enough && !this.found.fits && keeper;
    return html`${
      own?.shift_permille
        ? html`<p class="faint">Since ${dayShort(own.since)} the chances told are shifted ${own.shift_permille > 0 ? "up" : "down"}, as learned from your arrivals.
        ${keeper ? html`<button type="button" class="key tight" @click=${() => this.#shift(0, "The plain chances are told again.")}>tell the plain ones again</button>` : nothing}</p>`
        : nothing
    }
      ${learn ? html`<p><button type="button" class="key" @click=${() => this.#learn()}>learn from these<small>chances are told ${(this.found?.shift_permille ?? 0) > 0 ? "higher" : "lower"} from now on</small></button></p>` : nothing}`;
  }

  /** @param {Order} order */
  #row(order) {
    const { view } = house;
    const person = order.person ? view.people.get(order.person) : null;
    const parcels = view.parcelsOf(order.id);
    const told = parcels[0]?.told_permille;
    return html`<li><a class="order-row" href=${placeOf("book", "order", order.id)} data-state=${order.state}><span class="tick" aria-hidden="true"></span>
      <span><strong>${whoSaid(person, order.number)}</strong><small>mailed ${daySaid(order.gone_on, house.today())} · ${parcels.map(({ arrived }) => cameSaid(arrived)).join(", ")}</small>
        ${told === null || told === undefined ? nothing : html`<small>told ${told < 10 ? "under 1" : Math.round(told / 10)} in 100 harmed</small>`}</span></a></li>`;
  }
}
customElements.define("arrivals-board", ArrivalsBoard);
