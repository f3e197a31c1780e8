import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { dayAfter, dayShort, money, nameSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { dropPrice, pricesOf, setPrices, stepsAt } from "../../store/acts.js";
import { priceSaid } from "../../store/pricing.js";
import "../../parts/number-pad.js";

/** @import { Told, Typed } from "../../parts/events.d.ts" */
/** @import { Place, Steps } from "../../store/goods.js" */
/** @import { PriceRule } from "../../store/pricing.js" */
/** @import { Good } from "../../store/shapes.d.ts" */

const CENTS = 100;
/** @type {[Place, string][]} */
const PLACES = [
  ["", "everywhere"],
  ["counter", "at the counter"],
  ["mail", "mailed"],
];

/** "$3.00 each, 10 for $25.00, mailed, from Sat Aug 1". @param {PriceRule} rule @param {string} today */
export function ruleSaid({ place, since = "", cents, steps = [] }, today) {
  const where = place ? `, ${PLACES.find(([key]) => key === place)?.[1] ?? place}` : "";
  return `${priceSaid({ price_cents: cents, steps })}${where}${since ? `, ${since <= today ? "since" : "from"} ${dayShort(since)}` : ""}`;
}

/** What one costs, and so many together; everywhere or at one place of sale, from now or from a day on. All by thumb. Property `good`. */
class GoodPrices extends Part {
  static properties = {
    good: {},
    what: { state: true },
    place: { state: true },
    since: { state: true },
    units: { state: true },
    typed: { state: true },
  };

  #act = new Act(this);

  constructor() {
    super();
    this.good = "";
    /** @type {"one" | "many" | "cost"} */
    this.what = "one";
    /** @type {Place} */
    this.place = "";
    this.since = "";
    this.units = "";
    this.typed = "";
  }

  willUpdate() {
    this.#act.about(this.good);
  }

  /** @param {Good} good */
  async #write(good) {
    const cents = Math.round(Number(this.typed) * CENTS);
    const { place, since, units, typed, what, good: shown } = this;
    /** @type {{cents?: number, steps?: Steps}} */
    const change =
      this.what === "one"
        ? { cents }
        : { steps: [...this.#steps(good).filter(([size]) => size !== Number(units)), [Number(units), cents]] };
    const words = this.what === "one" ? `One costs ${money(cents)}` : `${units} cost ${money(cents)} together`;
    const done = await this.#act.run(
      () => setPrices(good.id, { place, since, ...change }),
      `${words}${since ? ` from ${dayShort(since)}` : ""}. Orders already promised keep what they were told.`,
    );
    const asLeft = this.good === shown && this.typed === typed && this.units === units && this.what === what;
    if (done && asLeft) Object.assign(this, { typed: "", units: "", what: "one" }); // what was typed meanwhile is the next price
  }

  /** The steps of the price that is being changed. @param {Good} good */
  #steps(good) {
    return stepsAt(good, this.place, this.since);
  }

  /**
   * @template {string} Value
   * @param {string} words
   * @param {Value} now
   * @param {[Value, string][]} choices
   * @param {(value: Value) => void} set
   */
  #chips(words, now, choices, set) {
    return html`<div class="keyrow three" role="group" aria-label=${words}>${choices.map(
      ([value, said]) => html`
      <button type="button" class="key tight" aria-pressed=${now === value} @click=${() => set(value)}>${said}</button>`,
    )}</div>`;
  }

  render() {
    const good = house.view.goods.get(this.good);
    if (!good) return nothing;
    const today = house.today();
    const firstOfNext = dayAfter(`${today.slice(0, 8)}28`, 4)
      .slice(0, 8)
      .concat("01");
    /** @type {[string, string][]} */
    const days = [
      ["", "from now"],
      [dayAfter(today, 1), "from tomorrow"],
      [firstOfNext, `from ${dayShort(firstOfNext).slice(4)}`],
    ];
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings", "goods", good.id)}>${nameSaid(good, 1)}</a>
      <h1>What does it cost?</h1>
      ${this.#chips("Sold", this.place, PLACES, (value) => {
        this.place = value;
      })}
      ${this.#chips("It counts", this.since, days, (value) => {
        this.since = value;
      })}
      <label class="write"><span>or from another day</span><input type="date" min=${today} .value=${this.since} @change=${(
        /** @type {Typed} */ { target },
      ) => {
        this.since = target.value;
      }} /></label>
      <dl class="under">${pricesOf(good).map(
        (rule, at) => html`<div><dt>${at ? "and" : "price"}</dt><dd>${ruleSaid(rule, today)}
        ${rule.steps.map(([units, cents]) => html`<button type="button" class="key quiet" @click=${() => this.#act.run(() => setPrices(good.id, { ...rule, steps: rule.steps.filter(([size]) => size !== units) }), "Taken away.")}>take “${units} for ${money(cents)}” away</button>`)}
        ${at ? html`<button type="button" class="key quiet" @click=${() => this.#act.run(() => dropPrice(good.id, rule), "Taken away.")}>take this price away</button>` : nothing}</dd></div>`,
      )}</dl>
      ${pricesOf(good).some(({ steps }) => steps.length) ? html`<p class="faint">Fewer never cost more: one less than a full number costs at most as much as the full number.</p>` : nothing}
      <p class="faint">The price of the day on which the order is taken counts. Orders already promised keep what they were told.</p>
    </div></div>
    <div class="deck">
      ${this.#act.outcome()}
      ${house.status.device?.role === "keeper" ? this.#pad(good) : html`<p class="faint">Only an owner's device may change these.</p>`}
    </div>`;
  }

  /** @param {Good} good */
  #pad(good) {
    if (this.what === "many") {
      return html`<h2 class="where">How many together?</h2>
        <number-pad .value=${this.units} .unit=${"together"} .label=${"How many together"} @change=${(
          /** @type {Told<string>} */ { detail },
        ) => {
          this.units = detail;
        }}></number-pad>
        <div class="keyrow two"><button type="button" class="key on" ?disabled=${!(Number(this.units) >= 2)} @click=${() => {
          this.what = "cost";
          this.typed = "";
        }}>what do ${this.units || "they"} cost?</button>
          <button type="button" class="key quiet" @click=${() => {
            this.what = "one";
          }}>only one</button></div>`;
    }
    const heading = this.what === "one" ? "One costs, in dollars" : `${this.units} together cost, in dollars`;
    return html`<h2 class="where">${heading}</h2>
      <number-pad point .value=${this.typed} .unit=${"dollars"} .label=${heading} @change=${(/** @type {Told<string>} */ { detail }) => {
        this.typed = detail;
      }}></number-pad>
      <div class="keyrow two"><button type="button" class="key say" ?disabled=${!this.typed} @click=${() => this.#write(good)}>write it down</button>
        ${
          this.what === "one"
            ? html`<button type="button" class="key" @click=${() => {
                this.what = "many";
                this.typed = "";
              }}>some together</button>`
            : html`<button type="button" class="key quiet" @click=${() => {
                this.what = "one";
                this.typed = "";
              }}>only one</button>`
        }</div>`;
  }
}
customElements.define("good-prices", GoodPrices);
