import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { lotsThatNeedYou } from "../../parts/needs-you.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { hourSaid, phoneSaid, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { KINDS } from "./kinds.js";

/** @import { Good, NeedsYou } from "../../store/shapes.d.ts" */

/** Entries that the house could not take: what, why, what to do. Nothing is lost; each stays until it is dealt with. */
class NeedsBoard extends Part {
  render() {
    const { needsYou } = house.status;
    const lots = lotsThatNeedYou();
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Needs you</h1>
      ${
        needsYou.length || lots.length
          ? html`<dl class="under">${needsYou.map((entry) => this.#entry(entry))}${lots.map((lot) => this.#lot(lot))}</dl>`
          : stateSaid({
              what: "Nothing.",
              todo: "When the main computer cannot take an entry, it stands here with the reason and what to do.",
            })
      }
    </div></div>`;
  }

  /** @param {{good: Good, lot: string, units: number}} lot */
  #lot({ good, lot, units }) {
    return html`<div><dt>lot ${lot}</dt><dd>
      <p class="heed">${unitsSaid(good, units)} more left lot ${lot} than ever came: two devices took the same last ones, or they were of another lot.</p>
      <p>Count what is there, lot by lot. If it went out, look at who has it before you call a lot back.</p>
      <div class="keyrow two">
        <a class="key tight" href=${placeOf("shelf", good.id)}>look at the shelf</a>
        <a class="key tight" href=${placeOf("book", "lot", lot)}>who has it</a>
      </div></dd></div>`;
  }

  /** @param {NeedsYou} entry */
  #entry({ op, kind, why, remedy, order, person, made_at: at }) {
    const { view } = house;
    const found = person ? view.people.get(person) : null;
    const known = order && view.orders.has(order);
    return html`<div><dt>${at ? hourSaid(at, house.dayOf(new Date(at)), house.today()) : nothing}</dt><dd>
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
