import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { phoneSaid, timeSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { KINDS } from "./kinds.js";

/** @import { NeedsYou } from "../../store/shapes.d.ts" */

/** Entries that the house could not take: what, why, what to do. Nothing is lost; each stays until it is dealt with. */
class NeedsBoard extends Part {
  render() {
    const { needsYou } = house.status;
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Needs you</h1>
      ${
        needsYou.length
          ? html`<dl class="under">${needsYou.map((entry) => this.#entry(entry))}</dl>`
          : stateSaid({
              what: "Nothing.",
              todo: "When the main computer cannot take an entry, it stands here with the reason and what to do.",
            })
      }
    </div></div>`;
  }

  /** @param {NeedsYou} entry */
  #entry({ op, kind, why, remedy, order, person, made_at: at }) {
    const { view } = house;
    const found = person ? view.people.get(person) : null;
    const known = order && view.orders.has(order);
    return html`<div><dt>${at ? timeSaid(at) : nothing}</dt><dd>
      <p><strong>${KINDS[kind] ?? "an entry"}</strong>${found ? html` for ${found.name}${found.phone ? html`, <a class="figures" href="tel:${found.phone}">${phoneSaid(found.phone)}</a>` : nothing}` : nothing}</p>
      <p class="heed">${why}</p>
      <p>${remedy}</p>
      <div class="keyrow two">
        ${known ? html`<a class="key tight" href=${placeOf("book", "order", order)}>look at the order</a>` : nothing}
        <button type="button" class="key tight" @click=${() => house.dismiss(op)}>dealt with</button>
      </div></dd></div>`;
  }
}
customElements.define("needs-board", NeedsBoard);
