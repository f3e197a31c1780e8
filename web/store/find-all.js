/** @file Anything by a few letters: people as the Counter finds them, order numbers, lots, tracking numbers, and words of notes. */

import { find, fold } from "./find.js";
import { known } from "./known.js";
import { byNumber, compare, lotsLatestFirst } from "./sorting.js";

/** @typedef {{kind: 'person'|'order'|'lot', id: string, words: string, more: string}} Hit */

const MOST_OF_A_KIND = 5;
const LETTERS_LEAST = 2;
/** What a picture on our own papers says: which order or lot, and nothing of anybody. */
export const CODE = /^HONEYHOLD:(ORDER|LOT):([A-Za-z0-9][A-Za-z0-9._:-]{0,63})$/;

/** A code of our own papers, whatever it names. @param {string} code */
export const isOurs = (code) => code.trim().startsWith("HONEYHOLD:");

/**
 * @param {string} text
 * @returns {Hit[]} what is called just so, people, then orders, lots, and whatever has it in a note
 */
export function findAll(text) {
  const wanted = plain(text);
  if (!wanted) return [];
  const people = find(text, { most: MOST_OF_A_KIND }).map(({ person }) => personHit(known.view.people.get(person.id)?.id ?? person.id));
  const hits = [
    ...named(wanted),
    ...people,
    ...orders(wanted),
    ...lots(wanted),
    ...(wanted.length >= LETTERS_LEAST ? notes(fold(text.trim()).folded) : []),
  ];
  return [...new Map(hits.map((hit) => [`${hit.kind} ${hit.id}`, hit])).values()];
}

/**
 * What was scanned: an order or a lot of a paper of ours, or else what the words of it find.
 * @param {string} text
 * @returns {Hit[]}
 */
export function findScanned(text) {
  const [, kind, id] = CODE.exec(text.trim()) ?? [];
  if (!kind) return findAll(text);
  if (kind === "ORDER") return known.view.orders.has(id) ? [orderHit(id)] : [];
  return known.view.lots.has(id) ? [lotHit(id)] : [];
}

/** What is called just so: nobody means anything else by it. @param {string} wanted @returns {Hit[]} */
const named = (wanted) => [
  ...[...known.view.orders.values()].filter(({ number }) => plain(number) === wanted).map(({ id }) => orderHit(id)),
  ...[...known.view.lots.keys()].filter((id) => plain(id) === wanted).map(lotHit),
];

/** Letters and figures alone: "a14" finds A-14. @param {string} text */
const plain = (text) => fold(text).folded.replace(/[^a-z0-9]/g, "");

/** @param {string} wanted @returns {Hit[]} */
function orders(wanted) {
  const numbers = [...known.view.orders.values()].filter(({ number }) => plain(number).startsWith(wanted));
  const tracked = [...known.view.parcels.values()].filter(({ tracking = "" }) => tracking && plain(tracking).includes(wanted));
  return [...numbers.sort(latestFirst).map(({ id }) => id), ...tracked.map(({ order }) => order)].slice(0, MOST_OF_A_KIND).map(orderHit);
}

/** @param {string} wanted @returns {Hit[]} */
const lots = (wanted) =>
  [...known.view.lots.values()]
    .filter(({ id }) => plain(id).includes(wanted))
    .sort(lotsLatestFirst)
    .slice(0, MOST_OF_A_KIND)
    .map(({ id }) => lotHit(id));

/** Every word of it in one note. @param {string} text @returns {Hit[]} */
function notes(text) {
  const words = text.split(/\s+/).filter(Boolean);
  const has = (/** @type {string | undefined} */ note) => note && words.every((word) => fold(note).folded.includes(word));
  const { people, orders: all, lots: batches } = known.view;
  return [
    ...[...people.values()].filter(({ note, hidden }) => !hidden && has(note)).map(({ id }) => personHit(people.get(id)?.id ?? id)),
    ...[...all.values()]
      .filter(({ note, gift_note, to_name }) => has(note) || has(gift_note) || has(to_name))
      .sort(latestFirst)
      .map(({ id }) => orderHit(id)),
    ...[...batches.values()].filter(({ note }) => has(note)).map(({ id }) => lotHit(id)),
  ].slice(0, MOST_OF_A_KIND * 2);
}

/** @param {import('./shapes.d.ts').Order} a @param {import('./shapes.d.ts').Order} b */
const latestFirst = (a, b) => compare(b.taken_on, a.taken_on) || byNumber(b, a);

/** @param {string} id @returns {Hit} */
function personHit(id) {
  const person = known.view.people.get(id);
  return { kind: "person", id, words: person?.name || person?.phone || "", more: [person?.city, person?.note].filter(Boolean).join(" · ") };
}

/** @param {string} id @returns {Hit} */
function orderHit(id) {
  const order = known.view.orders.get(id);
  const who = known.view.people.get(order?.person ?? "")?.name ?? "";
  return { kind: "order", id, words: `order ${order?.number ?? ""}`, more: [who, order?.note].filter(Boolean).join(" · ") };
}

/** @param {string} id @returns {Hit} */
function lotHit(id) {
  const lot = known.view.lots.get(id);
  const good = known.view.goods.get(lot?.good ?? "");
  return { kind: "lot", id, words: `lot ${id}`, more: [good?.plural || good?.name, lot?.note].filter(Boolean).join(" · ") };
}
