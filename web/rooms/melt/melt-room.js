import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { nothingSold } from "../../parts/nothing-sold.js";
import { isWide, WideWatch } from "../../parts/wide.js";
import { dayShort, unitsSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { lotsLatestFirst } from "../../store/sorting.js";
import { addStages } from "../../store/acts.js";
import { madeGoods, missingStages, stageOf, stagesKnown } from "../../parts/weighing.js";
import { keptPour } from "../../parts/pour-state.js";
import { waxFirst, waxSafety } from "../../parts/safety.js";
import "./wax-here.js";
import "./step-deck.js";
import "./pour-deck.js";
import "./extract-deck.js";
import "./bottle-deck.js";
import "./rest-deck.js";

const LOTS_SHOWN = 12;

/** From the comb to the shelf: what lies at each stage, what can be poured, and the deck of the step in hand. */
class MeltRoom extends Part {
  static properties = { path: {} };

  #act = new Act(this);

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
    new WideWatch(this);
  }

  render() {
    const { status } = house;
    if (!status.started) return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    if (!madeGoods().length)
      return html`<div class="room" data-lone><div class="board">${nothingSold("There is nothing to make yet: nothing is sold.")}</div></div>`;
    const deck = html`<div class="deck">${this.#deck()}</div>`;
    if (this.path?.[0] && !isWide()) return html`<section class="room" aria-label="Melt" data-deck>${deck}</section>`;
    return html`<section class="room" aria-label="Melt" ?data-working=${Boolean(this.path?.[0])}>
      <div class="board"><div class="column">
        <h1>This morning</h1>
        ${stagesKnown() ? html`<wax-here></wax-here>` : this.#noStages()}
        <h2 class="where">Lots made</h2>
        ${this.#lots()}
      </div></div>
      ${deck}
    </section>`;
  }

  #deck() {
    const [what, good] = this.path ?? [];
    if (what === "pour") return html`<pour-deck></pour-deck>`;
    if (stagesKnown()) {
      if (what === "extract") return html`<extract-deck></extract-deck>`;
      if (what === "bottle") return html`<bottle-deck .from=${good === "honey_residue" ? good : "honey_bulk"}></bottle-deck>`;
      if (what === "rest") return html`<rest-deck></rest-deck>`;
      if (what === "step" && stageOf(good)?.to) return html`<step-deck .from=${good}></step-deck>`;
    }
    const running = keptPour(1).sets.some(({ state }) => state !== "empty");
    return html`
      <a class="key say" href=${placeOf("melt", "pour")}>${running ? "go on pouring" : "pour"}<small>timers, knock out, look over</small></a>
      ${
        stagesKnown()
          ? html`<div class="keyrow two">
        <a class="key" href=${placeOf("melt", "extract")}>extraction<small>buckets and cappings</small></a>
        <a class="key" href=${placeOf("melt", "bottle")}>bottle<small>bucket to jars</small></a></div>`
          : nothing
      }
      ${isWide() ? waxSafety() : waxFirst()}`;
  }

  /** A house that has not weighed yet: one touch puts the goods by weight into the book. */
  #noStages() {
    const keeper = house.status.device?.role === "keeper";
    return html`<div class="state"><p><strong>Wax and honey are not kept by weight yet.</strong></p>
      <p class="todo">With buckets, cappings and wax weighed at each step, the book says what can be poured, and what is lost.</p>
      ${keeper ? html`<button type="button" class="key on" @click=${this.#add}>keep them by weight</button>` : html`<p>An owner can begin with it here.</p>`}
      ${this.#act.outcome()}</div>`;
  }

  #add = () => this.#act.run(() => addStages(missingStages()), "Written down.");

  #lots() {
    const { view } = house;
    const lots = [...view.lots.values()].sort(lotsLatestFirst).slice(0, LOTS_SHOWN);
    if (!lots.length) return html`<p class="faint">None yet. The first pour makes the first.</p>`;
    return html`<dl class="under lots">${lots.map((lot) => {
      const good = view.goods.get(lot.good);
      const left = view.lotBalance(lot.good).find((found) => found.lot === lot.id)?.units ?? 0;
      return html`<div><dt><a class="figures" href=${placeOf("book", "lot", lot.id)}>${lot.id}</a></dt>
        <dd>${!good ? lot.good : good.unit === "g" ? `${weightSaid(left)} of ${good.name} left` : `${unitsSaid(good, left)} left`}<small class="faint"> · ${dayShort(lot.made_on)}</small></dd></div>`;
    })}</dl>`;
  }
}
customElements.define("melt-room", MeltRoom);
