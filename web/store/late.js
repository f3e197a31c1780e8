/**
 * @file What this device wrote that the house no longer takes from it in the ordinary way: after it was declared lost, and under a name
 * it no longer has. The house keeps these entries apart and a keeper settles them; here they stay, and need nothing more.
 */

import { read, write } from "./database.js";
import { knockJson } from "./doors.js";
import { known } from "./known.js";

/** @typedef {import('./shapes.d.ts').Entry} Entry */

const AT_ONCE = 200;
const WHY = "The main computer keeps it apart.";
const REMEDY = "An owner settles it: Settings, late entries.";

/** Not yet handed in under the new name. */
export const EARLIER = /** @type {const} */ ("earlier");

/**
 * Marks entries that the house has kept apart.
 * @param {string[]} ids
 */
export async function keptApart(ids) {
  const entries = await write(["log"], async (tx) => {
    const log = tx.objectStore("log");
    const found = /** @type {Entry[]} */ ((await Promise.all(ids.map((id) => log.index("by_id").get(id)))).filter(Boolean));
    const marked = found.map((entry) => /** @type {Entry} */ ({ ...entry, state: "kept_apart", why: WHY, remedy: REMEDY }));
    await Promise.all(marked.map((entry) => log.put(entry)));
    return marked;
  });
  entries.forEach((entry) => known.entries.set(entry.id, entry));
}

/**
 * Hands in what was written under earlier names, page by page. What fails is handed in the next time the house is in reach.
 * @param {string} token
 */
export async function handIn(token) {
  for (;;) {
    const entries = /** @type {Entry[]} */ (await read(["log"], (tx) => tx.objectStore("log").index("by_state").getAll(EARLIER, AT_ONCE)));
    if (entries.length === 0) return;
    await knockJson("/api/late", { body: { operations: entries.map((entry) => entry.operation) }, token });
    await keptApart(entries.map((entry) => entry.id));
  }
}
