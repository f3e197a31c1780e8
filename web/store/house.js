/** @file The house as this device knows it: the one object the rooms look at. README.md beside this file tells the whole of it. */

import { askHouse } from "./ask-house.js";
import { watch } from "./database.js";
import { knock, knockJson } from "./doors.js";
import { exchangeAll } from "./exchange.js";
import { foldWhenIdle } from "./find.js";
import { enrolled } from "./fresh.js";
import { after, mark } from "./log.js";
import { dayOf, known, load, loadFirst, now, shareFor, shareOf, today } from "./known.js";
import { phonesReady } from "./phones.js";
import { hearOfSentences } from "./sentences.js";
import { keepInTouch } from "./signal.js";
import { after as forgetting } from "./removed.js";
import { current, change, heardOf, listeners, statusOf } from "./status.js";
import { hearOthers, tellOthers } from "./turn.js";
import { takeOver, watchUpdates } from "./update.js";
import { wasHere } from "./was-here.js";
import { HouseError } from "./trouble.js";
import { asking, giveBack, holdFor, wishes } from "./wishes.js";
import { askAlso, onKernel, wakeWhenIdle } from "../kernel/work.js";

const ASK_PAUSE_MS = 350;
const WORKING_AFTER_MS = 600; // a quick exchange must not make the screen flicker

/** @type {Promise<void> | null} */
let starting = null;
/** What a start that failed said of the storage: one that does not fail takes it back. */
let unopened = "";
/** @type {() => void} */
let speak = () => {};

askAlso(askHouse);

export const house = {
  /** Read afresh each time. */
  get view() {
    return known.view;
  },
  /** Read afresh each time. */
  get status() {
    return statusOf();
  },
  now,
  today,
  dayOf,
  takeOver,
  holdFor,

  /** Opens the database and begins; a failed start is not remembered. */
  start() {
    starting ??= begin().catch((error) => {
      starting = null;
      unopened = `${error.message} ${error.remedy ?? ""}`.trim();
      change({ storage: { ...current.storage, trouble: unopened } });
      throw error;
    });
    return starting;
  },

  /**
   * @param {() => void} fn called after any change, once per turn of the event loop
   * @returns {() => void} ends it
   */
  subscribe(fn) {
    listeners.add(fn);
    return () => listeners.delete(fn);
  },

  /**
   * Makes this device one of the house. Rejects when the code is wrong or the house out of reach.
   * @param {string} code
   * @param {string} name
   */
  async enrol(code, name) {
    await enrolled(code, name);
    await load();
    wasHere.note(known.identity?.name ?? name);
    tellOthers();
    heardOf({ what: "enrolled", at: new Date() });
    change({ emptied: null });
    await house.exchange();
    speak();
  },

  /**
   * @param {string} good
   * @param {string | null} [sentence] given: what this sentence may take of it, the others' left out
   */
  share(good, sentence) {
    return sentence === undefined ? shareOf(good) : shareFor(good, sentence);
  },

  /**
   * Asks the house to let this device hold at least so many units.
   * @param {string} good
   * @param {number} units
   * @param {number} [wait_s]
   * @returns {Promise<number>} units in the share, at the latest after `wait_s`
   */
  async ask(good, units, wait_s = 1.5) {
    const until = performance.now() + wait_s * 1000;
    asking[good] = Math.max(units, asking[good] ?? 0);
    try {
      while (shareOf(good) < units && performance.now() < until && known.identity) {
        const heard = house.exchange();
        const left = until - performance.now();
        if (!(await Promise.race([heard, sleep(left).then(() => false)]))) break;
        if (shareOf(good) < units) await sleep(Math.min(ASK_PAUSE_MS, until - performance.now()));
      }
    } finally {
      delete asking[good];
    }
    return shareOf(good);
  },

  /** @returns {Promise<boolean>} whether the house was heard; never rejects */
  async exchange() {
    if (!known.identity) return false;
    const slow = setTimeout(() => heardOf({ what: "slow" }), WORKING_AFTER_MS);
    try {
      const ask_back = await exchangeAll(wishes);
      heardOf({ what: "heard", at: new Date(known.marks.heard_at ?? Date.now()) });
      await giveBack(ask_back);
      return true;
    } catch (error) {
      const { status = 0, message = "", remedy = "" } = error instanceof HouseError ? error : {};
      heardOf(
        status ? { what: "refused", status, text: `${message} ${remedy}`.trim(), at: new Date() } : { what: "unheard", at: new Date() },
      );
      return false;
    } finally {
      clearTimeout(slow);
    }
  },

  /** @param {string} op an entry that needed the keeper and was dealt with */
  async dismiss(op) {
    await mark([op], { state: "set_aside" });
    change({});
  },

  /**
   * Any other door of the house, with this device's key.
   * @param {string} path
   * @param {{method?: string, body?: any, wait_s?: number}} [options]
   * @returns {Promise<any>} JSON, or a Blob for a paper or a zip
   */
  async call(path, options = {}) {
    const asked = { ...options, token: known.identity?.token };
    if (!/\.(pdf|zip)(\?|$)/.test(path)) return knockJson(path, asked);
    return (await knock(path, asked)).blob();
  },
};

async function begin() {
  watch.listen((text) => {
    if (current.storage.trouble !== text) change({ storage: { ...current.storage, trouble: text } });
  });
  await loadFirst();
  if (unopened && current.storage.trouble === unopened) change({ storage: { ...current.storage, trouble: null } });
  if (known.marks.removed_at) change({ emptied: null });
  else if (known.identity) wasHere.note(known.identity.name);
  else change({ emptied: wasHere.said() });
  const heard_at = known.marks.heard_at ? new Date(known.marks.heard_at) : null;
  heardOf({ what: "opened", enrolled: known.identity !== null, heard_at, at: new Date() });
  change({ started: true });
  hearOthers((what) => {
    (what === "sentences" ? hearOfSentences : refresh)();
  });
  after.append = () => {
    change({});
    speak();
    keepForGood();
  };
  onKernel((kernel) => change({ kernel }));
  change({ storage: { ...current.storage, persisted: (await navigator.storage?.persisted?.().catch(() => false)) ?? false } });
  speak = keepInTouch({ exchange: house.exchange, token: () => known.identity?.token ?? null, refresh });
  watchUpdates((update) => change({ update }));
  foldWhenIdle();
  (window.requestIdleCallback ?? setTimeout)(() => {
    phonesReady().catch(() => {});
  }); // before the first number is typed
  wakeWhenIdle();
}

/** Another tab has written, or the page was asleep. */
async function refresh() {
  const before = known.marks.removed_at;
  await load().catch(() => {}); // the trouble is in the status already
  if (known.marks.removed_at && !before) forgetting.forgetting();
  change({});
}

/** After the first order the browser is asked to keep this device's storage. */
async function keepForGood() {
  if (current.storage.persisted || known.head.orders === 0) return;
  const persisted = (await navigator.storage?.persist?.().catch(() => false)) ?? false;
  if (persisted) change({ storage: { ...current.storage, persisted } });
}

/** @param {number} ms */
function sleep(ms) {
  return new Promise((resolve) => {
    setTimeout(resolve, Math.max(0, ms));
  });
}
