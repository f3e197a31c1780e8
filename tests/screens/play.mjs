/** @file Plays a table of screens: each is drawn, its keys are touched, and it is drawn again. Out comes what each said, by its name. */

import { createHash } from "node:crypto";
import { Screen } from "./drawn.mjs";
import { effectsSince } from "./effects.mjs";
import { furnish, module, printed, stand, workedOutBy } from "./page.mjs";
import { settled } from "./settled.mjs";

const ROOMS = [
  "shelf/shelf-room",
  "bench/bench-room",
  "melt/melt-room",
  "book/book-room",
  "settings/settings-room",
  "counter/counter-room",
];
const WORDS_MOST = 400;
const LOOK_LONG = 8;
/** What JavaScript says where a page lacks something: never a reason that this app gives. */
const BROKEN = /is not a (function|constructor)|is not (defined|iterable)|Cannot (read|set) properties/;

let text = "";
for await (const part of process.stdin) text += part;
const { device, kept, screens, port, whole = false } = JSON.parse(text);
stand(device);
const end = await workedOutBy(port);
const known = await furnish(kept);
const written = new Set(known.entries.keys());
await Promise.all([...ROOMS.map((name) => module(`rooms/${name}.js`)), module("parts/house-head.js")]);
await (await module("store/phones.js")).phonesReady(); // as on a device that was opened before
const told = {};
const looks = {};
const troubles = [];
for (const what of ["uncaughtException", "unhandledRejection"])
  process.on(what, (error) => troubles.push(`nobody caught: ${error?.stack}`));
for (const { name, tag, properties = {}, acts = [] } of screens) {
  const screen = new Screen(tag, properties);
  try {
    let before = await settled(screen);
    told[name] = [...before, ...others()];
    looks[name] = [look(screen)];
    for (const { what, given, still } of acts) {
      await screen[what](...given);
      const now = await settled(screen);
      const gone = besides(before, now).map((line) => `- ${line}`);
      const came = besides(now, before).map((line) => `+ ${line}`);
      const became = [...gone, ...came, ...entries(), ...papers(), ...others()];
      const said = [what, ...given].join(" ");
      if (what === "touch" && still !== !became.length)
        troubles.push(`${name}: ${said} ${still ? `changes ${became.join(" ")}` : "changes nothing"}`);
      told[name].push(`--- ${said}`, ...became);
      looks[name].push(look(screen));
      before = now;
    }
    screen.leave();
    others();
  } catch (error) {
    troubles.push(`${name}: ${error.stack}`);
  }
  troubles.push(...(told[name] ?? []).filter((line) => BROKEN.test(line)).map((line) => `${name}: ${line}`));
}
end();
process.stdout.write(JSON.stringify({ told, looks, troubles }), () => process.exit(0)); // not before all of it is through the pipe

/** What was written down since the last look: its kind, what it took of what is set aside here, and its rows. */
function entries() {
  const fresh = [...known.entries.values()].filter(({ id }) => !written.has(id));
  fresh.forEach(({ id }) => written.add(id));
  return fresh.flatMap(({ operation: { kind, spent, rows } }) => {
    const said = rows.map((row) => `!   ${JSON.stringify(row)}`);
    return [`! ${kind} ${JSON.stringify(spent)}`, ...said];
  });
}

/** What came of it that is not drawn. */
function others() {
  return effectsSince().map((words) => `* ${words.slice(0, WORDS_MOST)}`);
}

/** All that stands there, pictures and what the style reads, too. @param {Screen} screen */
function look(screen) {
  const all = screen.whole();
  return whole ? all : createHash("sha256").update(all).digest("hex").slice(0, LOOK_LONG);
}

/** What went to the printer since the last look, in its first words. */
function papers() {
  return printed.splice(0).map((words) => `> ${words.slice(0, WORDS_MOST)}${words.length > WORDS_MOST ? " …" : ""}`);
}

/** The lines that one has more often than the other, those that are one too many. @param {string[]} one @param {string[]} other */
function besides(one, other) {
  const there = new Map();
  for (const line of other) there.set(line, (there.get(line) ?? 0) + 1);
  return one.filter((line) => {
    const left = there.get(line) ?? 0;
    there.set(line, left - 1);
    return left <= 0;
  });
}
