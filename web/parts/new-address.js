import { html, nothing } from "lit";
import { Act } from "./act.js";
import { pricedApart } from "./apart.js";
import { Part } from "./part.js";
import { postingAnew } from "./posting-anew.js";
import { addressSaid } from "./words.js";
import { amend } from "../store/acts.js";
import { copiedFrom, hasMoved } from "../store/destination.js";
import { house } from "../store/house.js";

/** @import { Changed } from "./events.d.ts" */
/** @import { Amendment, Order } from "../store/shapes.d.ts" */

/** An open order whose person lives elsewhere by now: it goes where it was promised until somebody says otherwise. Property `order`, an id. */
class NewAddress extends Part {
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

  /** @param {Order} order */
  #sendThere(order) {
    const change = /** @type {Amendment} */ ({
      ...copiedFrom(house.view.people.get(order.person ?? "")),
      to_name: house.view.destination(order).name && order.to_name,
    });
    const packed = order.state === "packed" ? " It is packed: write the box and the slip anew." : "";
    return this.#act.run(
      async () => {
        const posting = await postingAnew(order, change, null);
        const done = await pricedApart(await amend(order.id, { ...change, ...posting.change }));
        return { ...done, words: [`It goes to the new address.${packed}`, posting.words, done.posting] };
      },
      ({ words }) => words.filter(Boolean).join(" "),
    );
  }

  render() {
    const { view } = house;
    const order = view.orders.get(this.order);
    const person = order && view.people.get(order.person ?? "");
    if (!order || !person || !hasMoved(order, person)) return this.#act.outcome() ?? nothing;
    return html`<div class="again-one" role="group" aria-label="Use the new address?">
      <p><strong>Use the new address?</strong> ${person.name} is at ${addressSaid(person)} now. This order goes to ${addressSaid(view.destination(order))}.</p>
      <div class="keyrow two">
        <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#sendThere(order)}>send it to the new one</button>
        <button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${() => this.#act.run(() => amend(order.id, { goes_to: "other" }), "It goes where it was promised.")}>leave it as it is</button>
      </div>
      ${this.#act.outcome()}</div>`;
  }
}
customElements.define("new-address", NewAddress);
