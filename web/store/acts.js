/** @file What can happen in a honey house, one function each: it builds the rows of one operation and resolves once it is durable. */

import { asWasSaid, checkedLines, fromShare, leaving, missing, orderRow, paymentRows, personRows } from "./drafts.js";
import { movements } from "./handing.js";
import { house } from "./house.js";
import { newId } from "./ids.js";
import { heldOf, known, shareFor, today } from "./known.js";
import { reckon } from "./reckon.js";
import { append, appendAll } from "./log.js";
import { partedEntries } from "./parting.js";
import { withPhoneRead } from "./phones.js";
import { alreadyPromised, badDraft, HouseError } from "./trouble.js";
import { inWords } from "./words.js";

export { amend } from "./amending.js";
export {
  addGood,
  addGoods,
  dropPrice,
  goodsKept,
  orderGoods,
  pricesOf,
  setPourSize,
  setPrice,
  setPrices,
  setSold,
  stepsAt,
} from "./goods.js";
export { arrive, handOver, pack, track, trackingLink, weigh } from "./handing.js";
export { buy, count, lotCode, make, noteLot, savePerson, setGood, setHouse, setHouseAll, takeAway } from "./stocking.js";
export { adjust, correct, pay, payAll, till } from "./money.js";
export { joinPeople } from "./joining.js";
export { goWithout } from "./lost-sales.js";
export { sendAgain } from "./again.js";
export { promiseStanding, saveStanding, skipStanding } from "./standing-orders.js";
export { addStages, bottle, extract, pass, pour } from "./making.js";
export { undo, undoable } from "./undo.js";
export { phoneOf, readPhone } from "./phones.js";
export { bringPeople, takeBackPeople } from "./people.js";
export { inWords } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Units} Units */
/** @typedef {import('./shapes.d.ts').Draft} Draft */

/**
 * Takes an order. What the share covers is sure at once; the rest waits.
 * @param {Draft} draft
 * @param {{wait_s?: number}} [options] how long the house may be asked when the share is too small
 * @returns {Promise<{op: string, order: string, number: string, person: string | null, sure: Units, waiting: Units}>}
 */
export async function promise(draft, { wait_s = 1.5 } = {}) {
  const lines = checkedLines(draft.lines);
  if (!draft.person) throw badDraft("person", "Nobody is named.", "Say who it is for.");
  if (draft.way === "walk_in") throw badDraft("way", "A walk-in is sold, not promised.", "Choose by mail or to be picked up.");
  const who = await withPhoneRead(draft.person);
  await askForMissing(lines, wait_s, draft.sentence);
  const ids = {
    order: draft.sentence ?? draft.ids?.order ?? newId(),
    person: newId(),
    lines: draft.ids?.lines ?? lines.map(() => newId()),
    reservations: lines.map(() => newId()),
  };
  const entry = await written(draft, () => {
    if (draft.ids && known.view.orders.has(ids.order)) throw alreadyPromised();
    const { units, spent } = fromShare(lines, draft.sentence);
    asWasSaid(draft.said_sure, spent);
    const person = personRows(who, ids.person);
    const sums = reckon({ ...draft, lines });
    const rows = /** @type {Row[]} */ ([...person.rows, orderRow(draft, ids.order, person.id, sums)]);
    sums.lines.forEach((line, i) => rows.push({ table: "line", id: ids.lines[i], order: ids.order, ...line }));
    lines.forEach(({ good }, i) => {
      if (units[i] > 0) {
        rows.push({ table: "reservation", id: ids.reservations[i], order: ids.order, line: ids.lines[i], good, units: units[i] });
      }
    });
    rows.push(...paymentRows(draft, ids.order, draft.paid_cents ?? 0));
    return { kind: "promise", rows, spent, orders: 1, sentence: draft.sentence };
  });
  const { rows, spent } = entry.operation;
  const { number, person } = /** @type {Row} */ (rows.find((row) => row.table === "order"));
  return { op: entry.id, order: ids.order, number, person, sure: spent, waiting: missing(lines, spent) };
}

/**
 * Asks the house, all goods at once, when the share is too small and the house was in reach a moment ago.
 * @param {{good: string, units: number}[]} lines
 * @param {number} wait_s
 * @param {string} [sentence]
 */
async function askForMissing(lines, wait_s, sentence) {
  if (house.status.signal === "none" || wait_s <= 0) return;
  const wanted = missing(lines, {});
  await Promise.all(
    Object.entries(wanted)
      .filter(([good, units]) => shareFor(good, sentence) < units)
      .map(([good, units]) => house.ask(good, units + heldOf(good, sentence), wait_s)),
  );
}

/**
 * A walk-in: the goods are gone already. More than this device's share is a fact all the same, told as `short`.
 * @param {Draft} draft
 * @returns {Promise<{op: string, order: string, number: string, short: Units}>}
 */
export async function sell(draft) {
  const lines = checkedLines(draft.lines);
  const who = await withPhoneRead(draft.person);
  const ids = { order: draft.sentence ?? newId(), person: newId(), lines: lines.map(() => newId()) };
  const entry = await written(draft, () => {
    const { spent } = fromShare(lines, draft.sentence);
    const person = personRows(who, ids.person);
    if (draft.pays === "later" && !person.id) {
      throw badDraft("person", "Nobody is named who owes it.", "Say who takes it, or take the money now.");
    }
    /** @type {Units} */
    const taken = {};
    const here = { pays: /** @type {const} */ ("cash"), ...draft, lines, way: /** @type {const} */ ("walk_in") };
    const sums = reckon(here);
    const rows = /** @type {Row[]} */ ([
      ...person.rows,
      { ...orderRow(here, ids.order, person.id, sums), state: "gone", gone_on: today() },
    ]);
    sums.lines.forEach((line, i) => rows.push({ table: "line", id: ids.lines[i], order: ids.order, ...line }));
    lines.forEach(({ good, units }, i) => {
      rows.push(...movements(leaving(good, units, undefined, taken), good, "sold", { order: ids.order, line: ids.lines[i] }));
    });
    rows.push(...paymentRows(draft, ids.order, draft.paid_cents ?? (draft.pays === "later" ? 0 : sums.total_cents)));
    return { kind: "sell", rows, spent, orders: 1, sentence: draft.sentence };
  });
  const number = entry.operation.rows.find((row) => row.table === "order")?.number;
  return { op: entry.id, order: ids.order, number, short: missing(lines, entry.operation.spent) };
}

/**
 * Lets an order go: everything reserved for it is free again, and what was to go in its parcel goes alone.
 * @param {string} order
 * @returns {Promise<{op: string, ops: string[], parted: import('./shapes.d.ts').Parted}>} `ops`: all that was written, as it is to be undone
 */
export async function letGo(order) {
  const parted = /** @type {import('./shapes.d.ts').Parted} */ ({ alone: [], left: null });
  const entries = await appendAll(() => {
    const row = orderNow(order, ["promised", "packed"]);
    const riders = known.view.ridersOf(order);
    Object.assign(parted, { alone: riders.map(({ id }) => id), left: known.view.hostOf(row)?.id ?? null });
    const reservations = known.view
      .linesOf(order)
      .filter((line) => known.view.sure(line) !== 0)
      .map((line) => reservation(order, line, -known.view.sure(line)));
    return [{ kind: "let_go", rows: [{ table: "order", id: order, state: "let_go" }, ...reservations] }, ...partedEntries(riders)];
  });
  return { op: entries[0].id, ops: entries.map(({ id }) => id), parted };
}

/**
 * @param {string} id
 * @param {string[]} states
 */
export function orderNow(id, states) {
  const order = known.view.orders.get(id);
  if (!order) throw badDraft("order", `There is no order ${id}.`, "Choose one from the list.");
  if (!states.includes(order.state)) {
    throw badDraft("order", `Order ${order.number} is ${order.state.replace("_", " ")} by now.`, "Look at it again.");
  }
  return order;
}

/**
 * @param {string} order
 * @param {{id: string, good: string}} line
 * @param {number} units
 * @returns {Row}
 */
export function reservation(order, line, units) {
  return { table: "reservation", id: newId(), order, line: line.id, good: line.good, units };
}

/**
 * Writes an order down; when the device cannot, the error carries the order in words.
 * @param {Draft} draft
 * @param {() => import('./log.js').Intent} build
 */
async function written(draft, build) {
  try {
    return await append(build);
  } catch (error) {
    if (error instanceof HouseError && error.kind !== "draft") error.text = inWords(draft);
    throw error;
  }
}
