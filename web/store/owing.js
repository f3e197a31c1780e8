/** @file Who owes for what they have. */

/**
 * What is owed for what was handed over, by the person, the largest sum first; "" stands for orders of nobody.
 * @param {import('./view.js').View} view
 * @returns {[string, number][]}
 */
export function owing(view) {
  /** @type {Map<string, number>} */
  const found = new Map();
  for (const { id, state, person } of view.orders.values()) {
    const cents = state === "gone" ? view.owed(id) : 0;
    const who = person ? (view.people.get(person)?.id ?? person) : "";
    if (cents > 0) found.set(who, (found.get(who) ?? 0) + cents);
  }
  return [...found].sort(([, a], [, b]) => b - a);
}
