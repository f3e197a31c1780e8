/**
 * @file Read by Node before anything else (`--import`): every function of the browser's code that has a name tells what it was given, gave,
 * refused and left behind in what it was handed. What was heard is put into the folder HONEYHOLD_HEARD_IN when the process ends.
 */

import { writeFileSync } from "node:fs";
import { register } from "node:module";
import { inWords } from "./words.mjs";

const DIFFERENT_MOST = 400;
const folder = process.env.HONEYHOLD_HEARD_IN;
const heard = new Map();

/** Thirty-two bits of a text (FNV-1a, 32 bit). @param {string} text */
function summed(text) {
  let sum = 0x811c9dc5;
  for (let at = 0; at < text.length; at++) sum = Math.imul(sum ^ text.charCodeAt(at), 0x01000193);
  return sum >>> 0;
}

/** @param {string} what @param {string} words */
function hold(what, words) {
  const said = heard.get(what) ?? new Set();
  heard.set(what, said);
  if (said.size < DIFFERENT_MOST) said.add(summed(words));
  if (process.env.HONEYHOLD_HEARD_PRINTED === what.split(" ").slice(0, 2).join(" ")) process.stderr.write(`${what} -> ${words}\n`);
}

const words = (/** @type {any[]} */ given) => given.map((one) => inWords(one)).join(" ");

/** @param {string} name @param {any[]} given @param {any} trouble */
function refused(name, given, trouble) {
  hold(`${name} refuses`, inWords(trouble));
  hold(`${name} leaves`, words(given));
  return trouble;
}

/** @param {string} name @param {any[]} given @param {any} gave */
function answered(name, given, gave) {
  hold(name, inWords(gave));
  hold(`${name} leaves`, words(given));
  return gave;
}

const isFull = (/** @type {string} */ name) => (heard.get(`${name} is given`)?.size ?? 0) >= DIFFERENT_MOST;

globalThis.heardAtOnce = (/** @type {string} */ name, /** @type {any[]} */ given, /** @type {() => any} */ body) => {
  if (isFull(name)) return body();
  hold(`${name} is given`, words(given));
  try {
    return answered(name, given, body());
  } catch (trouble) {
    throw refused(name, given, trouble);
  }
};

globalThis.heardLater = async (/** @type {string} */ name, /** @type {any[]} */ given, /** @type {() => Promise<any>} */ body) => {
  if (isFull(name)) return body();
  hold(`${name} is given`, words(given));
  try {
    return answered(name, given, await body());
  } catch (trouble) {
    throw refused(name, given, trouble);
  }
};

register("./telling.mjs", import.meta.url);
process.on("exit", () => {
  const told = Object.fromEntries([...heard].map(([what, said]) => [what, [...said]]));
  writeFileSync(`${folder}/${process.pid}-${process.hrtime.bigint()}.json`, JSON.stringify(told));
});
