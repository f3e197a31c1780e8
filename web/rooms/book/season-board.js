import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { FREE_SAID, WHY_SAID } from "../../parts/sums.js";
import { listed, money, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { lineCents, priceOn } from "../../store/pricing.js";
import { movedRows } from "../../store/recall.js";
import { Question } from "../../kernel/question.js";
import { stageOf } from "../../parts/weighing.js";
import { yearAsked } from "./year.js";
import "../../parts/number-pad.js";
import "../../parts/print-key.js";

/** @import { SeasonAnswer, SeasonPart } from "../../kernel/answers.d.ts" */
/** @import { Told } from "../../parts/events.d.ts" */

const PRESS_CENTS = 48_000;

/** A season to the gram: honey in and where it went, wax in and where it went, what stayed in the cappings, would a press pay. */
class SeasonBoard extends Part {
  static properties = { season: {}, price: { state: true } };

  #sums = new Question(this, "stock.season_sums");
  #press = new Question(this, "stock.press_from_season");

  constructor() {
    super();
    this.season = "";
    this.price = String(PRESS_CENTS / 100);
  }

  willUpdate() {
    const { view } = house;
    const goods = [...view.goods.values()].map((good) => {
      const { id, kind, net_g = 0, sold } = good;
      return { id, kind, net_g, price_cents: priceOn(good, "pick_up", house.today()).price_cents, sold };
    });
    const request = {
      season: Number(this.#year),
      goods,
      moved: movedRows(),
      balances: goods.map(({ id }) => ({ good: id, units: view.onHand(id) })),
    };
    this.#sums.about(request);
    const sums = this.#sums.answer;
    const cents = Math.round(Number(this.price) * 100);
    this.#press.about(sums && sums.left_in_wax.honey_g > 0 && cents > 0 ? { season_sums: sums, price_cents: cents } : null);
  }

  get #year() {
    return this.season || house.today().slice(0, 4);
  }

  get press() {
    return this.#press.answer;
  }

  render() {
    const years = [...new Set(movedRows().map(({ year }) => year))].sort((a, b) => b - a);
    const { answer: sums, why, remedy } = this.#sums;
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      <h1>Season ${this.#year}</h1>
      ${
        years.length > 1
          ? html`<div class="keyrow three" role="group" aria-label="Which season">${years.slice(0, 6).map(
              (year) => html`
        <a class="key tight" href=${placeOf("book", "season", String(year))} aria-current=${String(year) === this.#year ? "page" : "false"}>${year}</a>`,
            )}</div>`
          : nothing
      }
      <print-key words="print the year" .of=${this.season} .asked=${() => yearAsked(this.#year)}></print-key>
      ${putRight(this.#year)}
      ${sums ? this.#told(sums) : html`<p class="faint">${`${why} ${remedy}`.trim() || "adding up …"}</p>`}
    </div></div>`;
  }

  /** @param {SeasonAnswer} sums */
  #told(sums) {
    return html`
      ${
        sums.closes
          ? nothing
          : html`<p class="heed" role="alert">The sums do not close: ${
              /** @type {const} */ (["honey", "cappings", "wax"])
                .filter((group) => sums[group].missing_g)
                .map((group) => `${weightSaid(sums[group].missing_g)} of ${group}`)
                .join(", ")
            }. ${house.status.device?.role === "keeper" ? "An entry is missing or was written twice: look at this year’s weighings in the Book before you trust these sums." : "Tell the owner."}</p>`
      }
      ${[sums.honey, sums.cappings, sums.wax].some((part) => part.in_g || part.left_g || part.start_g) ? nothing : html`<p>Nothing was extracted, melted or weighed this season.</p>`}
      ${this.#group("Honey", sums.honey, "in jars")}
      ${this.#group("Cappings", sums.cappings, "in jars")}
      ${this.#group("Wax", sums.wax, "in bars and blocks")}
      <dl class="under">
        ${sums.jars.giveaway_g > 0 ? html`<div><dt>given away</dt><dd>${weightSaid(sums.jars.giveaway_g)} of honey above the labels of ${sums.jars.units} jars; ${weightSaid(Math.max(0, sums.bars.giveaway_g))} of wax in ${sums.bars.units} pieces.</dd></div>` : nothing}
      </dl>
      ${this.#leftInWax(sums.left_in_wax)}`;
  }

  /** @param {string} name @param {SeasonPart} part @param {string} into */
  #group(name, part, into) {
    /** @type {[string, number][]} */
    const all = [
      ["from earlier years", part.start_g],
      ["in", part.in_g],
      [into, part.made_g],
      ["passed on to melting", part.passed_g],
      ["fed to the bees", part.fed_g],
      ["lost", part.lost_g],
      ["given away, sold, spoiled", part.other_g],
      ["found by counting", part.counted_g],
    ];
    const lines = all.filter(([, grams]) => grams);
    if (!lines.length && !part.left_g) return nothing;
    return html`<h2 class="where">${name}</h2><dl class="under sums">${lines.map(([words, grams]) => html`<div><dt>${words}</dt><dd class="figures">${weightSaid(grams)}</dd></div>`)}
      <div><dt>still here</dt><dd class="figures"><strong>${weightSaid(part.left_g)}</strong>${part.balances.length > 1 ? html`<small class="faint"> · ${part.balances.map(({ good, grams }) => `${stageOf(good)?.name ?? good} ${weightSaid(grams)}`).join(", ")}</small>` : nothing}</dd></div></dl>`;
  }

  /** Money left in the wax, and whether a press would pay, with the range. @param {SeasonAnswer["left_in_wax"]} left */
  #leftInWax(left) {
    if (!left.honey_g && !left.wax_lost_g) return nothing;
    return html`<h2 class="where">Left in the cappings and the dross</h2><dl class="under">
      <div><dt>honey</dt><dd>${weightSaid(left.honey_g)} came off the cappings: <strong>${money(left.honey_cents)}</strong> at the price of your largest jar, had it been spun or pressed out in time.</dd></div>
      <div><dt>wax</dt><dd>${weightSaid(left.wax_lost_g)} lost in screening: <strong>${money(left.wax_lost_cents)}</strong> at the price of your largest block.</dd></div>
      ${
        this.press
          ? html`<div><dt>a press?</dt><dd><strong>${this.press.words}</strong> ${this.press.from}
        <details><summary>what is assumed</summary>${this.press.assumed.map((words) => html`<p class="faint">${words}</p>`)}
          <number-pad .value=${this.price} .unit=${"dollars for the press"} .label=${"price of the press"} @change=${(
            /** @type {Told<string>} */ { detail },
          ) => {
            this.price = detail;
          }}></number-pad></details></dd></div>`
          : nothing
      }
    </dl>`;
  }
}
customElements.define("season-board", SeasonBoard);

/** Orders sent again at no charge and what was taken off, by reason: they count in the season. @param {string} year */
function putRight(year) {
  const { view } = house;
  const free = [...view.orders.values()].filter((order) => order.free_for && order.state !== "let_go" && order.taken_on.startsWith(year));
  const off = [...view.adjustments.values()].filter(({ on }) => on.startsWith(year));
  if (!free.length && !off.length) return nothing;
  const worth = free
    .flatMap(({ id }) => view.linesOf(id))
    .reduce((sum, line) => {
      const { price_cents, steps } = priceOn(view.goods.get(line.good) ?? {}, "post", house.today());
      return sum + lineCents(line.units, price_cents, steps);
    }, 0);
  const reasons = Object.entries(FREE_SAID).flatMap(([why, words]) => {
    const count = free.filter((order) => order.free_for === why).length;
    return count ? [`${count} ${words}`] : [];
  });
  const taken = off.reduce((sum, { cents }) => sum + cents, 0);
  return html`<h2 class="where">Put right</h2><dl class="under">
    ${free.length ? html`<div><dt>sent again</dt><dd>${listed(reasons)}; worth ${money(worth)} at today’s prices.</dd></div>` : nothing}
    ${taken ? html`<div><dt>taken off</dt><dd>${money(-taken)}: ${listed(reasonsSaid(off))}.</dd></div>` : nothing}</dl>`;
}

/** @param {import("../../store/shapes.d.ts").Adjustment[]} off @returns {string[]} "$2.50 heat" */
function reasonsSaid(off) {
  return Object.entries(WHY_SAID).flatMap(([why, words]) => {
    const cents = off.filter((one) => one.why === why).reduce((sum, one) => sum + one.cents, 0);
    return cents ? [`${money(-cents)} ${words}`] : [];
  });
}
