/** @file People by any digits of their number or letters of their name: a plain look through all of them, fast enough for thousands. */

import { known } from "./known.js";

/** @typedef {import('./shapes.d.ts').Person} Person */
/** @typedef {{person: Person, by: 'number'|'name', from: number, to: number}} Found */
/** @typedef {{digits: string, folded: string, places: number[] | null}} Folded */
/** @typedef {{person: Person, rank: number}} Ranked */

const WORST = 99;
const FOLD_AT_ONCE = 250;
/** Letters that stand where they stood when folded: thousands of names must be ready at the first key. */
const PLAIN = /^\p{ASCII}*$/u;

/** Rows are never changed in place, so what was folded once stays right. @type {WeakMap<Person, Folded>} */
const folds = new WeakMap();

/**
 * @param {string} text
 * @param {{most?: number}} [options]
 * @returns {Found[]} best first
 */
export function find(text, { most = 8 } = {}) {
  const digits = text.replace(/\D/g, "");
  const words = fold(text.replace(/[\d()+\-.]/g, " "))
    .folded.split(/\s+/)
    .filter(Boolean);
  if (!digits && words.length === 0) return [];
  /** The best so far, in order; nearly everybody is worse than the last of them. @type {Ranked[]} */
  const best = [];
  for (const person of known.view.people.values()) {
    if (person.hidden) continue;
    const found = { person, rank: rankOf(foldedOf(person), digits, words) };
    if (found.rank === WORST || (best.length === most && !before(found, best[most - 1]))) continue;
    best.splice(best.findIndex((other) => before(found, other)) >>> 0, 0, found);
    if (best.length > most) best.pop();
  }
  const shown = best.filter(
    ({ person }) => !best.some((other) => other.person !== person && other.person.id === known.view.people.get(person.id)?.id),
  );
  return shown.map(({ person }) => marked(person, digits, words));
}

/**
 * @param {Ranked} a
 * @param {Ranked} b
 */
function before(a, b) {
  return a.rank < b.rank || (a.rank === b.rank && a.person.name < b.person.name);
}

/**
 * 0 is best. Digits: the last four, then the rest of the number. Letters: the start of the name, of another word, then anywhere.
 * @param {Folded} folded
 * @param {string} digits
 * @param {string[]} words
 */
function rankOf({ digits: number, folded }, digits, words) {
  let rank = 0;
  if (digits) {
    const at = number.lastIndexOf(digits);
    if (at < 0) return WORST;
    rank += at >= number.length - 4 ? 0 : at === number.length - digits.length ? 0 : 1;
  }
  for (const word of words) {
    const at = folded.indexOf(word);
    if (at < 0) return WORST;
    rank += at === 0 ? 0 : folded.includes(` ${word}`) ? 1 : 3;
  }
  return rank;
}

/**
 * @param {Person} person
 * @param {string} digits
 * @param {string[]} words
 * @returns {Found}
 */
function marked(person, digits, words) {
  const folded = foldedOf(person);
  if (words.length === 0) {
    const at = folded.digits.lastIndexOf(digits);
    const from = placeOfDigit(person.phone, at);
    return { person, by: "number", from, to: placeOfDigit(person.phone, at + digits.length - 1) + 1 };
  }
  const [word] = words;
  const start = folded.folded.indexOf(` ${word}`);
  const at = folded.folded.startsWith(word) ? 0 : start >= 0 ? start + 1 : folded.folded.indexOf(word);
  const placeOf = (/** @type {number} */ letter) => folded.places?.[letter] ?? letter;
  return { person, by: "name", from: placeOf(at), to: placeOf(at + word.length - 1) + 1 };
}

/**
 * Folds everybody a few hundred at a time while nothing else is to be done, so that the first key answers as quickly as the second.
 * @param {Person[]} [people]
 */
export function foldWhenIdle(people = [...known.view.people.values()]) {
  const later = globalThis.requestIdleCallback ?? ((/** @type {() => void} */ work) => setTimeout(work, 50));
  later(() => {
    people.splice(0, FOLD_AT_ONCE).forEach(foldedOf);
    if (people.length) foldWhenIdle(people);
  });
}

/** @param {Person} person */
function foldedOf(person) {
  let made = folds.get(person);
  if (!made) {
    made = { ...fold(person.name), digits: person.phone.replace(/\D/g, "") };
    folds.set(person, made);
  }
  return made;
}

/**
 * Lower case without accents, with the place each letter came from (null: where it stands).
 * @param {string} text
 */
export function fold(text) {
  if (PLAIN.test(text)) return { folded: text.toLowerCase(), places: null };
  let folded = "";
  /** @type {number[]} */
  const places = [];
  for (let i = 0; i < text.length; i += 1) {
    const plain = text[i].normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
    folded += plain;
    for (let k = 0; k < plain.length; k += 1) places.push(i);
  }
  return { folded, places };
}

/**
 * @param {string} phone
 * @param {number} nth which digit
 */
function placeOfDigit(phone, nth) {
  let seen = -1;
  for (let i = 0; i < phone.length; i += 1) {
    if (phone[i] >= "0" && phone[i] <= "9") seen += 1;
    if (seen === nth) return i;
  }
  return phone.length;
}
