import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { FREE_SAID } from "../../parts/sums.js";
import { sendAgain } from "../../store/acts.js";
import { house } from "../../store/house.js";

/** @import { Changed } from "../../parts/events.d.ts" */

/** @typedef {"heat" | "breakage" | "loss"} Why */

/** @type {[Why, string][]} */
const WHY = [
  ["heat", "heat"],
  ["breakage", "it broke"],
  ["loss", "it never came"],
];

/** What did not come as it should is sent once more at no charge, and keeps its reason. Property `order`: an id. */
class SendAgain extends Part {
  static properties = { order: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.order = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("order")) this.#act.about(this.order);
  }

  render() {
    const { view } = house;
    const order = view.orders.get(this.order);
    if (!order) return nothing;
    const again = [...view.orders.values()].filter(({ replaces, state }) => replaces === order.id && state !== "let_go");
    const lost = view.parcelsOf(order.id).some(({ arrived }) => arrived === "lost"); // what never came is followed through
    const before = order.replaces ? view.orders.get(order.replaces) : null;
    return html`
      ${order.free_for ? html`<p class="faint">At no charge, ${FREE_SAID[order.free_for]}${before ? html`, instead of <a href=${placeOf("book", "order", before.id)}>${before.number}</a>` : nothing}.</p>` : nothing}
      ${again.map(({ id, number, free_for }) => html`<p>Sent again ${FREE_SAID[free_for]}: <a href=${placeOf("book", "order", id)}>order ${number}</a>.</p>`)}
      ${
        order.state === "gone" && order.way !== "walk_in" && order.person && !again.length
          ? html`<details class="otherwise" ?open=${lost}><summary>send it again, at no charge</summary>
        <div class="keyrow three" role="group" aria-label="Why it is sent again">${WHY.map(
          ([why, words]) => html`
          <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() =>
            this.#act.run(
              () => sendAgain(order.id, why),
              ({ number }) => `Promised again as order ${number}, at no charge.`,
            )}>${words}</button>`,
        )}</div></details>`
          : nothing
      }
      ${this.#act.outcome()}`;
  }
}
customElements.define("send-again", SendAgain);
