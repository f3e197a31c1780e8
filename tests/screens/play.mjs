/** @file Plays a table of screens: each is drawn, its keys are touched, and it is drawn again. Out comes what each said, by its name. */

import { Screen } from "./drawn.mjs";
import { furnish, isQuiet, module, stand, workedOutBy } from "./page.mjs";

const ROOMS = [
  "shelf/shelf-room",
  "bench/bench-room",
  "melt/melt-room",
  "book/book-room",
  "settings/settings-room",
  "counter/counter-room",
];
const TURNS_MOST = 100;

let text = "";
for await (const part of process.stdin) text += part;
const { device, kept, screens, python, program } = JSON.parse(text);
stand(device);
const end = await workedOutBy(python, program);
const known = await furnish(kept);
await (await module("store/phones.js")).phonesReady(); // as on a device that was opened before
const written = new Set();
await Promise.all([...ROOMS.map((name) => module(`rooms/${name}.js`)), module("parts/house-head.js")]);
const told = {};
const troubles = [];
for (const what of ["uncaughtException", "unhandledRejection"])
  process.on(what, (error) => troubles.push(`nobody caught: ${error?.stack}`));
for (const { name, tag, properties = {}, acts = [] } of screens) {
  const screen = new Screen(tag, properties);
  try {
    let before = await settled(screen);
    told[name] = [...before];
    for (const [what, ...given] of acts) {
      await screen[what](...given);
      const now = await settled(screen);
      const gone = besides(before, now).map((line) => `- ${line}`);
      const came = besides(now, before).map((line) => `+ ${line}`);
      told[name].push(`--- ${[what, ...given].join(" ")}`, ...gone, ...came, ...entries());
      before = now;
    }
  } catch (error) {
    troubles.push(`${name}: ${error.stack}`);
  }
}
end();
process.stdout.write(JSON.stringify({ told, troubles }), () => process.exit(0)); // not before all of it is through the pipe

/** What it says once nothing is out and it says the same twice. @param {Screen} screen */
async function settled(screen) {
  let last = "";
  let still = 0;
  for (let turn = 0; turn < TURNS_MOST; turn += 1) {
    const now = screen.said().join("\n");
    still = now === last && isQuiet() ? still + 1 : 0;
    if (still > 2) break;
    last = now;
    await new Promise((later) => setTimeout(later, 0));
    while (!isQuiet()) await new Promise((later) => setImmediate(later));
  }
  return last.split("\n");
}

/** What was written down since the last look: its kind, what it took of what is set aside here, and its rows. */
function entries() {
  const fresh = [...known.entries.values()].filter(({ id }) => !written.has(id));
  fresh.forEach(({ id }) => written.add(id));
  return fresh.flatMap(({ operation: { kind, spent, rows } }) => {
    const said = rows.map((row) => `!   ${JSON.stringify(row)}`);
    return [`! ${kind} ${JSON.stringify(spent)}`, ...said];
  });
}

/** The lines of one that are not in the other. @param {string[]} one @param {string[]} other */
function besides(one, other) {
  const there = new Set(other);
  return one.filter((line) => !there.has(line));
}
