import { html, nothing } from "lit";
import { given, Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { listed, money, phoneSaid, unitsSaid } from "../../parts/words.js";
import { placeOf } from "../../parts/route.js";
import { house } from "../../store/house.js";
import { personOf } from "./draft.js";
import { whoseItMayBe } from "../../store/sureness.js";
import { isRoomy } from "../../parts/wide.js";
import "../../parts/undo-key.js";
import "./glance.js";

/** @import { Frozen } from "./frozen.js" */
/** @import { Written } from "./now.d.ts" */
/** @import { Units } from "../../store/shapes.d.ts" */

/** Written down for good. Properties: `done` (what the act resolved with), `frozen` (as it was read). Sends `next`, `another` (for the same payer) and `undone`. */
class OrderPromised extends Part {
  static properties = { done: {}, frozen: {} };

  constructor() {
    super();
    /** @type {Written} */
    this.done = given;
    /** @type {Frozen} */
    this.frozen = given;
  }

  get draft() {
    return this.frozen.draft;
  }

  firstUpdated() {
    sayAloud(`${this.#head()}, order ${this.#number()}.`);
    this.focusOn(".key.say");
  }

  #head() {
    if (this.draft.way === "walk_in") return "Sold";
    return this.draft.amends ? "Changed" : "Promised";
  }

  /** Told once: the key's own event would go up to whoever hears of it here, too. @param {Event} event */
  #undone = (event) => {
    event.stopPropagation();
    this.dispatchEvent(new CustomEvent("undone"));
  };

  #number = () => this.done.number ?? house.view.orders.get(this.done.order)?.number ?? "";

  render() {
    const { draft, done } = this;
    return html`
      <div class="board"><div class="column">
        <div class="stamp"><h1>${this.#head()}</h1><p class="number">order ${this.#number()}</p></div>
        <dl class="under">${this.#taken()}${this.#sure()}${this.#waits()}${this.#short()}${this.#posting()}
          ${house.status.signal === "none" ? html`<div><dt>signal</dt><dd>None now. It is written down on this device for good, and the main computer hears of it by itself.</dd></div>` : nothing}
        </dl>
        <details class="again" ?open=${isRoomy()}><summary>the sentence again</summary>${this.frozen.aloud}</details>
      </div></div>
      <div class="deck">
        <button type="button" class="key say" @click=${() => this.dispatchEvent(new CustomEvent("next"))}>${draft.way === "walk_in" ? "Next" : "Next call"}</button>
        ${draft.way === "post" && !draft.amends ? html`<button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("another"))}>one more, to another address</button>` : nothing}
        <div class="keyrow two">
          <undo-key .op=${done.op} .ops=${done.ops ?? []} .words=${draft.way === "walk_in" ? "undo the sale" : draft.amends ? "undo the change" : "undo"} @undone=${this.#undone}></undo-key>
          ${draft.way === "walk_in" ? nothing : html`<a class="key" href=${placeOf("book", "order", done.order)}>look at it</a>`}
        </div>
        <shelf-glance></shelf-glance>
      </div>`;
  }

  /** @param {Units | undefined} units */
  #goods = (units) =>
    listed(
      Object.entries(units ?? {})
        .filter(([, count]) => count > 0)
        .map(([good, count]) => unitsSaid(house.view.goods.get(good) ?? { name: good }, count)),
    );

  /** A sale over the counter: what they have in their hands and how it was paid. */
  #taken() {
    const { draft } = this;
    if (draft.way !== "walk_in") return nothing;
    const goods = this.#goods(Object.fromEntries(draft.lines.map(({ good, units }) => [good, units])));
    const paid = draft.pays === "check" ? "by check" : draft.pays === "later" ? "still owed" : "in cash";
    return html`<div><dt>taken</dt><dd><strong>${goods}.</strong> ${money(this.frozen.total_cents)} ${paid}.${this.#change()}</dd></div>`;
  }

  /** What goes back from the bill that was touched. */
  #change() {
    const { given_cents, pays } = this.draft;
    const handed = given_cents ?? 0;
    const back = handed - this.frozen.total_cents;
    return back > 0 && pays === "cash" ? html` Give <strong>${money(back)}</strong> back from ${money(handed)}.` : nothing;
  }

  #posting() {
    const { posting } = this.frozen;
    const anew = this.done.posting ?? "";
    return posting === nothing && !anew ? nothing : html`<div><dt>mailing</dt><dd>${posting} ${anew}</dd></div>`;
  }

  #sure() {
    const sure = this.#goods(this.done.sure);
    return sure ? html`<div><dt>sure</dt><dd><strong>${sure}.</strong> Nobody else will be promised these.</dd></div>` : nothing;
  }

  #waits() {
    const waits = this.#goods(this.done.waiting);
    if (!waits) return nothing;
    const person = personOf(this.draft, house.view);
    return html`<div><dt>waits</dt><dd><span class="heed">${waits}</span>, first come first served from the next pour.
      ${person?.phone ? html`Then call ${person.name}, <span class="figures">${phoneSaid(person.phone)}</span>.` : nothing}</dd></div>`;
  }

  #short() {
    const shorts = Object.entries(this.done.short ?? {}).filter(([, count]) => count > 0);
    return shorts.map(([good, count]) => {
      const free = house.view.free(good);
      const named = free < 0 ? whoseItMayBe(good, -free, house.view) : [];
      return html`<div><dt>short?</dt><dd><span class="heed">${unitsSaid(house.view.goods.get(good) ?? { name: good }, count)}</span> were not this device's to sell.
        ${named.length ? html`They may be missing for ${listed(named.map(({ name, units }) => `${name} (${units})`))}: call before they drive over.` : "The main computer will say if anyone goes short."}</dd></div>`;
    });
  }
}
customElements.define("order-promised", OrderPromised);
