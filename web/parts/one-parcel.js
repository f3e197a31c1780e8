import { html, nothing } from "lit";
import { Act } from "./act.js";
import { pricedApart } from "./apart.js";
import { Part } from "./part.js";
import { placeOf } from "./route.js";
import { listed, unitsSaid } from "./words.js";
import { amend } from "../store/acts.js";
import { sameAddress } from "../store/destination.js";
import { house } from "../store/house.js";

/** @import { Changed } from "./events.d.ts" */
/** @import { Order } from "../store/shapes.d.ts" */

/** Two promised orders to one address go in one parcel at a touch, and are parted again at another. Property `order`, an id. */
class OneParcel extends Part {
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

  /** It costs no mailing of its own then. @param {Order} rider @param {Order} host */
  #join = (rider, host) =>
    this.#act.run(
      async () =>
        pricedApart(
          await amend(rider.id, {
            goes_with: host.id,
            leave_on: host.leave_on,
            dressing: host.dressing,
            posting_cents: 0,
            posting_by: "hand",
          }),
        ),
      ({ posting }) => `${rider.number} goes in the parcel of ${host.number}. Only that one costs mailing. ${posting}`.trim(),
    );

  /** @param {Order} rider */
  #part = (rider) =>
    this.#act.run(
      async () => pricedApart(await amend(rider.id, { goes_with: null, ...(rider.posting_cents ? {} : { posting_by: "" }) })),
      ({ posting }) => posting,
    );

  render() {
    const { view } = house;
    const order = view.orders.get(this.order);
    if (!order || order.way !== "post" || !["promised", "packed"].includes(order.state)) return this.#act.outcome();
    const host = view.hostOf(order);
    const riders = view.ridersOf(order.id);
    const others = host || order.state !== "promised" ? [] : alike(order);
    return html`
      ${host ? this.#together(order, html`It goes in the parcel of <a href=${placeOf("bench", host.id)}>${host.number}</a>.`) : nothing}
      ${riders.map((rider) => this.#together(rider, html`With it goes <a href=${placeOf("book", "order", rider.id)}>${rider.number}</a>: ${goodsSaid(rider)}.`))}
      ${others.map(
        (other) => html`<div class="again-one" role="group" aria-label="One parcel?">
        <p><strong>One parcel?</strong> <a href=${placeOf("book", "order", other.id)}>${other.number}</a>, ${goodsSaid(other)}, goes to the same address.</p>
        <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#join(other, order)}>put both in one parcel</button></div>`,
      )}
      ${this.#act.outcome()}`;
  }

  /** @param {Order} rider @param {unknown} words */
  #together = (rider, words) => html`<div class="again-one"><p>${words}</p>
    ${rider.state === "promised" ? html`<button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${() => this.#part(rider)}>two parcels after all</button>` : nothing}</div>`;
}
customElements.define("one-parcel", OneParcel);

/** Other promised orders to the same person at the same address that have a parcel of their own. @param {Order} order */
function alike(order) {
  const { view } = house;
  const there = view.destination(order);
  return view
    .openOrders()
    .filter(
      (other) =>
        other.id !== order.id &&
        other.way === "post" &&
        other.state === "promised" &&
        !view.hostOf(other) &&
        !view.ridersOf(other.id).length &&
        sameAddress(view.destination(other), there),
    );
}

/** @param {Order} order */
const goodsSaid = ({ id }) =>
  listed(house.view.linesOf(id).map(({ good, units }) => unitsSaid(house.view.goods.get(good) ?? { name: good }, units)));
