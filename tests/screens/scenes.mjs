/**
 * @file Scenes on one device, one after the other: an element, what is touched there, and what the main computer and Python answer meanwhile.
 * Out comes of each what it says before and after each act, whatever was written, asked and printed, and what went wrong.
 */

import { Screen } from "./drawn.mjs";
import { effects, effectsSince } from "./effects.mjs";
import { furnish, module, printed, stand } from "./page.mjs";
import { settled } from "./settled.mjs";

let text = "";
for await (const part of process.stdin) text += part;
const { kept, now, scenes } = JSON.parse(text);
stand({ now });
/** What the main computer says next, by its door; the last one is said again. @type {Record<string, any[]>} */
let doors = {};
/** What Python says, by the name of the work. @type {Record<string, any>} */
let worked = {};
/** Which doors were asked, and what Python was asked with, by the name of the work. */
let [asked, given_to] = [[], {}];
globalThis.fetch = async (path, { method = "GET" } = {}) => {
  asked.push(`${method} ${path}`);
  const [way] = path.split("?");
  const told = doors[`${method} ${way}`] ?? [];
  const [{ status = 200, body } = {}] = told.length > 1 ? told.splice(0, 1) : told;
  if (body === undefined) throw new TypeError("there is no main computer here");
  const kind = status < 400 ? "application/json" : "application/problem+json";
  return new Response(JSON.stringify(body), { status, headers: { "Content-Type": kind } });
};
const known = await furnish(kept);
const { askAlso, WorkError } = await module("kernel/work.js");
await Promise.all(["book/book-room", "shelf/shelf-room"].map((name) => module(`rooms/${name}.js`)));
askAlso({
  inReach: () => true,
  ask: async (name, request) => {
    given_to[name] = request;
    if (worked[name]?.refused) throw new WorkError(false, worked[name].refused, worked[name].remedy);
    if (!(name in worked)) throw new WorkError(true, "Nobody can work it out now.", "");
    return { answer: worked[name] };
  },
});
const { change } = await module("store/status.js");
const { write } = await module("store/database.js");
const written = new Set(known.entries.keys());
const told = [];
for (const { tag, properties = {}, acts = [], status = {}, keeps = {}, took = null, shares = "", ...answers } of scenes) {
  ({ doors = {}, worked = {} } = answers);
  localStorage.clear();
  for (const [name, value] of Object.entries(keeps)) localStorage.setItem(name, value);
  await write(["keep"], async (tx) => tx.objectStore("keep").put(took, "took"));
  change(status);
  Object.assign(navigator, shares ? sharing(shares) : { canShare: undefined });
  [asked, given_to] = [[], {}];
  effectsSince();
  const screen = new Screen(tag, properties);
  const said = [(await settled(screen)).join("\n")];
  const wrote = [];
  for (const { what, given } of acts) {
    await screen[what](...given);
    said.push((await settled(screen)).join("\n"));
    for (const { id, operation } of known.entries.values())
      if (!written.has(id)) {
        written.add(id);
        wrote.push(...operation.rows);
      }
  }
  screen.leave();
  told.push({ said, wrote, asked, given_to, effects: effectsSince(), printed: printed.splice(0) });
}
process.stdout.write(JSON.stringify(told), () => process.exit(0));

/** A device that shares files, as somebody then does or thinks better of. @param {string} how */
function sharing(how) {
  return {
    canShare: ({ files }) => files.length > 0,
    share: async ({ files: [file], title }) => {
      if (how === "not after all") throw new DOMException("", "AbortError");
      effects.push(`shares ${title}: ${await file.text()}`);
    },
  };
}
