/**
 * @file Where an order goes: its own copy of an address, so that what becomes of a person later moves no parcel that was promised. Pure;
 * the main computer's `stock/destination.py` says the same, and one table of cases holds both to it.
 */

/** @typedef {import('./shapes.d.ts').Address} Address */
/** @typedef {import('./shapes.d.ts').Destination} Destination */
/** @typedef {Partial<Address> & {name?: string}} Dweller */

const PARTS = /** @type {const} */ (["street", "unit", "city", "state", "zip"]);
/** What an order says that copied nothing. @type {Destination} */
export const NOTHING_COPIED = { goes_to: "", to_name: "", to_street: "", to_unit: "", to_city: "", to_state: "", to_zip: "" };

/** Whether a person can be mailed anything: a street or a town is known. @param {Dweller | null | undefined} person */
export const hasAddress = (person) => Boolean(person?.street || person?.city);

/**
 * Who receives an order, and where.
 * @param {Partial<Destination>} order
 * @param {Dweller | null | undefined} person whose order it is
 * @returns {Address & {name: string}}
 */
export function destinationOf(order, person) {
  const { street = "", unit = "", city = "", state = "", zip = "", name = "" } = person ?? {};
  if (!order.goes_to) return { name, street, unit, city, state, zip };
  const { to_name, to_street = "", to_unit = "", to_city = "", to_state = "", to_zip = "" } = order;
  return { name: to_name || name, street: to_street, unit: to_unit, city: to_city, state: to_state, zip: to_zip };
}

/**
 * Whether two parcels go to the same door of the same person; capitals and spaces make no other.
 * @param {Address & {name: string}} one
 * @param {Address & {name: string}} other
 */
export function sameAddress(one, other) {
  const said = (/** @type {Address & {name: string}} */ { name, street, unit, city, zip }) =>
    [name, street, unit, city, zip.slice(0, 5)]
      .map((part) =>
        part
          .toLowerCase()
          .replace(/[\s.,]+/g, " ")
          .trim(),
      )
      .join("\n");
  return hasAddress(one) && said(one) === said(other);
}

const OPEN = ["promised", "packed"];

/**
 * Whether one order goes, or went, in the parcel of another: both by mail, both open or both gone, to the same address.
 * @param {{way?: string, state?: string}} rider @param {Address & {name: string}} there
 * @param {{way?: string, state?: string}} host @param {Address & {name: string}} where
 */
export function inOneParcel(rider, there, host, where) {
  const open = [rider, host].every(({ state }) => OPEN.includes(state ?? ""));
  const alike = open || (rider.state === "gone" && host.state === "gone");
  return alike && rider.way === "post" && host.way === "post" && sameAddress(there, where);
}

/**
 * The fields of an order that goes to this person's own address; none where no address is known yet.
 * @param {Dweller | null | undefined} person
 * @returns {Partial<Destination>}
 */
export function copiedFrom(person) {
  return person && hasAddress(person) ? sentTo("own", "", person) : {};
}

/**
 * The fields of an order that goes to an address for itself alone.
 * @param {"own" | "other"} goes_to
 * @param {string} to_name
 * @param {Partial<Address>} address
 * @returns {Destination}
 */
export function sentTo(goes_to, to_name, { street = "", unit = "", city = "", state = "", zip = "" }) {
  return { goes_to, to_name, to_street: street, to_unit: unit, to_city: city, to_state: state, to_zip: zip };
}

/**
 * Whether an open order by mail was to go to its person's own address, and that is another by now.
 * @param {Partial<Destination> & {way?: string, state?: string}} order
 * @param {Dweller | null | undefined} person
 */
export function hasMoved(order, person) {
  if (order.goes_to !== "own" || order.way !== "post" || !OPEN.includes(order.state ?? "")) return false;
  const there = destinationOf(order, person);
  return hasAddress(person) && PARTS.some((part) => (person?.[part] ?? "") !== there[part]);
}
