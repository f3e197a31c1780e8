/** @file What one wants to know of a caller at a glance: open orders, what waits, money, the last time, and what they usually take. Pure. */

/** @typedef {import('./shapes.d.ts').Order} Order */
/** @typedef {import('./shapes.d.ts').Line} Line */
/** @typedef {{good: string, units: number}} Wanted */
/** @typedef {Pick<import('./view.js').View, "ordersOf" | "linesOf" | "waiting" | "owed" | "goods">} Asked */

/**
 * @param {Asked} view
 * @param {string} person
 * @returns {{open: Order[], waiting: Wanted[], owed_cents: number, back_cents: number, last: Order | null, usual: Wanted[] | null}}
 */
export function glanceOf(view, person) {
  const orders = view.ordersOf(person); // the latest first
  const open = orders.filter(({ state }) => state === "promised" || state === "packed");
  const had = orders.filter(({ state, free_for }) => state === "gone" && !free_for);
  const owed = orders.filter(({ state }) => state === "gone").map((order) => view.owed(order.id));
  return {
    open,
    waiting: open
      .flatMap((order) => view.linesOf(order.id).map((line) => ({ good: line.good, units: view.waiting(line.id) })))
      .filter(({ units }) => units > 0),
    owed_cents: owed.reduce((sum, cents) => sum + Math.max(0, cents), 0),
    back_cents: orders.reduce((sum, order) => sum + Math.max(0, -view.owed(order.id)), 0) - aheadOf(view, open),
    last: had[0] ?? null,
    usual: usualOf(view, had),
  };
}

/** What was paid too much of orders that are still open is told with them. @param {Asked} view @param {Order[]} open */
const aheadOf = (view, open) => open.reduce((sum, order) => sum + Math.max(0, -view.owed(order.id)), 0);

/**
 * What they took most often, all of it together; of two the one they took last. Only of what is still sold.
 * @param {Asked} view
 * @param {Order[]} had the latest first
 * @returns {Wanted[] | null}
 */
function usualOf(view, had) {
  /** @type {Map<string, {lines: Wanted[], times: number}>} */
  const sorts = new Map();
  for (const order of had) {
    const lines = view.linesOf(order.id).map(({ good, units }) => ({ good, units }));
    if (!lines.length || !lines.every(({ good }) => sold(view, good))) continue;
    const key = JSON.stringify(lines.map(({ good, units }) => `${good} ${units}`).sort());
    const known = sorts.get(key);
    if (known) known.times += 1;
    else sorts.set(key, { lines, times: 1 });
  }
  const [most] = [...sorts.values()].sort((a, b) => b.times - a.times); // a stable sort: the latest stays first
  return most?.lines ?? null;
}

/** @param {Asked} view @param {string} id */
function sold(view, id) {
  const good = view.goods.get(id);
  return Boolean(good?.sold && !good.hidden);
}
