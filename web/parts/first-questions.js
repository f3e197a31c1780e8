/**
 * The first questions of a new honey house: which there are, which are answered, where to go on. What is answered is read from the
 * records themselves; only what was passed over, and that the walk is over, is kept in the setting `first_questions`:
 * `{by: the device that began, told: {question: "answered" | "skipped"}, done}`. So any other device sees the same.
 */
import { listed, money } from "./words.js";
import { placeOf } from "./route.js";
import { setHouse } from "../store/acts.js";
import { canonical } from "../store/canonical.js";
import { house } from "../store/house.js";

/** @import { Good } from "../store/shapes.d.ts" */
/** @import { View } from "../store/view.js" */

export const SETTING = "first_questions";
const NAMED = 3;

/** What callers can have by the piece, in the order of the screens. @param {View} view */
export const goodsAsked = (view) =>
  [...view.goods.values()]
    .filter((good) => good.sold && !good.hidden && good.kind !== "carton" && good.unit !== "g")
    .sort((a, b) => a.rank - b.rank);

/** The bar that is poured into molds by the row. @param {View} view */
export const moldedBar = (view) => goodsAsked(view).find(({ kind, row }) => kind === "wax" && row >= 10);

/** The cartons owned here. @param {View} view */
export const cartonsAsked = (view) =>
  [...view.goods.values()]
    .filter((good) => good.kind === "carton" && !good.hidden && !(view.cartons.get(good.id)?.hidden ?? true))
    .sort((a, b) => a.rank - b.rank);

/** @param {string[]} words */
const named = (words) => (words.length > NAMED ? `${words.slice(0, NAMED).join(", ")} and ${words.length - NAMED} more` : listed(words));
/** @param {Good[]} goods @param {View} view */
const counted = (goods, view) =>
  named(goods.filter(({ id }) => view.onHand(id) > 0).map((good) => `${good.short || good.plural || good.name} ${view.onHand(good.id)}`));

/**
 * `told` gives the answer in words, empty while there is none; `parts` are asked one by one, and `has` says whether one of them has its answer.
 * @typedef {{id: string, words: string, told: (view: View) => string, needed?: (view: View) => boolean, parts?: (view: View) => string[],
 *   has?: (view: View, part: string) => boolean}} FirstQuestion
 */

/** In the order they are asked. @type {FirstQuestion[]} */
export const QUESTIONS = [
  {
    id: "name",
    words: "your name and ZIP",
    told: (view) => [view.setting("name", ""), view.setting("zip", "")].filter(Boolean).join(", "),
  },
  { id: "goods", words: "what you sell", told: (view) => named(goodsAsked(view).map((good) => good.plural || good.name)) },
  {
    id: "prices",
    words: "what each costs",
    needed: (view) => goodsAsked(view).length > 0,
    parts: (view) => goodsAsked(view).map(({ id }) => id),
    has: (view, part) => (view.goods.get(part)?.price_cents ?? 0) > 0,
    told: (view) =>
      goodsAsked(view).every((good) => good.price_cents > 0)
        ? named(goodsAsked(view).map((good) => `${good.short || good.name} ${money(good.price_cents)}`))
        : "",
  },
  {
    id: "shelf",
    words: "what is on the shelf",
    needed: (view) => goodsAsked(view).length > 0,
    parts: (view) => goodsAsked(view).map(({ id }) => id),
    has: (view, part) => view.onHand(part) > 0,
    told: (view) => counted(goodsAsked(view), view),
  },
  {
    id: "cartons",
    words: "the cartons you have",
    parts: (view) => ["", ...cartonsAsked(view).map(({ id }) => id)],
    has: (view, part) => (part ? view.onHand(part) > 0 : cartonsAsked(view).length > 0),
    told: (view) => named(cartonsAsked(view).map(({ id }) => `${Math.max(0, view.onHand(id))} of ${view.cartons.get(id)?.name ?? id}`)),
  },
  {
    id: "molds",
    words: "your molds",
    needed: (view) => Boolean(moldedBar(view)),
    told: (view) => {
      const sets = view.setting("mould_sets", 0);
      return sets ? `molds for ${sets * (moldedBar(view)?.row ?? 10)} bars` : "";
    },
  },
  {
    id: "honey",
    words: "may honey be mailed",
    needed: (view) => goodsAsked(view).some(({ kind }) => kind === "honey"),
    told: (view) => (view.setting("posting_honey_asked", null) === true ? "yes, you asked your state" : ""),
  },
  {
    id: "help",
    words: "who helps",
    told: (view) =>
      named([...view.devices.values()].filter(({ id, lost }) => !lost && id !== house.status.device?.id).map(({ name }) => name)),
  },
];

/** @param {View} view */
const kept = (view) => view.setting(SETTING, null) ?? {};

/** The questions of this house: those about honey or molds only where there is any. @param {View} view */
export const questionsHere = (view) => QUESTIONS.filter(({ needed }) => !needed || needed(view));

/**
 * How many there are, and the how-maniest this is. Before anything is sold nobody knows which will fall away: then all count.
 * @param {string} id
 * @param {View} view
 */
export function numberOf(id, view) {
  const asked = goodsAsked(view).length ? questionsHere(view) : QUESTIONS;
  return { number: 1 + asked.findIndex((question) => question.id === id), of: asked.length };
}

/** @param {FirstQuestion} question @param {View} view @returns {"answered" | "skipped" | "open"} */
export function stateOf(question, view) {
  const told = kept(view).told?.[question.id];
  const has = question.parts ? question.parts(view).every((part) => question.has?.(view, part)) : Boolean(question.told(view));
  return has || told === "answered" ? "answered" : told === "skipped" ? "skipped" : "open";
}

/** Every screen of the walk as `[question, part]`, in order. @param {View} view @returns {[string, string][]} */
export const screensOf = (view) =>
  questionsHere(view).flatMap(({ id, parts }) =>
    parts ? parts(view).map((part) => /** @type {[string, string]} */ ([id, part])) : [/** @type {[string, string]} */ ([id, ""])],
  );

/** @param {string[]} screen @returns {string} its address */
export const screenPlace = ([question, part]) => placeOf("settings", "first", question, ...(part ? [part] : []));

/** The first question nobody answered or passed over; null when there is none. @param {View} view */
export const firstOpen = (view) => questionsHere(view).find((question) => stateOf(question, view) === "open") ?? null;

/** Whether the walk came to its end once. @param {View} view */
export const isOver = (view) => Boolean(kept(view).done);

/** How many of the questions have no answer yet, passed over or not. @param {View} view */
export const leftToAnswer = (view) => questionsHere(view).filter((question) => stateOf(question, view) !== "answered").length;

/** Where the walk goes on. @param {View} view @returns {string} an address */
export function walkPlace(view) {
  const open = firstOpen(view);
  if (!open) return placeOf("settings", "first");
  const parts = open.parts?.(view) ?? [""];
  return screenPlace([open.id, parts.find((part) => open.has && !open.has(view, part)) ?? parts[0]]);
}

/** Whether this is an owner's device. */
export const isOwner = () => house.status.device?.role === "keeper";

/**
 * Whether this device should ask: an owner's, of a house that has nothing to sell yet or where this device began and did not end. Not before
 * the records were heard once (then at least this device itself is among them).
 * @param {View} view
 */
export function walkDue(view) {
  const { by, done } = kept(view);
  if (!isOwner() || done || !view.devices.size) return false;
  if (by) return by === house.status.device?.id;
  return !view.goods.size && !view.orders.size;
}

/**
 * The setting with one more question told, or with the walk at its end.
 * @param {View} view
 * @param {string | null} id
 * @param {string} how
 */
export function withTold(view, id, how, done = false) {
  const before = kept(view);
  const told = id ? { ...before.told, [id]: how } : { ...before.told };
  return { by: before.by ?? house.status.device?.id ?? "", told, done: Boolean(before.done || done) };
}

/** Writes it; what says nothing new is not written. @param {string | null} id @param {string} how */
export async function tell(id, how, done = false) {
  const { view } = house;
  const value = withTold(view, id, how, done);
  if (canonical(value) !== canonical(kept(view))) await setHouse(SETTING, value);
}
