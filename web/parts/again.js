/** @file Posted orders asked again, each morning and when a forecast comes: here on the device, one after the other, with or without signal. */
import { work } from "../kernel/work.js";
import { house } from "../store/house.js";
import { callRequest } from "../store/sureness.js";

/** @import { RecheckAnswer } from "../kernel/answers.d.ts" */
/** @import { Order } from "../store/shapes.d.ts" */

const KEPT = "honeyhold.again";
const PAUSE_MS = 1500; // a caller's own question goes first
const AHEAD_DAYS = 10;
const DAY_MS = 86_400_000;
const HEAT_SETTINGS = [
  "zip",
  "accept_permille",
  "thresholds",
  "dressings",
  "heat_offset",
  "mailbox",
  "hold_allowed",
  "posting_days",
  "leave_hour",
];

/** The work would not look at it. @typedef {{change?: undefined}} Refused */

/** What came of asking, by order. @type {Map<string, {key: string, answer: RecheckAnswer | Refused}>} */
const found = new Map(kept());
/** @type {Set<() => void>} */
const listeners = new Set();
let running = false;

/** @returns {[string, {key: string, answer: RecheckAnswer}][]} */
function kept() {
  try {
    return Object.entries(JSON.parse(localStorage.getItem(KEPT) ?? "{}"));
  } catch {
    return [];
  }
}

/** @param {() => void} fn @returns {() => void} ends it */
export function onAgain(fn) {
  listeners.add(fn);
  look();
  return () => listeners.delete(fn);
}

/** What is to be told of an order, or null. @param {string} order */
export function againOf(order) {
  const { answer, key } = found.get(order) ?? {};
  const row = house.view.orders.get(order);
  return answer && row && key === keyOf(row) ? answer : null;
}

/** All that is to be told now, the first to leave first: a change, or a day for one that waits. */
export const toTell = () =>
  ordersToAsk().flatMap((order) => {
    const answer = againOf(order.id);
    return answer?.change ? [{ order, answer }] : [];
  });

/** Posted orders that leave soon, or that wait for a cool spell. */
function ordersToAsk() {
  const today = house.today();
  const last = new Date(Date.parse(`${today}T00:00:00Z`) + AHEAD_DAYS * DAY_MS).toISOString().slice(0, 10);
  return house.view
    .openOrders()
    .filter(
      (order) =>
        order.way === "post" &&
        !house.view.hostOf(order) &&
        (order.leave_on ? order.leave_on >= today && order.leave_on <= last : order.hold_for_cool),
    );
}

/** The question about an order: its lines whole, whatever of them is sure yet. @param {Order} order */
function requestOf(order) {
  const { view } = house;
  const person = order.person ? view.people.get(order.person) : null;
  const request = callRequest({
    ...order,
    view,
    today: house.today(),
    now: house.now(),
    lines: [order, ...view.ridersOf(order.id)].flatMap(({ id }) => view.linesOf(id)),
    person: view.destination(order),
  });
  return { ...request, who: person?.name ?? "", told: order.told ?? {} };
}

/** What an answer hangs on; the hour of the day alone is no reason to ask again. @param {Order} order */
function keyOf(order) {
  const { goods, cartons, now, forecasts, house: settings, ...rest } = requestOf(order);
  const heat = HEAT_SETTINGS.map((name) => settings[name] ?? null);
  const boxes = cartons.map(({ id, inner, in_stock }) => [id, inner, in_stock > 0]);
  return JSON.stringify([rest, heat, boxes, Object.values(forecasts ?? {}).map(({ id, issued }) => [id, issued])]);
}

/** Asks about the next order that was not asked yet in this form, then about the one after it. */
async function look() {
  if (running || !house.status.started || !listeners.size) return;
  running = true;
  try {
    for (let order = next(); order; order = next()) {
      const key = keyOf(order);
      const answer = await work("quoting.recheck", requestOf(order), { wait_s: 20 }).catch((error) => (error.unknown ? null : {}));
      if (!answer) return; // nobody can work it out now: it is asked again when something changes
      found.set(order.id, { key, answer });
      keep();
      listeners.forEach((fn) => fn());
      await new Promise((done) => {
        setTimeout(done, PAUSE_MS);
      });
    }
  } finally {
    running = false;
  }
}

const next = () => (canAsk() ? ordersToAsk().find((order) => found.get(order.id)?.key !== keyOf(order)) : undefined);
const canAsk = () => house.status.kernel.state === "awake" || house.status.signal !== "none";

function keep() {
  for (const id of found.keys()) if (!house.view.orders.has(id)) found.delete(id);
  try {
    localStorage.setItem(KEPT, JSON.stringify(Object.fromEntries(found)));
  } catch {
    /* asked again after the next start */
  }
}

house.subscribe(() => {
  look();
});
