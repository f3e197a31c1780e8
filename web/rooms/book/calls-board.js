import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { daySaid, listed, phoneSaid, unitsSaid, whoSaid } from "../../parts/words.js";
import { amend } from "../../store/acts.js";
import { smsLink, textFor, toCall } from "../../store/calling.js";
import { house } from "../../store/house.js";

/** @import { Why } from "../../store/calling.js" */
/** @import { Order } from "../../store/shapes.d.ts" */

/** @type {[Why, string][]} */
const HEADINGS = [
  ["here", "Call these people, their order is here"],
  ["going", "The weather turned: it goes now"],
  ["fetch", "Come and fetch"],
];

/** Whom to call and why, with a text ready to be changed and sent; ticked off once they know. */
class CallsBoard extends Part {
  #act = new Act(this);
  /** Texts that somebody changed, by order. @type {Map<string, string>} */
  #texts = new Map();

  /** @param {Order} order @param {Why} why */
  #text({ id, way, leave_on, person }, why) {
    const { view } = house;
    const lines = view.linesOf(id);
    const goods = listed(lines.map(({ good, units }) => unitsSaid(view.goods.get(good) ?? { name: good }, units)));
    const one = lines.length === 1 && (lines[0].units === 1 || view.goods.get(lines[0].good)?.unit === "g");
    const name = view.people.get(person ?? "")?.name ?? "";
    const day = leave_on ? daySaid(leave_on, house.today()) : "";
    const words = { name, goods, one, day, mailed: way === "post", house: view.setting("name", "") ?? "" };
    return this.#texts.get(id) ?? textFor(why, words);
  }

  render() {
    const calls = toCall(house.view, house.today());
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      <h1>To call</h1>
      ${this.#act.outcome()}
      ${calls.length ? nothing : html`<p class="faint">Nobody waits for a call.</p>`}
      ${HEADINGS.map(([why, words]) => {
        const theirs = calls.filter((one) => one.why === why);
        return theirs.length ? html`<h2 class="where">${words}</h2>${theirs.map(({ order }) => this.#one(order, why))}` : nothing;
      })}
    </div></div>`;
  }

  /** @param {Order} order @param {Why} why */
  #one(order, why) {
    const person = house.view.people.get(order.person ?? "");
    const text = this.#text(order, why);
    const phone = person?.phone ?? "";
    return html`<div class="again-one" data-order=${order.id}>
      <p><strong>${whoSaid(person)}</strong> <a class="faint" href=${placeOf("book", "order", order.id)}>${order.number}</a></p>
      <label class="write"><span>what to say</span><textarea rows="3" .value=${text} @input=${(
        /** @type {{target: HTMLTextAreaElement}} */ { target },
      ) => {
        this.#texts.set(order.id, target.value);
        this.requestUpdate();
      }}></textarea></label>
      <div class="keyrow three">
        ${
          phone
            ? html`<a class="key tight" href="tel:${phone}">call<small>${phoneSaid(phone)}</small></a>
        <a class="key tight" href=${smsLink(phone, text)}>send a text</a>`
            : html`<p class="faint">no number</p>`
        }
        <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#act.run(() => amend(order.id, { call_for: "", called_on: house.today() }), person?.name ? `${person.name} knows.` : "They know.")}>they know</button>
      </div></div>`;
  }
}
customElements.define("calls-board", CallsBoard);
