/**
 * @file Plays the devices of one run with the browser's own store. A command a line comes in; a line goes out with what came of it, or with
 * a request for the house, which the other process carries over its line of faults. While that request is on the line more may be asked.
 */

import { chance } from "./chance.mjs";
import { Device } from "./device.mjs";
import { ACTS } from "./hands.mjs";
import { heard, outgoing, say } from "./network.mjs";
import { plant } from "./realm.mjs";
import { time, until } from "./turns.mjs";

const LOOKS = ["kept", "view", "mirror"];

/** @type {Map<string, Device>} */
const devices = new Map();
/** Errors that nobody caught, of windows that live. @type {string[]} */
let uncaught = [];

process.on("unhandledRejection", (error) => uncaught.push(String(error?.stack ?? error)));

/** @param {any} command */
async function perform(command) {
  time.set(command.time_ms);
  chance.begin(command.seed);
  const device = await deviceOf(command);
  const { reach } = device;
  Object.assign(device, { skew_ms: command.skew_ms, reach: command.reach, fate: command.fate ?? null });
  const windows = command.windows ?? [0];
  if (windows.length > 1) await all(windows.map((number) => act(device, { act: "start" }, number))); // so that they begin in one breath
  const work = windows.map((number) => act(device, command, number));
  await all(work);
  const told = work.map((one) => one.told());
  const { fate } = device;
  const look = !LOOKS.includes(command.act) && device.windows[0] && !device.windows[0].dead ? act(device, { act: "kept" }, 0) : null;
  if (look) await all([look]);
  device.reach = reach; // of the command in the midst of which this one came
  const troubles = [...uncaught, ...device.windows.flatMap((realm) => realm?.troubles ?? [])];
  uncaught = [];
  say({ told: told.length > 1 ? told : told[0], left: fate?.left ?? 0, kept: look?.told()?.value ?? null, troubles });
}

/** @param {{over: () => boolean}[]} work */
const all = (work) => until(() => work.every((one) => one.over()), carried);

/** @param {any} command */
async function deviceOf({ device: key, twin_of }) {
  if (twin_of) {
    let made = null;
    devices
      .get(twin_of)
      ?.twin(key)
      .then((device) => (made = device));
    await until(
      () => made !== null,
      async () => false,
    );
    devices.set(key, /** @type {any} */ (made));
  }
  if (!devices.has(key)) devices.set(key, new Device(key));
  return /** @type {Device} */ (devices.get(key));
}

/**
 * One window's part of a command.
 * @param {Device} device
 * @param {any} command
 * @param {number} number
 */
function act(device, command, number) {
  /** @type {any} */
  let told = null;
  let realm = null;
  (async () => {
    if (command.act === "die") {
      device.die();
      told = { value: null };
      return;
    }
    realm = await device.window(number);
    await realm.here.house.house.start();
    told = { value: (await ACTS[command.act](realm.here, command.said, device)) ?? null };
  })().catch((error) => {
    told = {
      error: { kind: error.kind ?? "", message: `${error.message} ${error.remedy ?? ""}`, stack: error.kind ? "" : String(error.stack) },
    };
  });
  return { over: () => told !== null || Boolean(realm?.dead), told: () => (realm?.dead && !told?.value ? { died: true } : told) };
}

/** One request goes to the house and its answer comes back; meanwhile the house's side may ask for more. */
async function carried() {
  const next = outgoing.shift();
  if (!next) return false;
  if (next.realm.dead) return true;
  say({ fetch: next.ask });
  for (;;) {
    const message = heard();
    if (message === null) process.exit(0);
    if (message.answer) {
      next.settle(message.answer);
      return true;
    }
    await perform(message);
  }
}

for (const mistake of JSON.parse(process.argv[2] ?? "[]")) plant(mistake);
for (let command = heard(); command !== null; command = heard()) await perform(command);
