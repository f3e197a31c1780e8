/**
 * @file Touches every key of some screens, and has every field hear what may be typed: each on a screen drawn anew, then once more where it
 * still stands, then what came up under it. Out comes of each what became of it: a digest, or all of it for one screen.
 */

import { createHash } from "node:crypto";
import { Screen, wordsOf } from "./drawn.mjs";
import { effects, effectsSince } from "./effects.mjs";
import { listen, onceMore, wasCalled } from "./once_more.mjs";
import { furnish, listeners, module, printed, quiet, stand, workedOutBy } from "./page.mjs";

const ROOMS = ["shelf/shelf-room", "bench/bench-room", "melt/melt-room", "book/book-room", "settings/settings-room", "counter/counter-room"];
const TURNS_MOST = 100;
const DIGEST_LONG = 10;
/** So many of the keys that came up under it. */
const AFTERWARDS = 2;
const STORES = ["keep", "log", "sentences"];
/** Digits of a pad do the same; one of them is enough. */
const DIGIT = /^\[“[2-689]” \d\]/;
const NEW_ID = /[0-9a-f]{8}-[0-9a-f]{4}-[47][0-9a-f]{3}-8000-\d{12}/g;
const GOOD = { name: "Ole Berg", phone: "7155550190", zip: "55811", street: "1 Elm St", city: "Duluth", state: "MN", "*": "12.50" };
const LIST = new Blob(["Name,What\nOle Berg,\n"]);
/** What may be heard: of the event, and of the field. @type {Record<string, [Record<string, any>, Record<string, any>][]>} */
const HEARD = {
  click: [[{}, {}]],
  submit: [
    [{}, {}],
    [{}, GOOD],
    [{}, { "*": "3" }],
    [{}, { "*": "x1/2" }],
    [{}, { "*": "" }],
  ],
  input: [[{}, { value: "7" }], [{}, { value: "ann 3 1/2 x" }], [{}, { value: "" }]], // prettier-ignore
  change: [[{}, { value: "7", checked: true, files: [LIST] }], [{}, { value: "12.50", checked: false }], [{}, { value: "", checked: false }]], // prettier-ignore
  keydown: ["Enter", "ArrowDown", "Escape", "7"].map((key) => [{ key }, {}]),
  toggle: [[{ newState: "open" }, { open: true }]],
  focus: [[{}, {}]],
};

let text = "";
for await (const part of process.stdin) text += part;
const { device, kept, screens, port, most = Infinity, afterwards = AFTERWARDS, whole = "", again = null } = JSON.parse(text);
const troubles = [];
for (const what of ["uncaughtException", "unhandledRejection"]) process.on(what, (error) => troubles.push(`nobody caught: ${error?.stack}`));
stand(device);
if (again) listen(again.folder);
const end = await workedOutBy(port);
const known = await furnish(kept);
const first = new Set(known.entries.keys());
await Promise.all([...ROOMS.map((name) => module(`rooms/${name}.js`)), module("parts/house-head.js"), module("parts/search-sheet.js")]);
await (await module("store/phones.js")).phonesReady();
const db = await module("store/database.js");
const { sentences } = await module("store/sentences.js");
/** What was touched already, wherever: the same key of the same element need not be touched on every screen. */
const touched = new Set();
const told = {};
const listened = listeners();
for (const { name, tag, properties = {}, acts = [] } of screens) {
  told[name] = {};
  await touchAll(name, () => begun(tag, properties, acts)).catch((error) => troubles.push(`${name}: ${error.stack}`));
}
end.nothingNew();
const called = again ? wasCalled() : [];
const asked = again ? await onceMore({ known, first, back: anew, whole, only: again.only }) : {};
end();
process.stdout.write(JSON.stringify({ told, called, asked, troubles, listened, listening: listeners() }), () => process.exit(0));

/** A screen on which so much was done already. @param {string} tag @param {any} properties @param {any[]} acts */
async function begun(tag, properties, acts) {
  await anew();
  const screen = new Screen(tag, properties);
  await settled(screen);
  for (const { what, given } of acts) {
    await screen[what](...given);
    await settled(screen, 1);
  }
  return screen;
}

/** @param {string} name @param {() => Promise<Screen>} made */
async function touchAll(name, made) {
  const start = await made();
  const before = await settled(start);
  const looks = start.whole();
  said(name, "at first", [...before, looks, ...others()]);
  const all = heardBy(start);
  start.leave();
  await anew();
  for (const [node, what, at] of evenly(all)) {
    const called = `${node.of} ${node.tag} ${wordsOf(node)} ${what} ${at || ""}`.replace(NEW_ID, "new").trim();
    if (touched.has(called)) continue;
    touched.add(called);
    await touch(name, called, await made(), node, what, at);
  }
}

/** Not all of them where a house is much as another one. @template T @param {T[]} all @returns {T[]} */
function evenly(all) {
  return all.length <= most ? all : Array.from({ length: most }, (_, at) => all[Math.floor((at * all.length) / most)]);
}

/** What may be heard, by whom. @param {Screen} screen @returns {[any, string, number][]} */
function heardBy(screen) {
  return screen
    .hearing()
    .filter(([node]) => !node.tag.includes("-") && !("disabled" in node.has) && !node.properties?.disabled && !DIGIT.test(wordsOf(node)))
    .flatMap(([node, what]) => (HEARD[what] ?? []).map((_, at) => [node, what, at]));
}

/** @param {string} name @param {string} called @param {Screen} screen @param {any} like @param {string} what @param {number} at */
async function touch(name, called, screen, like, what, at) {
  const lines = [];
  let before = await settled(screen);
  const there = new Set(heardBy(screen).map(([node]) => wordsOf(node)));
  effectsSince();
  const one = async (/** @type {any} */ node, /** @type {string} */ heard, /** @type {number} */ which) => {
    const [more, field] = HEARD[heard][which];
    try {
      await screen.hear(node, heard, more, field);
    } catch (error) {
      effects.push(`! ${error?.name === "TypeError" ? "TypeError" : error}`);
    }
    const now = await settled(screen);
    lines.push(`--- ${wordsOf(node)} ${heard}`, ...besides(before, now, "-"), ...besides(now, before, "+"), screen.whole(), ...others());
    before = now;
  };
  const node = screen.like(like);
  if (node) await one(node, what, at);
  const again = screen.like(like);
  if (again && what === "click") await one(again, what, at);
  const fresh = heardBy(screen).filter(([found]) => !there.has(wordsOf(found)));
  for (const [found, heard, which] of fresh.slice(0, afterwards)) {
    const still = screen.like(found);
    if (still) await one(still, heard, which);
  }
  screen.leave();
  said(name, called, lines);
}

/** @param {string} name @param {string} called @param {string[]} lines */
function said(name, called, lines) {
  const met = new Map();
  const which = (/** @type {string} */ id) => {
    if (!met.has(id)) met.set(id, `new ${met.size + 1}`);
    return met.get(id);
  };
  const all = lines.join("\n").replace(NEW_ID, which);
  told[name][called] = whole === name ? all : createHash("sha256").update(all).digest("hex").slice(0, DIGEST_LONG);
}

/** What was written, printed and kept since the last look. */
function others() {
  const fresh = [...known.entries.values()].filter(({ id }) => !first.has(id));
  const entries = fresh.map(({ operation: { kind, spent, rows } }) => `! ${kind} ${JSON.stringify(spent)} ${JSON.stringify(rows)}`);
  return [...entries, ...printed.splice(0), ...effectsSince()];
}

/** The device as it was at the beginning, where anything was written down. */
async function anew() {
  localStorage.clear();
  sessionStorage.clear();
  location.hash = "#counter";
  const isAsBefore = known.entries.size === first.size && !known.sentences.size;
  await sentences.drop(); // an order that was being taken is not gone on with
  if (!isAsBefore) {
    await db.write(STORES, async (tx) => STORES.forEach((store) => tx.objectStore(store).clear()));
    await furnish({ ...kept, rows: [] });
  }
  effectsSince();
}

/** What it says once nothing is out and it says the same again. @param {Screen} screen @param {number} [times] */
async function settled(screen, times = 2) {
  let last = "";
  let still = 0;
  for (let turn = 0; turn < TURNS_MOST && still < times; turn += 1) {
    await new Promise((later) => setTimeout(later, 0));
    await quiet();
    const now = screen.said().join("\n");
    still = now === last ? still + 1 : 0;
    last = now;
  }
  return last.split("\n");
}

/** Lines that one has more often than the other. @param {string[]} one @param {string[]} other @param {string} sign */
function besides(one, other, sign) {
  const there = new Map();
  for (const line of other) there.set(line, (there.get(line) ?? 0) + 1);
  return one.flatMap((line) => {
    const left = there.get(line) ?? 0;
    there.set(line, left - 1);
    return left > 0 ? [] : [`${sign} ${line}`];
  });
}
