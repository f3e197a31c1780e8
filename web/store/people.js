/** @file People brought in from a list: all of them are written down, or none. */

import { known } from "./known.js";
import { appendAll } from "./log.js";
import { badDraft } from "./trouble.js";
import { clean } from "./words.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Person} Person */

const PEOPLE_OF_AN_ENTRY = 200;
const TEXTS = /** @type {const} */ (["name", "phone", "street", "unit", "city", "state", "zip", "note"]);

/**
 * Their ids follow from what the list says of them: who is here already, hidden or not, is not written twice.
 * @param {Person[]} people as the dry run gave them
 * @returns {Promise<{people: string[]}>} the ids of those written, to be taken back
 */
export async function bringPeople(people) {
  const once = [...new Map(people.map((person) => [person.id, person])).values()];
  const fresh = () => once.filter(({ id }) => known.view.people.get(id)?.hidden !== false);
  if (fresh().length === 0) throw badDraft("people", "Everybody of this list is in your book already.", "There is nothing to write down.");
  const entries = await appendAll(() => {
    /** @type {Row[]} */
    const rows = fresh().map((person) => ({
      table: "person",
      id: person.id,
      hidden: false,
      ...Object.fromEntries(TEXTS.map((field) => [field, clean(person[field], field === "note" ? 2000 : 200)])),
    }));
    const parts = Math.ceil(rows.length / PEOPLE_OF_AN_ENTRY);
    return Array.from({ length: parts }, (_, part) => ({
      kind: "note_people",
      rows: rows.slice(part * PEOPLE_OF_AN_ENTRY, (part + 1) * PEOPLE_OF_AN_ENTRY),
    }));
  });
  return { people: entries.flatMap(({ operation }) => operation.rows.map(({ id }) => id)) };
}

/**
 * A list brought in by mistake: its people are hidden again, all of them or none.
 * @param {string[]} ids
 */
export async function takeBackPeople(ids) {
  const parts = Math.ceil(ids.length / PEOPLE_OF_AN_ENTRY);
  await appendAll(() =>
    Array.from({ length: parts }, (_, part) => ({
      kind: "note_people",
      rows: ids
        .slice(part * PEOPLE_OF_AN_ENTRY, (part + 1) * PEOPLE_OF_AN_ENTRY)
        .map((id) => /** @type {Row} */ ({ table: "person", id, hidden: true })),
    })),
  );
}
