/** @file How an order leaves: packed, weighed, handed over. */

import { orderNow, reservation } from "./acts.js";
import { leaving, paymentRows, whole } from "./drafts.js";
import { newId } from "./ids.js";
import { known, today } from "./known.js";
import { append, appendAll } from "./log.js";
import { badDraft } from "./trouble.js";
import { clean } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Units} Units */

/**
 * Packed: the parcels as they stand, and the cartons used up.
 * @param {string} order
 * @param {{parcels: Record<string, any>[], cartons?: {good: string, units: number}[]}} packing
 */
export async function pack(order, { parcels, cartons }) {
  if (!parcels?.length) throw badDraft("parcels", "No parcel is given.", "Say how it was packed.");
  const ids = parcels.map((parcel) => parcel.id ?? newId());
  const used =
    cartons ??
    Object.values(
      Object.groupBy(
        parcels.filter((parcel) => parcel.carton),
        (parcel) => parcel.carton,
      ),
    ).map((same) => ({ good: /** @type {any} */ (same)[0].carton, units: /** @type {any} */ (same).length }));
  const [entry] = await appendAll(() => {
    orderNow(order, ["promised"]);
    /** @type {Row[]} */
    const rows = [{ table: "order", id: order, state: "packed" }];
    parcels.forEach((parcel, i) =>
      rows.push({
        table: "parcel",
        id: ids[i],
        order,
        part: i + 1,
        carton: parcel.carton ?? null,
        dressing: parcel.dressing ?? "plain",
        plan: parcel.plan ?? {},
        gross_g: whole("gross_g", parcel.gross_g ?? 0),
        gross_sd_g: whole("gross_sd_g", parcel.gross_sd_g ?? 0),
        scale_g: parcel.scale_g ?? null,
        packed_on: today(),
        told_permille: parcel.told_permille ?? null,
      }),
    );
    for (const { good, units } of used) rows.push(...movements(leaving(good, units, undefined), good, "packed", { order, line: null }));
    const riders = known.view.ridersOf(order).filter(({ state }) => state === "promised");
    return [{ kind: "pack", rows }, ...riders.map(({ id }) => ({ kind: "pack", rows: [packedRow(id)] }))];
  });
  return { op: entry.id, parcels: ids };
}

/** An order that lies in the parcel of another. @param {string} id @returns {Row} */
const packedRow = (id) => ({ table: "order", id, state: "packed" });

/**
 * @param {string} parcel
 * @param {number | null} scale_g
 */
export async function weigh(parcel, scale_g) {
  if (scale_g !== null) whole("scale_g", scale_g);
  const entry = await append(() => ({ kind: "weigh", rows: [{ table: "parcel", id: parcel, scale_g }] }));
  return { op: entry.id };
}

/** The number under which a carrier follows a parcel. @param {string} parcel @param {string} tracking */
export async function track(parcel, tracking) {
  const row = { table: /** @type {const} */ ("parcel"), id: parcel, tracking: clean(tracking, 60).replace(/\s+/g, "") };
  const entry = await append(() => ({ kind: "track", rows: [row] }));
  return { op: entry.id };
}

/** Where a carrier tells of it, by the owner's own pattern; "" where there is none. @param {string} pattern @param {string} tracking */
export const trackingLink = (pattern, tracking) =>
  pattern && tracking && pattern.startsWith("https://") ? pattern.replace("{number}", encodeURIComponent(tracking)) : "";

/**
 * How a parcel came, as the receiver tells it; the empty word takes it back.
 * @param {string} parcel
 * @param {import('./shapes.d.ts').Parcel['arrived']} arrived
 */
export async function arrive(parcel, arrived) {
  const row = { table: /** @type {const} */ ("parcel"), id: parcel, arrived, arrived_on: arrived ? today() : null };
  const entry = await append(() => ({ kind: "arrive", rows: [row] }));
  return { op: entry.id };
}

/**
 * The goods leave. A line that still waits must be lowered first: nobody is to be told *gone* for what never left.
 * @param {string} order
 * @param {{lots?: Record<string, {lot: string | null, units: number}[]>, cents?: number, how?: import('./shapes.d.ts').Payment['how'], given_cents?: number | null}} [options]
 */
export async function handOver(order, { lots = {}, cents = 0, how, given_cents } = {}) {
  const [entry] = await appendAll(() => {
    /** @type {Units} */
    const taken = {};
    const together = [order, ...known.view.ridersOf(order).map(({ id }) => id)];
    const entries = together.map((id) => ({ kind: "hand_over", rows: leavingRows(id, lots, taken) }));
    entries[0].rows.push(...paymentRows({ lines: [], paid_how: how, given_cents }, order, cents));
    return entries;
  });
  return { op: entry.id };
}

/**
 * One order's goods, lot by lot, and what was promised of them.
 * @param {string} order
 * @param {Record<string, {lot: string | null, units: number}[]>} lots
 * @param {Units} taken by lot, of the orders in the same parcel
 * @returns {Row[]}
 */
function leavingRows(order, lots, taken) {
  orderNow(order, ["promised", "packed"]);
  const { view } = known;
  const lines = view.linesOf(order);
  const waits = lines.find((line) => view.waiting(line) > 0);
  if (waits) {
    const good = view.goods.get(waits.good);
    throw badDraft(
      "lines",
      `${view.waiting(waits)} ${good?.plural || good?.name || waits.good} still wait.`,
      "Lower the order to what is here, or let it wait for the next pour.",
    );
  }
  /** @type {Row[]} */
  const rows = [{ table: "order", id: order, state: "gone", gone_on: today() }];
  for (const line of lines.filter((each) => view.sure(each) > 0)) {
    const units = view.sure(line);
    rows.push(...movements(leaving(line.good, units, lots[line.id], taken), line.good, "gone", { order, line: line.id }));
    rows.push(reservation(order, line, -units));
  }
  return rows;
}

/**
 * @param {{lot: string | null, units: number}[]} lots
 * @param {string} good
 * @param {string} reason
 * @param {{order: string, line: string | null}} of
 * @returns {Row[]}
 */
export function movements(lots, good, reason, { order, line }) {
  return lots.map(({ lot, units }) => ({
    table: "movement",
    id: newId(),
    good,
    lot,
    units: -units,
    reason,
    order,
    line,
    on: today(),
    note: "",
  }));
}
