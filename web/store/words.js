/** @file Text as people say and type it, and an order read back in words. */

import { destinationOf } from "./destination.js";
import { known } from "./known.js";
import { priceSaid } from "./pricing.js";
import { reckon, toldOf } from "./reckon.js";
import { dayShort, money, packedAgainstHeat, phoneSaid } from "./said.js";

/** @typedef {import('./shapes.d.ts').Draft} Draft */

/**
 * Text fit for the log: trimmed, half characters replaced, cut at the contract's longest.
 * @param {unknown} value
 * @param {number} [longest]
 */
export function clean(value, longest = 2000) {
  const text = String(value ?? "")
    .trim()
    .replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, "\ufffd");
  return text.length <= longest ? text : text.slice(0, longest).replace(/[\ud800-\udbff]$/, "");
}

/**
 * The order as plain text, for copying or printing when it could not be written down.
 * @param {Draft} draft
 */
export function inWords(draft) {
  const { view } = known;
  const person = { ...(draft.person?.id ? view.people.get(draft.person.id) : {}), ...draft.person };
  const to = destinationOf(draft, person);
  const where = [
    to.name === (person.name ?? "") ? "" : `for ${to.name}`,
    to.street,
    to.unit,
    [to.city, to.state, to.zip].filter(Boolean).join(" "),
  ];
  const lines = (draft.lines ?? []).map((line) => {
    const { good, units } = line;
    const known_good = view.goods.get(good);
    const name = units === 1 ? known_good?.name : known_good?.plural || known_good?.name;
    return `${units} ${name ?? good} at ${priceSaid(toldOf(line, draft.way ?? "pick_up"))}`;
  });
  const { tax_cents, total_cents } = reckon({ ...draft, lines: draft.lines ?? [] });
  const ways = { post: "by mail", pick_up: "to be picked up", walk_in: "at the counter" };
  return [
    [person.name || "No name", phoneSaid(person.phone)].filter(Boolean).join(", "),
    ...where.filter(Boolean),
    "",
    ...lines,
    "",
    [
      ways[draft.way ?? "pick_up"],
      draft.leave_on ? `${draft.way === "post" ? "leaving" : "on"} ${dayShort(draft.leave_on)}` : "",
      packedAgainstHeat(draft.dressing),
    ]
      .filter(Boolean)
      .join(", "),
    `Pays: ${draft.pays ?? "later"}${draft.paid_cents ? `, paid ${money(draft.paid_cents)}` : ""}` +
      `${draft.posting_cents ? `, mailing ${money(draft.posting_cents)}` : ""}`,
    `Comes to ${money(total_cents)}${tax_cents ? `, ${money(tax_cents)} of it sales tax` : ""}`,
    draft.note ?? "",
    draft.gift_note ?? "",
    draft.heat ?? "",
  ]
    .join("\n")
    .replace(/\n{3,}/g, "\n\n")
    .trim();
}
