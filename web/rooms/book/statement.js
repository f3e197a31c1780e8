/** What a person owes, order by order: what `documents.statement` is asked with. */
import { paperFacts } from "../../parts/papers.js";
import { house } from "../../store/house.js";

/** @param {string} id of a person @returns {[string, Record<string, any>]} */
export function statementAsked(id) {
  const { view } = house;
  const orders = view
    .ordersOf(id)
    .map((order) => ({ order, owed_cents: view.owed(order.id) }))
    .filter(({ order, owed_cents }) => owed_cents < 0 || (owed_cents > 0 && order.state !== "let_go"))
    .map(({ order, owed_cents }) => ({
      order,
      owed_cents,
      paid_cents: view.paid(order.id),
      adjusted_cents: view.adjusted(order.id),
      lines: view.linesOf(order.id).map((line) => ({ ...line, good: view.goods.get(line.good) })),
    }));
  return ["documents.statement", { ...paperFacts(), person: view.people.get(id), orders }];
}
