/**
 * @file Each function that was called in a play is asked once more when it is over, with what it was really given, then with one thing in it
 * otherwise (`bent.mjs`): a digest each of what it answered, what it left in what it was handed, and whatever came of it.
 */

import { createHash } from "node:crypto";
import { register } from "node:module";
import { pathToFileURL } from "node:url";
import { inWords, plain, troubled } from "../every_call/told.mjs";
import { isPlain, put, ways } from "./bent.mjs";
import { effects, effectsSince } from "./effects.mjs";
import { givenUp, isQuiet, module, printed, WEB } from "./page.mjs";

/** So many of its calls are asked of those that are not alike: how often a screen is drawn, and when, hangs on how busy the machine is. */
const CALLS_MOST = 5;
const KEPT_MOST = 24;
const LOOKED_AT_MOST = 300;
const ALIKE_DEEP = 5;
const ASKED_MOST = 40;
const ASKED_LATE = 12;
const ASKED_WRITING = 6;
const TURNS_MOST = 12;
const LATER_MS = 3_000;
const OUT_MOST = 80;
/** What writes may think a little between one thing and the next. */
const QUIET_TURNS = 5;
const LOOPS_MOST = 20_000;
const COPIED_DEEP = 5;
/** `inWords` begins so deep: it goes down to seven. */
const HELD_DEEP = 4;
const ANSWER_DEEP = -4;
const DIGEST_LONG = 8;
/** They have the whole page, are asked by whoever is asked, or are called when so much time has gone by. */
const NOT_ASKED = /for setInterval$|^store\/(database|turn|begin)\.js|^kernel\/worker|^parts\/(again|resting)\.js/;

/** @typedef {{again: Function, on: any, given: any[], alike: string}} Kept */
/** By the function's name. @type {Map<string, {calls: number, kept: Kept[], said: Set<string>}>} */
const called = new Map();
/** @type {Record<string, [number[], string[]]>} */
const bounds = {};
let loops = 0;
/** Whether the device is being put back as it was: that is no part of what is asked. */
let isPutBack = false;

/** What was called at all. */
export const wasCalled = () => [...called.keys()].filter((name) => !NOT_ASKED.test(name)).sort();

/** From now on the app's modules are read in so that they tell of their calls. @param {string} folder where they are kept for the next play */
export function listen(folder) {
  globalThis.askedOnceMore = {
    bounds: (found) => Object.assign(bounds, found),
    called: heard,
    made: (name, does) =>
      function (...given) {
        globalThis.askedOnceMore.called?.(name, does, this, given);
        return does.apply(this, given);
      },
    turn: () => {
      if ((loops += 1) > LOOPS_MOST && !globalThis.askedOnceMore.called) throw new RangeError("without an end");
    },
  };
  register(new URL("./telling.mjs", import.meta.url), { data: { web: WEB, folder } });
}

/** @param {string} name @param {Function} again @param {any} on @param {ArrayLike<any>} given */
function heard(name, again, on, given) {
  let one = called.get(name);
  if (!one) called.set(name, (one = { calls: 0, kept: [], said: new Set() }));
  if (one.kept.length >= KEPT_MOST || (one.calls += 1) > LOOKED_AT_MOST || NOT_ASKED.test(name)) return;
  if ([...given].some((each) => typeof each?.next === "function")) return; // whoever reads it takes it from the one it is for
  const alike = inWords([...given, ...namesOf(on).map((property) => on[property])], ALIKE_DEEP);
  if (one.said.has(alike)) return;
  one.said.add(alike);
  one.kept.push({ again, on, given: copied([...given]), alike });
}

/** The properties of an element of ours. @param {any} on @returns {string[]} */
const namesOf = (on) => [...(on?.constructor?.elementProperties?.keys() ?? [])];

/** What may be changed on the spot, once more. @param {any} value @param {number} [deep] @returns {any} */
function copied(value, deep = 0) {
  if (deep > COPIED_DEEP || Object(value) !== value) return value;
  if (Array.isArray(value) && !value.raw) return value.map((one) => copied(one, deep + 1));
  if (value instanceof Map) return new Map(value);
  if (value instanceof Set) return new Set(value);
  return isPlain(value) ? Object.fromEntries(Object.entries(value).map(([name, one]) => [name, copied(one, deep + 1)])) : value;
}

/**
 * Asks all of them. @param {{known: any, first: Set<string>, back: () => Promise<void>, whole: string, only: string[] | null}} how `back`: puts the device back
 * @returns {Promise<Record<string, any>>} by the function's name how often it was asked and a digest; of one, all that came of it
 */
export async function onceMore(how) {
  globalThis.askedOnceMore.called = undefined;
  for (const what of ["uncaughtException", "unhandledRejection"])
    process.removeAllListeners(what).on(what, (error) => effects.push(`nobody caught ${troubled(error)}`));
  Object.defineProperty(globalThis, "performance", { value: { now: () => 0 }, configurable: true });
  const timers = standing();
  const { listeners } = await module("store/status.js");
  listeners.clear();
  for (let turn = 0; turn < TURNS_MOST; turn += 1) await turned(timers); // what the play left behind
  timers.splice(0);
  const told = {};
  for (const name of [...called.keys()].sort()) {
    if (how.only && !how.only.includes(name)) continue;
    const lines = plain(await asked(name, some(called.get(name).kept), how, timers, listeners));
    if (lines.length) told[name] = how.whole === name ? lines : `${lines.length} ${hash(lines.join("\n"))}`;
  }
  return told;
}

/** Some of its calls, the same ones each time. @param {Kept[]} kept */
const some = (kept) =>
  evenly(
    kept.toSorted((a, b) => Number(a.alike > b.alike) - Number(a.alike < b.alike)),
    CALLS_MOST,
  );

/** @param {string} name @param {Kept[]} kept */
async function asked(name, kept, how, timers, listeners) {
  const lines = [];
  for (const { again, on, given } of kept) {
    const each = Math.ceil(ASKED_MOST / kept.length);
    const all = [...ways(given, bounds[name]), ...waysOf(on, bounds[name])];
    let most = each;
    let count = 0;
    for (const way of [null, ...evenly(all, each)]) {
      if ((count += 1) > most) break;
      const { said, late, wrote } = await one(again, on, given, way, how, timers, listeners);
      if (late) most = Math.min(most, Math.ceil(ASKED_LATE / kept.length));
      if (wrote) most = Math.min(most, Math.ceil(ASKED_WRITING / kept.length));
      lines.push(how.whole === name ? `${JSON.stringify(way)?.slice(0, 200)} -> ${said}` : said);
    }
  }
  return lines;
}

/** What an element of ours has, with one thing otherwise. @param {any} on @param {[number[], string[]]} known */
function waysOf(on, known) {
  return namesOf(on).flatMap((name) => ways([on[name]], known).map(([[, ...path], other]) => [[name, ...path], other]));
}

/** @param {Function} again @param {any} on @param {any[]} given @param {[any[], any] | null} way */
async function one(again, on, given, way, { known, first, back }, timers, listeners) {
  const names = namesOf(on);
  const had = names.map((name) => on[name]);
  const handed = copied(given);
  let now = handed;
  if (way && typeof way[0][0] === "number") now = put(handed, ...way);
  else if (way) on[way[0][0]] = put(copied(on[way[0][0]]), way[0].slice(1), way[1]);
  const held = holding(now);
  listeners.clear(); // what works in the background, in its own time, is no part of it
  effectsSince();
  loops = 0;
  let said = "";
  let late = false;
  try {
    const answer = again.apply(on, now);
    if (typeof answer?.then === "function") {
      late = true;
      answer.then(
        (value) => (said = inWords(value, ANSWER_DEEP) || "nothing"),
        (error) => (said = troubled(error)),
      );
      for (let turn = 0; turn < TURNS_MOST && !said; turn += 1) await turned(timers);
      said ||= "waits";
    } else said = inWords(typeof answer?.next === "function" ? [...answer] : answer, ANSWER_DEEP);
  } catch (error) {
    said = troubled(error);
  }
  for (let turn = 0; turn < 3 && (turn === 0 || timers.length || !isQuiet()); turn += 1) await turned(timers);
  timers.splice(0);
  const own = names.map((name, at) => (on[name] === had[at] ? "" : `${name}: ${inWords(on[name])}`)).filter(Boolean);
  names.forEach((name, at) => {
    if (on[name] !== had[at]) on[name] = had[at];
  });
  const left = holding(now);
  const fresh = [...known.entries.values()]
    .filter(({ id }) => !first.has(id))
    .map(({ operation: { kind, spent, rows } }) => `${kind} ${inWords([spent, rows])}`);
  const wrote = fresh.length > 0;
  const came = [said, ...(left === held ? [] : [`left ${left}`]), ...own, ...fresh, ...printed.splice(0), ...effectsSince()];
  if (wrote) {
    isPutBack = true;
    await back();
    isPutBack = false;
  }
  return { said: came.join("\n  "), late, wrote };
}

/** What lies in the lists and objects that are handed over. @param {any[]} given */
const holding = (given) =>
  given
    .map((one) => (Array.isArray(one) || isPlain(one) || one instanceof Map || one instanceof Set ? inWords(one, HELD_DEEP) : ""))
    .join();

/** Whatever waits a moment waits for its turn; what waits again and again waits for good. @returns {Function[]} what waits */
function standing() {
  const waiting = [];
  const { setTimeout: quick } = globalThis;
  globalThis.setTimeout = (work, ms = 0, ...given) => {
    if (isPutBack) return quick(work, ms, ...given);
    if (ms) effects.push(`waits ${ms} ms`);
    return ms < LATER_MS ? waiting.push(() => work(...given)) : 0;
  };
  globalThis.setInterval = (_work, ms) => effects.push(`looks every ${ms} ms`);
  return waiting;
}

/** @param {Function[]} timers */
async function turned(timers) {
  let quiet = 0;
  for (let turn = 0; turn < OUT_MOST && quiet < QUIET_TURNS; turn += 1) {
    await new Promise((later) => setImmediate(later));
    quiet = isQuiet() ? quiet + 1 : 0;
  }
  givenUp();
  for (const work of timers.splice(0)) {
    try {
      work();
    } catch (error) {
      effects.push(troubled(error));
    }
  }
}

/** @template T @param {T[]} all @param {number} most @returns {T[]} */
const evenly = (all, most) =>
  all.length <= most ? all : Array.from({ length: most }, (_, at) => all[Math.floor((at * all.length) / most)]);

/** @param {string} words */
const hash = (words) => createHash("sha256").update(words).digest("hex").slice(0, DIGEST_LONG);
