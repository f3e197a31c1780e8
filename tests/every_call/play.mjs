/**
 * @file Calls every exported function of some modules with whatever it takes (`given.mjs`), on a device that knows a house, and tells what each
 * answers, what is written down, kept and said aloud: a digest of all calls of a function, or the calls of one themselves.
 */

import { createHash } from "node:crypto";
import { Screen } from "../screens/drawn.mjs";
import { effects, effectsSince } from "../screens/effects.mjs";
import { furnish, isQuiet, module, printed, stand, workedOutBy } from "../screens/page.mjs";
import { evenly, house, otherwise, values } from "./given.mjs";
import { ofTheHouse, workedOut } from "./house.mjs";
import { inWords, plain, troubled } from "./told.mjs";

const MOST = 16;
const MOST_LATE = 6;
const TURNS_MOST = 40;
const DIGEST_LONG = 10;
const STORES = ["keep", "log", "rows", "sums", "sentences"];
/** Of the page and the process themselves; the database and Python are asked by all the others. */
const LEFT_OUT = new Set([
  ...["database", "forget", "read", "write"].map((name) => `store/database.js ${name}`),
  ...["wakeKernel", "askAlso", "work"].map((name) => `kernel/work.js ${name}`),
  "parts/again.js onAgain", // it asks on while others are called
]);

let text = "";
for await (const part of process.stdin) text += part;
const { now, kept, modules, port, whole } = JSON.parse(text);
for (const what of ["uncaughtException", "unhandledRejection"])
  process.on(what, (error) => effects.push(`nobody caught ${troubled(error)}`));
stand({ now });
canDraw();
const end = await workedOutBy(port);
const known = await furnish(kept);
await (await module("store/phones.js")).phonesReady();
const db = await module("store/database.js");
const begun = new Set(known.entries.keys());
const written = writes();
const today = now.slice(0, 10);
play().catch((error) => {
  console.error(error);
  process.exit(1);
});

async function play() {
  const asksPython = Object.keys(modules).some((name) => !name.startsWith("store/"));
  const worked = asksPython ? await workedOut(known.view, today) : [null];
  const told = {};
  await anew(worked);
  for (const [name, functions] of Object.entries(modules)) {
    const here = await module(name);
    for (const [called, kinds] of Object.entries(functions)) {
      const full = `${name} ${called}`;
      if (LEFT_OUT.has(full)) continue;
      const lines = plain(await answers(here[called], kinds, () => anew(worked)));
      const digest = createHash("sha256").update(lines.join("\n")).digest("hex").slice(0, DIGEST_LONG);
      told[full] = whole === full ? lines : `${lines.length} ${digest}`;
    }
  }
  end();
  process.stdout.write(JSON.stringify(told), () => process.exit(0));
}

/** @param {Function} called @param {any[]} kinds @param {() => Promise<void>} back puts the device back @returns {Promise<string[]>} */
async function answers(called, kinds, back) {
  const calls = otherwise(
    kinds.map((kind) => values(kind)),
    (all) => all,
    MOST,
  );
  const lines = [];
  let most = MOST;
  for (const given of evenly(calls, 2 * MOST).slice(0, kinds.length ? MOST : 1)) {
    if (lines.length >= most) break;
    const heard = [];
    const said = given.map((one) => inWords(one)).join(", ");
    const { answer, late } = await answered(
      called,
      given.map((one) => handed(one, heard)),
    );
    if (late) most = MOST_LATE;
    const undone = await takenBack();
    const papers = printed.splice(0).map((paper) => `printed ${paper}`);
    const keeps = await keptNow();
    lines.push([`(${said}) -> ${answer}`, ...heard, ...effectsSince(), ...papers, ...undone, ...keeps].join("\n    "));
    if (keeps.length) await back();
    forgotten();
  }
  await back();
  return lines;
}

/** What a call answers, waited for until all is quiet. @param {Function} called @param {any[]} given */
async function answered(called, given) {
  try {
    const answer = called(...given);
    if (typeof answer?.then !== "function") return { answer: await drawnToo(answer), late: false };
    let ended = "";
    answer.then(
      async (/** @type {any} */ value) => (ended = await drawnToo(value)),
      (/** @type {any} */ error) => (ended = troubled(error)),
    );
    for (let turn = 0; turn < TURNS_MOST && !ended; turn += 1) await turned();
    return { answer: ended || "waits", late: true };
  } catch (error) {
    return { answer: troubled(error), late: false };
  }
}

async function turned() {
  await new Promise((later) => setTimeout(later, 0));
  while (!isQuiet()) await new Promise((later) => setImmediate(later));
}

/** What was written down is taken back, as far as it may be. @returns {Promise<string[]>} */
async function takenBack() {
  await turned();
  const op = [...known.entries.keys()].findLast((id) => !begun.has(id));
  if (!op) return [];
  const { undo } = await module("store/acts.js");
  const { answer } = await answered(undo, [op]);
  return [`taken back: ${answer}`];
}

/** A template is drawn, and whatever hears something in it hears it. @param {any} answer */
async function drawnToo(answer) {
  const isTemplate = (/** @type {any} */ one) => Array.isArray(one?.strings);
  if (!isTemplate(answer) && !(Array.isArray(answer) && answer.some(isTemplate))) return inWords(answer);
  const screen = new Screen("", { template: answer });
  screen.said();
  const all = screen.whole();
  for (const [node, what] of screen.hearing()) {
    try {
      await screen.hear(node, what, { key: "Enter", detail: "7" }, { value: "7", checked: true });
    } catch (error) {
      effects.push(troubled(error));
    }
  }
  await turned();
  screen.leave();
  return all;
}

/** A value as the function is given it: what is to be heard tells that it was; plain things are the function's own. */
function handed(value, heard) {
  if (value?.toBeHeard) {
    return (...given) => {
      heard.push(`${value.toBeHeard} hears ${given.map((one) => inWords(one)).join(", ")}`);
      return undefined;
    };
  }
  if (Array.isArray(value) && !value.raw) return value.map((one) => handed(one, heard));
  if (value && Object.getPrototypeOf(value) === Object.prototype && !value.strings)
    return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, handed(one, heard)]));
  return value;
}

/** Pictures can be read and drawn: what is drawn is told. */
function canDraw() {
  const { createElement } = document;
  const drawn = (/** @type {string} */ what) => (/** @type {any[]} */ ...given) => void effects.push(`${what} ${inWords(given)}`);
  const canvas = (/** @type {string[]} */ ...asked) => new Proxy({}, { get: (_, name) => drawn(`${asked} ${String(name)}`), set: () => true });
  document.createElement = (name) => {
    const element = createElement(name);
    const toDataURL = (/** @type {any[]} */ ...how) => `data:${inWords([element.width, element.height, ...how])}`;
    return name === "canvas" ? Object.assign(element, { getContext: canvas, toDataURL }) : element;
  };
  globalThis.createImageBitmap = async ({ size }) => ({ width: size, height: 2 * size, close() {} });
}

/** Which stores were written to since the device was put back. @returns {Set<string>} */
function writes() {
  const stores = new Set(["rows"]);
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (names, mode, ...more) {
    if (mode === "readwrite") [names].flat().forEach((name) => stores.add(name));
    return transaction.call(this, names, mode, ...more);
  };
  return stores;
}

/** What lies in the stores that were written to. @returns {Promise<string[]>} */
async function keptNow() {
  if (!written.size) return [];
  await turned();
  const stores = [...written].sort();
  return db.read(stores, async (tx) => {
    const all = await Promise.all(stores.map((store) => tx.objectStore(store).getAll()));
    return all.map((rows, at) => `${stores[at]}: ${inWords(rows)}`);
  });
}

/** The device as it was at the beginning. @param {any[]} worked */
async function anew(worked) {
  const all = written.has("rows") || written.has("sums");
  const stores = all ? STORES : ["keep", "log", "sentences"];
  await db.write(stores, async (tx) => stores.forEach((store) => tx.objectStore(store).clear()));
  forgotten();
  await furnish(all ? kept : { ...kept, rows: [] });
  written.clear();
  Object.assign(house, await ofTheHouse(kept, known.view, today, worked));
  effectsSince();
}

function forgotten() {
  localStorage.clear();
  sessionStorage.clear();
}
