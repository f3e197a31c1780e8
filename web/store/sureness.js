/**
 * @file What of each line is sure on this device, and what the pure work needs to know about the whole order.
 * @typedef {{good: string, wanted: number, sure: number, rest: number, spare: number, kept: number}} Sureness
 */

/** @import { Address, Composed, ComposedLine, Forecast, Order } from "./shapes.d.ts" */
/** @import { View } from "./view.js" */

/**
 * A line that waits and is raised takes from the share only what is added: what waited is the main computer's to fill, first come first served.
 * @param {ComposedLine} line
 * @param {Pick<Composed, "amends">} draft
 * @param {View} view
 * @param {number} share what this device may still promise of it
 * @returns {Sureness} `kept` is already set aside for the order being changed, `spare` stays sure for the next caller
 */
export function surenessOf(line, draft, view, share) {
  const before = draft.amends ? linesFor(draft.amends, line.good, view) : [];
  const kept = before.reduce((sum, one) => sum + view.sure(one) + view.handed(one), 0);
  const added = line.units - before.reduce((sum, one) => sum + one.units, 0);
  const more = Math.max(0, line.units - kept);
  const fromShare = Math.max(0, Math.min(more, added, share));
  return {
    good: line.good,
    wanted: line.units,
    kept,
    sure: line.units - more + fromShare,
    rest: more - fromShare,
    spare: share - fromShare,
  };
}

/** @param {string} order @param {string} good @param {View} view */
const linesFor = (order, good, view) => view.linesOf(order).filter((line) => line.good === good);

/**
 * Whether honey would go by mail though the state was not asked yet; it hangs on the order alone, so it is known before any answer comes.
 * @param {Pick<Composed, "way" | "lines">} order
 * @param {View} view
 */
export const honeyOff = ({ way, lines }, view) =>
  way === "post" && !view.setting("posting_honey_asked", false) && lines.some(({ good }) => view.goods.get(good)?.kind === "honey");

/**
 * What the request is made of: an order or a sentence, and what lies around it.
 * @typedef {{view: View, today: string, now: Date, lines: {good: string, units: number}[], person: Partial<Address> | null | undefined,
 *   way: Order["way"], leave_on: string | null, dressing: Order["dressing"], hold_for_cool: boolean, hold_at_counter?: boolean}} Asked
 */

/** The request of `quoting.call`: rows as they stand, nothing judged here. @param {Asked} asked */
export function callRequest({ view, today, now, lines, person, way, leave_on, dressing, hold_for_cool, hold_at_counter = false }) {
  const goods = lines.map((line) => view.goods.get(line.good)).filter((good) => good !== undefined);
  const cartons = [...view.cartons.values()]
    .filter((carton) => !carton.hidden)
    .map((carton) => ({ ...carton, in_stock: view.onHand(carton.id) }));
  const house = Object.fromEntries([...view.settings.values()].map(({ id, value }) => [id, value]));
  const { zip = "", state = "", city = "" } = person ?? {};
  return {
    goods,
    cartons,
    house,
    lines: lines.map(({ good, units }) => ({ good, units })),
    to: { zip, state, city },
    way,
    leave_on,
    today,
    dressing,
    hold_for_cool,
    hold_at_counter,
    ...weatherFor(view, [house.zip, zip], now),
  };
}

/**
 * The forecasts this device carries for both ends of a way, and the hour by which their age is told.
 * @param {View} view
 * @param {(string | undefined)[]} zips
 * @param {Date} now
 * @returns {{forecasts?: Record<string, Forecast>, now?: string}}
 */
function weatherFor(view, zips, now) {
  const rows = zips
    .map((zip) => view.forecasts.get(String(zip ?? "").slice(0, 3)))
    .filter((row) => row !== undefined)
    .filter(({ days }) => days?.length);
  if (!rows.length || !now) return {};
  return { forecasts: Object.fromEntries(rows.map((row) => [row.id, row])), now: `${now.toISOString().slice(0, 13)}:00:00Z` };
}

/**
 * Who the bars beyond this device's share may be promised to, latest promise first.
 * @param {string} good
 * @param {number} units
 * @param {View} view
 */
export function whoseItMayBe(good, units, view) {
  const named = [];
  let left = units;
  for (const { person, order, units: promised } of view.promisedTo(good)) {
    if (left <= 0) break;
    named.push({ name: person?.name ?? `order ${order.number}`, units: Math.min(left, promised) });
    left -= promised;
  }
  return named;
}
