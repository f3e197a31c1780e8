/** The year's summary: from the main computer when it is in reach, else what this device knows of it. */
import { paperFacts } from "../../parts/papers.js";
import { house } from "../../store/house.js";
import { movedRows } from "../../store/recall.js";

const MONTHS = 12;
const LEFT = ["sold", "gone"];

/** @param {string} year @returns {Promise<[string, Record<string, any>]>} */
export async function yearAsked(year) {
  const sums = await told(year);
  const goods = sums.goods
    .map((/** @type {{good: string}} */ one) => ({ ...one, good: house.view.goods.get(one.good) }))
    .filter((/** @type {{good?: object}} */ { good }) => good)
    .sort((/** @type {any} */ a, /** @type {any} */ b) => a.good.rank - b.good.rank);
  return ["documents.year", { ...paperFacts(), ...sums, goods }];
}

/** @param {string} year @returns {Promise<Record<string, any>>} */
async function told(year) {
  if (house.status.signal === "none") return known(year);
  try {
    return await house.call(`/api/years/${year}`);
  } catch {
    return known(year); // out of reach after all
  }
}

/** What the mirror has: pieces by year, money by day, what was put right. @param {string} year */
function known(year) {
  const { view } = house;
  /** @type {Map<string, number>} */
  const left = new Map();
  for (const { good, reason, year: of, units } of movedRows())
    if (String(of) === year && LEFT.includes(reason)) left.set(good, (left.get(good) ?? 0) - units);
  const months = Array.from({ length: MONTHS }, () => ({ mailed: null, picked_up: null, income_cents: 0 }));
  for (const { on, cents } of view.money()) if (on.startsWith(year)) months[Number(on.slice(5, 7)) - 1].income_cents += cents;
  const free = [...view.orders.values()].filter((order) => order.free_for && order.state !== "let_go" && order.taken_on.startsWith(year));
  const off = [...view.adjustments.values()].filter(({ on }) => on.startsWith(year));
  return {
    year: Number(year),
    partial: true,
    goods: [...left].filter(([, units]) => units).map(([good, units]) => ({ good, units })),
    months,
    replaced: summed(free.map(({ free_for }) => [free_for, 1])).map(([why, count]) => ({ why, count })),
    taken_off: summed(off.map(({ why, cents }) => [why, -cents])).map(([why, cents]) => ({ why, cents })),
  };
}

/** @param {[string, number][]} pairs @returns {[string, number][]} without what comes to nothing */
function summed(pairs) {
  /** @type {Map<string, number>} */
  const sums = new Map();
  for (const [name, amount] of pairs) sums.set(name, (sums.get(name) ?? 0) + amount);
  return [...sums].filter(([, amount]) => amount);
}
