/** @file Two people of the book who are one, or two after all: nothing of either is written over. */

import { known } from "./known.js";
import { append } from "./log.js";
import { badDraft } from "./trouble.js";

/** @param {string} id who is not shown by themselves any more @param {string | null} same_as who they are, or null: somebody else after all */
export async function joinPeople(id, same_as) {
  const entry = await append(() => {
    const { rows } = known.view.people;
    const before = rows.get(id)?.same_as ?? null;
    if (!rows.has(id)) throw badDraft("person", "Nobody of that name is on this device.", "Look at the Book again.");
    if (same_as !== null && known.view.people.same(id, same_as)) throw badDraft("person", "They are joined already.", "Nothing to do.");
    if (same_as === before) throw badDraft("person", "They are two already.", "Nothing to do.");
    return { kind: "join_people", rows: [{ table: "person", id, same_as, was: { same_as: before } }] };
  });
  return { op: entry.id };
}
