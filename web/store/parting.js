/** @file Orders that went in one parcel and no longer can: whom a change or a cancellation leaves to itself, and what is written of them. */

import { destinationOf, inOneParcel } from "./destination.js";
import { known } from "./known.js";
import { badDraft } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Amendment} Amendment */
/** @typedef {import('./shapes.d.ts').Order} Order */
/** @typedef {import('./shapes.d.ts').Parted} Parted */

const WHERE = /** @type {const} */ (["way", "person", "goes_to", "to_name", "to_street", "to_unit", "to_city", "to_state", "to_zip"]);

/**
 * What an order is once it goes with nobody: that its mailing cost nothing was the joining's doing, and is for the table to say anew.
 * @param {Order} rider
 * @returns {Pick<Amendment, "goes_with" | "posting_by">}
 */
export const alone = ({ state, posting_cents: cents }) => ({
  ...(state === "promised" ? { goes_with: null } : {}), // of a packed one the entry may not say it
  ...(cents ? {} : { posting_by: "" }),
});

/**
 * What a change takes out of one parcel: the order itself, or those that ride with it.
 * @param {Order} now
 * @param {Amendment} change
 * @returns {{change: Amendment, riders: Order[], parted: Parted}} the change with all that follows for the order itself
 */
export function takenApart(now, change) {
  const { view } = known;
  const host = view.orders.get(now.goes_with ?? "") ?? null;
  const after = changed(now, change);
  const own = host && view.hostOf(now) && !together(after, host, change);
  const riders = view.ridersOf(now.id).filter((rider) => !together(rider, after, change));
  if ([...(own ? [now] : []), ...riders].some(({ state }) => state === "packed"))
    throw badDraft("way", "They are packed together by now.", "Undo the packing first.");
  const said = change.goes_with;
  const whole = own ? { ...change, ...alone({ ...now, posting_cents: change.posting_cents ?? now.posting_cents }) } : change;
  const left = own || said === null ? host : said ? view.orders.get(said) : null;
  return {
    change: whole,
    riders,
    parted: { alone: [...(own || (said === null && host) ? [now] : []), ...riders].map(idOf), left: left?.id ?? null },
  };
}

/** @param {Order} now @param {Amendment} change @returns {Order} */
function changed(now, change) {
  const said = Object.fromEntries(WHERE.filter((name) => change[name] !== undefined).map((name) => [name, change[name]]));
  return /** @type {Order} */ ({ ...now, ...said, person: change.person ? (change.person.id ?? null) : now.person });
}

/** Whether both still go in one parcel, the person being as the change has them. @param {Order} rider @param {Order} host @param {Amendment} change */
function together(rider, host, { person }) {
  const there = (/** @type {Order} */ order) => {
    const whose = known.view.people.get(order.person ?? "");
    const same = person && (person.id ? known.view.people.same(order.person, person.id) : !order.person);
    return destinationOf(order, same ? { ...whose, ...person } : whose);
  };
  return inOneParcel(rider, there(rider), host, there(host));
}

/**
 * One entry for each who rode with an order that goes another way or not at all. It does not say what it believed of the parcel: the main
 * computer may have parted them already.
 * @param {Order[]} riders
 */
export const partedEntries = (riders) =>
  riders
    .map((rider) => ({ rider, change: alone(rider) }))
    .filter(({ change }) => Object.keys(change).length)
    .map(({ rider, change }) => ({
      kind: "amend",
      rows: [
        {
          table: /** @type {const} */ ("order"),
          id: rider.id,
          ...change,
          was: "posting_by" in change ? { posting_by: rider.posting_by ?? "" } : {},
        },
      ],
    }));

/** @param {{id: string}} one */
const idOf = ({ id }) => id;
