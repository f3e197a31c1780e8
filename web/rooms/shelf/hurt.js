import { html } from "lit";
import { placeOf } from "../../parts/route.js";
import { phoneSaid, unitsSaid, whoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** @import { Good, Person } from "../../store/shapes.d.ts" */
/** @import { View, Wanted } from "../../store/view.js" */

/** @typedef {Pick<Wanted, "order" | "person" | "units">} Hurt */

/**
 * Whose promise is hurt when more of a good is promised than lies here, latest promise first: `[{order, person, units}]`.
 * @param {Good} good
 * @param {View} [view]
 */
export function hurtBy(good, view = house.view) {
  let missing = Math.max(house.status.short?.[good.id] ?? 0, -view.free(good.id));
  /** @type {Hurt[]} */
  const hurt = [];
  for (const { order, person, units } of view.promisedTo(good.id)) {
    if (missing <= 0) break;
    hurt.push({ order, person, units: Math.min(units, missing) });
    missing -= units;
  }
  return hurt;
}

/** The same as lines to read and numbers to ring. @param {Good} good @param {Hurt[]} hurt */
export const hurtSaid = (good, hurt) =>
  hurt.map(
    ({ order, person, units }) => html`
  <p><span class="heed">${unitsSaid(good, units)}</span> promised to <a href=${placeOf("book", "order", order.id)}>${whoSaid(person, order.number)}</a> ${ring(person)}</p>`,
  );

/** @param {Person | null} person */
export const ring = (person) =>
  person?.phone ? html`<a class="figures ring" href="tel:${person.phone}">${phoneSaid(person.phone)}</a>` : "";
