import { html } from "lit";
import { placeOf } from "../../parts/route.js";
import { phoneSaid, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** Whose promise is hurt when more of a good is promised than lies here, latest promise first: `[{order, person, units}]`. */
export function hurtBy(good, view = house.view) {
  let missing = Math.max(house.status.short?.[good.id] ?? 0, -view.free(good.id));
  const hurt = [];
  for (const { order, person, units } of view.promisedTo(good.id)) {
    if (missing <= 0) break;
    hurt.push({ order, person, units: Math.min(units, missing) });
    missing -= units;
  }
  return hurt;
}

/** The same as lines to read and numbers to ring. */
export const hurtSaid = (good, hurt) =>
  hurt.map(
    ({ order, person, units }) => html`
  <p><span class="heed">${unitsSaid(good, units)}</span> promised to <a href=${placeOf("book", "order", order.id)}>${person?.name ?? order.number}</a> ${ring(person)}</p>`,
  );

export const ring = (person) =>
  person?.phone ? html`<a class="figures ring" href="tel:${person.phone}">${phoneSaid(person.phone)}</a>` : "";
