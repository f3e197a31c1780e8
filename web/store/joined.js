/** @file People who are one: each keeps its own row, and whoever asks for one of them gets the one whom they all are. */

/** @typedef {import('./shapes.d.ts').Person} Person */

/** The people of a board, by id. */
export class People {
  /** @param {Map<string, Person>} rows */
  constructor(rows) {
    this.rows = rows;
  }

  /** The person whom this one is in the end. @param {string} id @returns {Person | undefined} */
  get(id) {
    let row = this.rows.get(id);
    for (let steps = this.rows.size; row?.same_as && steps > 0; steps -= 1) row = this.rows.get(row.same_as) ?? { ...row, same_as: null };
    return row;
  }

  /** Every row, joined ones too. */
  values() {
    return this.rows.values();
  }

  get size() {
    return this.rows.size;
  }

  /** Whether two ids name one person. @param {string | null} one @param {string | null} other */
  same(one, other) {
    return one === other || (one !== null && other !== null && this.get(one)?.id === this.get(other)?.id && this.rows.has(one));
  }

  /** The others who were joined to a person. @param {string} id @returns {Person[]} */
  joinedTo(id) {
    return [...this.rows.values()].filter((row) => row.same_as && row.id !== id && this.get(row.id)?.id === id);
  }
}
