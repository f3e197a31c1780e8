/**
 * @file Rounds with a main computer that answers this or that: what the device asks, what lies in its database then and how it stands; then
 * with one thing in the answer, or in how the device stood, otherwise. A digest of each.
 */

import { createHash } from "node:crypto";
import { ways, put } from "../screens/bent.mjs";
import { effects, effectsSince } from "../screens/effects.mjs";
import { furnish, givenUp, isQuiet, module, stand } from "../screens/page.mjs";
import { evenly } from "./given.mjs";
import { inWords, plain, troubled } from "./told.mjs";

const STORES = ["keep", "log", "rows", "sums", "sentences"];
const BOUNDS = [
  [1, 3],
  ["landed", "in_hand"],
];
const TURNS_MOST = 400;
const QUIET_TURNS = 8;
const REFUSED_FROM = 300;
const LATER_MS = 3_000;
const DIGEST_LONG = 8;
const NAME_LONG = 200;

let text = "";
for await (const part of process.stdin) text += part;
const { now, kept, situations, whole } = JSON.parse(text);
stand({ now });
AbortSignal.timeout = () => new AbortController().signal; // nothing is waited for so long
Object.defineProperty(globalThis, "performance", { value: { now: () => 0 }, configurable: true });
const known = await furnish(kept);
const [{ house }, { listeners }, { after }, db] = await Promise.all(
  ["store/house.js", "store/status.js", "store/removed.js", "store/database.js"].map(module),
);
const waiting = new Map(); // whatever waits a moment has its turn after all that goes on at once
let timers = 0;
globalThis.setTimeout = (work, ms = 0, ...given) => {
  timers += 1;
  if (ms < LATER_MS) waiting.set(timers, () => work(...given));
  return timers;
};
globalThis.clearTimeout = (timer) => void waiting.delete(timer);
after.forgetting = () => effects.push("the page begins anew");
for (const what of ["uncaughtException", "unhandledRejection"])
  process.on(what, (error) => effects.push(`nobody caught ${troubled(error)}`));
const told = {};
try {
  await all();
  process.stdout.write(JSON.stringify(told), () => process.exit(0));
} catch (error) {
  console.error(error);
  process.exit(1);
}

async function all() {
  for (const { name, most, does, ...how } of situations) {
    const some = evenly(waysOf(how), most);
    for (const way of [null, ...some]) {
      const said = way ? `${name}: ${way[0].join(" ")} ${inWords(way[1])}`.slice(0, NAME_LONG) : name;
      const lines = plain(await round(does, way ? put(how, ...way) : how));
      told[said] = whole === said ? lines : createHash("sha256").update(lines.join("\n")).digest("hex").slice(0, DIGEST_LONG);
    }
  }
}

/** Every way in which one thing in an answer, or in how the device stands, is otherwise. @param {any} how */
function waysOf({ device, doors }) {
  const inside = (/** @type {any} */ value, /** @type {any[]} */ path) =>
    ways([value], BOUNDS).map(([[, ...more], other]) => [[...path, ...more], other]);
  const said = Object.entries(doors).flatMap(([door, answers]) =>
    answers.flatMap(({ says }, at) => inside(says, ["doors", door, at, "says"])),
  );
  return [...said, ...inside(device.marks, ["device", "marks"]), ...device.log.flatMap((one, at) => inside(one, ["device", "log", at]))];
}

/** @param {any[]} does the act and what it is given @param {any} how @returns {Promise<string[]>} */
async function round([act, ...given], how) {
  await db.write(STORES, async (tx) => STORES.forEach((store) => tx.objectStore(store).clear()));
  localStorage.clear();
  try {
    await furnish({ ...kept, ...how.device });
  } catch {
    return ["a device cannot stand so"];
  }
  const says = [];
  // whether it is said that it takes long hangs on how busy the machine is
  const off = house.subscribe(() => house.status.signal !== "working" && says.push(inWords(house.status)));
  answering(how);
  effectsSince();
  const lines = [];
  try {
    lines.push(`-> ${inWords(await Promise.race([house[act](...given), turns(TURNS_MOST)]))}`);
  } catch (error) {
    lines.push(troubled(error));
  }
  await turns(QUIET_TURNS);
  off();
  listeners.clear();
  waiting.clear();
  const status = inWords(house.status);
  const asked = effects.splice(0);
  const stored = await db.read(STORES, async (tx) =>
    Promise.all(
      STORES.map(async (store) => `${store} ${inWords([await tx.objectStore(store).getAllKeys(), await tx.objectStore(store).getAll()])}`),
    ),
  );
  const { mirror, view, entries, sentences, ...rest } = known;
  return [
    ...lines,
    ...asked,
    status,
    inWords([...new Set(says)]),
    ...stored,
    inWords(rest),
    inWords([...entries]),
    inWords([...sentences]),
  ];
}

/** What the main computer says: the first answer of a door, then the next; the last one again and again. @param {any} how */
function answering({ doors }) {
  const times = {};
  globalThis.fetch = async (/** @type {string} */ path, { method = "GET", body = "", headers = {} } = {}) => {
    const door = `${method} ${path}`;
    effects.push(`asks ${door} ${headers.Authorization ?? ""} ${body}`);
    const answers = doors?.[door];
    const {
      status = 200,
      type = "application/json",
      says,
    } = answers?.[Math.min((times[door] = (times[door] ?? -1) + 1), answers.length - 1)] ?? {};
    if (says === undefined) throw new TypeError("there is no main computer here");
    const answer = says?.request === "the same" ? { ...says, request: JSON.parse(body).request } : says;
    // as a Response, but that it is read at once: how many turns of the loop a stream takes is chance
    return { ok: status < REFUSED_FROM, status, headers: new Headers({ "Content-Type": type }), json: async () => structuredClone(answer) };
  };
}

/** @param {number} most */
async function turns(most) {
  let quiet = 0;
  for (let turn = 0; turn < most && quiet < QUIET_TURNS; turn += 1) {
    await new Promise((later) => setImmediate(later));
    quiet = isQuiet() && most !== TURNS_MOST ? quiet + 1 : 0;
    if (turn % 4 === 0) {
      const [due] = waiting;
      if (due) waiting.delete(due[0]);
      due?.[1]();
    }
  }
  if (most !== TURNS_MOST) givenUp();
  return "waits";
}
