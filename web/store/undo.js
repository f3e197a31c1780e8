/**
 * @file Undo within ten minutes: never a deletion, always the proper inverse, whole, as one entry that names what it undoes. An act
 * is undone at most once: this device's own transaction sees to it between its windows, the house between devices.
 */

import { orderNow, reservation } from "./acts.js";
import { lineRows } from "./amending.js";
import { DEFAULTS } from "./board.js";
import { newId } from "./ids.js";
import { known, now, shareOf } from "./known.js";
import { appendAll } from "./log.js";
import { badDraft } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Entry} Entry */
/** @typedef {import('./shapes.d.ts').Units} Units */
/** @typedef {{rows: Row[], spent?: Units}} Inverse */

const UNDO_MS = 10 * 60_000;
/** What is done to a whole parcel at once, an entry for each order in it. */
const OF_A_PARCEL = ["pack", "hand_over"];

/** The inverse of each kind that has one. @type {Record<string, (entry: Entry) => Inverse>} */
const INVERSE = {
  promise: (entry) => ({ rows: [orderBack(entry, "promised", "let_go"), ...freed(orderIdOf(entry)), ...paidBack(entry)] }),
  let_go: takenAgain,
  amend: asBefore,
  sell: (entry) => ({ rows: [orderBack(entry, "gone", "let_go"), ...movedBack(entry), ...paidBack(entry)] }),
  pack: (entry) => ({
    rows: [
      orderBack(entry, "packed", "promised"),
      ...movedBack(entry),
      ...rowsOf(entry, "parcel").map(({ id }) => ({ table: /** @type {const} */ ("parcel"), id, packed_on: null })),
    ],
  }),
  hand_over: (entry) => ({
    rows: [
      { ...orderBack(entry, "gone", stoodBefore(entry)), gone_on: null },
      ...rowsOf(entry, "reservation").map((row) => ({ ...row, id: newId(), units: -row.units })),
      ...movedBack(entry),
      ...paidBack(entry),
    ],
  }),
  pay: (entry) => ({ rows: paidBack(entry) }),
  adjust: (entry) => ({ rows: rowsOf(entry, "adjustment").map((row) => ({ ...row, ...opposite(row) })) }),
  note_till: (entry) => ({ rows: named(entry, "till").map((row) => ({ ...row, note: "undone" })) }),
  note_lost_sale: (entry) => ({ rows: named(entry, "lost_sale") }),
  make: (entry) => ({ rows: movedBack(entry) }),
  count: (entry) => ({ rows: movedBack(entry) }),
  buy: (entry) => ({ rows: movedBack(entry) }),
  weigh: setBack,
  arrive: setBack,
  track: setBack,
  note_person: setBack,
  note_lot: setBack,
  note_standing: setBack,
  join_people: setBack,
  set_good: setBack,
  set_house: setBack,
};

/** In which states its order must be for an act to be undone. @type {Record<string, string[]>} */
const ORDER_NOW = {
  promise: ["promised"],
  let_go: ["let_go"],
  amend: ["promised", "packed"],
  sell: ["gone"],
  pack: ["packed"],
  hand_over: ["gone"],
};

/**
 * @param {string} op
 * @returns {Date | null} until when it can be undone
 */
export function undoable(op) {
  const entry = known.entries.get(op);
  if (!entry || entry.undone || entry.device !== known.identity?.device || !INVERSE[entry.operation.kind]) return null;
  if (entry.state === "refused" || entry.state === "set_aside") return null;
  const states = ORDER_NOW[entry.operation.kind];
  if (states && !states.includes(known.view.orders.get(orderIdOf(entry))?.state ?? "")) return null;
  const until = new Date(Date.parse(entry.operation.made_at) + UNDO_MS);
  return now() < until ? until : null;
}

/**
 * @param {string} op
 * @returns {Promise<{ops: string[]}>} the entry that undid it
 */
export async function undo(op) {
  const done = await appendAll(() => {
    const entry = known.entries.get(op);
    if (entry?.undone) throw alreadyUndone();
    if (!entry || !undoable(op)) throw badDraft("op", "This can no longer be undone.", "Enter what is right now.");
    return [entry, ...alongside(entry)].map((one) => {
      const { rows, spent } = INVERSE[one.operation.kind](one);
      return { kind: "undo", rows: [{ table: "undoing", id: one.id }, ...rows], spent };
    });
  });
  return { ops: done.map(({ id }) => id) };
}

/** What was written in the same breath of orders in the same parcel. @param {Entry} entry @returns {Entry[]} */
function alongside({ id, seq, operation }) {
  if (!OF_A_PARCEL.includes(operation.kind)) return [];
  const order = orderIdOf(/** @type {Entry} */ (known.entries.get(id)));
  const later = [...known.entries.values()].filter((one) => one.seq > seq && one.operation.kind === operation.kind && undoable(one.id));
  return later.filter((one) => known.view.orders.get(orderIdOf(one))?.goes_with === order).sort((a, b) => a.seq - b.seq);
}

/** What a second window is told. */
export function alreadyUndone() {
  return badDraft("op", "This was undone already, perhaps in another window.", "Nothing to do.");
}

/** An amendment of what only waits names lines alone, and a line that changes does not say whose it is. @param {Entry} entry */
function orderIdOf(entry) {
  const { lines } = known.view;
  return entry.operation.rows.map((row) => (row.table === "order" ? row.id : (row.order ?? lines.get(row.id)?.order))).find(Boolean) ?? "";
}

/**
 * @param {Entry} entry
 * @param {import('./shapes.d.ts').Table} table
 */
function rowsOf(entry, table) {
  return entry.operation.rows.filter((row) => row.table === table);
}

/**
 * @param {Entry} entry
 * @param {string} standing how the order must stand now
 * @param {string} state how it stands afterwards
 * @returns {Row}
 */
function orderBack(entry, standing, state) {
  return { table: "order", id: orderNow(orderIdOf(entry), [standing]).id, state };
}

/** How an order stood before it left; where that was not kept, its parcels tell. @param {Entry} entry @returns {string} */
function stoodBefore(entry) {
  const order = known.view.orders.get(orderIdOf(entry));
  const packed = [order?.id, order?.goes_with].some((id) => id && known.view.parcelsOf(id).length > 0);
  return entry.prior.find(({ table }) => table === "order")?.state ?? (packed ? "packed" : "promised");
}

/** @param {string} order @returns {Row[]} */
function freed(order) {
  return known.view
    .linesOf(order)
    .filter((line) => known.view.sure(line) !== 0)
    .map((line) => reservation(order, line, -known.view.sure(line)));
}

/**
 * An order let go by mistake stands again under its number: what this device's share covers is sure, the rest waits.
 * @param {Entry} entry
 * @returns {Inverse}
 */
function takenAgain(entry) {
  const order = orderIdOf(entry);
  const state = entry.prior.find((row) => row.table === "order")?.state === "packed" ? "packed" : "promised";
  /** @type {Units} */
  const spent = {};
  const rows = [orderBack(entry, "let_go", state)];
  for (const line of known.view.linesOf(order)) {
    const missing = line.units - known.view.sure(line) - known.view.handed(line);
    const units = Math.min(missing, shareOf(line.good) - (spent[line.good] ?? 0));
    if (units <= 0) continue;
    spent[line.good] = (spent[line.good] ?? 0) + units;
    rows.push(reservation(order, line, units));
  }
  return { rows, spent };
}

/**
 * An amendment set back, unless somebody changed the same since.
 * @param {Entry} entry
 * @returns {Inverse}
 */
function asBefore(entry) {
  const { prior } = entry;
  const order = orderIdOf(entry);
  const changed = { ...entry, operation: { ...entry.operation, rows: rowsOf(entry, "order") } };
  const touched = rowsOf(entry, "line");
  if (rowsOf(entry, "order").some((row) => "goes_with" in row)) orderNow(order, ["promised"]);
  for (const row of touched) {
    if (known.view.lines.get(row.id)?.units !== row.units)
      throw badDraft("lines", "The order was changed since.", "Look at it as it is now.");
  }
  const before = new Map(touched.map((row) => [row.id, prior.find((old) => old.id === row.id)?.units ?? 0]));
  const wanted =
    known.view
      .grouped("line")
      .get(order)
      ?.map(({ id, good, units, price_cents }) => ({ good, price_cents, units: before.get(id) ?? units })) ?? [];
  const way = known.view.orders.get(order)?.way ?? "post";
  const lines = touched.length ? lineRows(order, wanted, new Map(), way) : { rows: [], spent: {} };
  return { rows: [...setBack(changed).rows, ...lines.rows], spent: lines.spent };
}

/** @param {Entry} entry the same movements with the other sign, so that every sum reads as if it had not been made @returns {Row[]} */
function movedBack(entry) {
  return rowsOf(entry, "movement").map((row) => ({ ...row, id: newId(), units: -row.units, undoes: row.id }));
}

/** @param {Entry} entry @returns {Row[]} */
function paidBack(entry) {
  return rowsOf(entry, "payment").map(({ given_cents, corrects, ...row }) => ({ ...row, ...opposite(row) }));
}

/** The same again, each naming the one that it undoes. @param {Entry} entry @param {Row["table"]} table @returns {Row[]} */
const named = (entry, table) => rowsOf(entry, table).map((row) => ({ ...row, id: newId(), undoes: row.id }));

/** @param {Partial<Row>} row */
const opposite = ({ cents }) => ({ id: newId(), cents: -cents, note: "undone" });

/**
 * Puts the fields it changed back, if they still say what it said; what was new is hidden, or empty if it is a setting.
 * @param {Entry} entry
 * @returns {Inverse}
 */
function setBack({ operation, prior }) {
  return {
    rows: operation.rows.map((row) => {
      const { table, id } = row;
      const before = prior.find((old) => old.table === table && old.id === id);
      if (!before && table !== "setting") return { table, id, hidden: true };
      const names = Object.keys(row).filter((name) => !["table", "id", "was"].includes(name));
      const old = (/** @type {string} */ name) => before?.[name] ?? DEFAULTS[table]?.[name] ?? null; // a row from before that field was known has none
      return {
        table,
        id,
        ...Object.fromEntries(names.map((name) => [name, old(name)])),
        was: Object.fromEntries(names.map((name) => [name, row[name]])),
      };
    }),
  };
}
