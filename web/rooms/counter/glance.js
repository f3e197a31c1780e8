import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { nameSaid } from "../../parts/words.js";
import { isRoomy, WideWatch } from "../../parts/wide.js";
import { house } from "../../store/house.js";
import { goodsOffered } from "./decks.js";

/** @import { Good } from "../../store/shapes.d.ts" */

const SHOWN = 5;

/** On the wall, while nobody is on the line: what is free of each good, in numerals that are read from across the room. */
class ShelfGlance extends Part {
  constructor() {
    super();
    new WideWatch(this);
  }

  render() {
    const goods = house.status.started && isRoomy() ? goodsOffered(house.view).slice(0, SHOWN) : [];
    if (!goods.length) return nothing;
    return html`<section class="glance" aria-label="On the shelf"><h2 class="where">Free on the shelf</h2>
      <ul>${goods.map(shown)}</ul></section>`;
  }
}
customElements.define("shelf-glance", ShelfGlance);

/** @param {Good} good */
function shown(good) {
  const free = Math.max(0, house.view.free(good.id));
  const promised = house.view.promised(good.id);
  return html`<li><a href=${placeOf("shelf", good.id)}><span class="numeral">${free}</span>
    <span>${nameSaid(good)}<small>${promised ? `${promised} promised` : "none promised"}</small></span></a></li>`;
}
