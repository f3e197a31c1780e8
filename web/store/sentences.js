/**
 * @file Orders being taken, before they are orders. Each has its id from the first touch (the order's own later), is kept in the database at
 * every change, and is written by one window at a time; the others see it. Several may be parked and taken up again.
 */

import { newId } from "./ids.js";
import { known } from "./known.js";
import {
  begun,
  dropSentence,
  earlierDraft,
  latestFirst,
  leftBehind,
  loadSentences,
  putSentence,
  sameTab,
  takeSentence,
  writtenElsewhere,
} from "./sentence-rows.js";
import { change, listeners } from "./status.js";
import { keepForWindow, tellOthers, WINDOW } from "./turn.js";
import { HouseError } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Sentence} Sentence
 * @typedef {{row: Sentence, kept: boolean, unsaved: boolean, giveUp: () => void}} Mine `kept`: the database has it */

const GIVEN_BACK_WAIT_MS = 1_500; // a page that is loaded again, or that parked a sentence a moment ago, gives its lock back a little later

/** @type {Mine | null} */
let mine = null;
let saving = Promise.resolve();
/** @type {Promise<void> | null} */
let taking_up = null;
/** Which sentences other windows write now. @type {Set<string>} */
let elsewhere = new Set();

export const sentences = {
  /** Whether this window knows yet which sentence is its own. */
  ready: false,
  /** Another window has taken over what was written here. */
  taken_away: false,
  /** The device would not keep the last change. */
  unkept: false,

  /** The sentence this window writes, or null. @returns {Sentence | null} */
  get mine() {
    return mine?.row ?? null;
  },

  /** The other sentences of this device, the latest first. @returns {(Sentence & {elsewhere: boolean})[]} */
  others() {
    return latestFirst()
      .filter(({ id, draft }) => id !== mine?.row.id && begun(draft))
      .map((row) => ({ ...row, elsewhere: elsewhere.has(row.id) }));
  },

  /** Takes up what a window that is gone has left half made; once a window. */
  takeUp() {
    taking_up ??= takeUpLeft()
      .finally(() => {
        sentences.ready = true;
        change({}); // the others' are looked at again when the Counter stands
      })
      .then(hearOfSentences);
    return taking_up;
  },

  /**
   * Every change of the sentence; the first one makes it.
   * @param {Sentence['draft']} draft
   */
  write(draft) {
    sentences.taken_away = false;
    mine ??= begin(draft);
    Object.assign(mine.row, { draft, changed_at: new Date().toISOString() });
    known.sentences.set(mine.row.id, mine.row);
    save(mine);
  },

  /** Waits until the last change is kept, or was refused. */
  settled: () => saving,

  /** Puts it aside for now: any window may take it up. */
  async park() {
    if (!mine) return;
    if (!begun(mine.row.draft)) {
      await sentences.drop();
      return;
    }
    const parked = leave();
    parked.row = { ...parked.row, owner: null };
    known.sentences.set(parked.row.id, parked.row);
    await save(parked);
    known.sentences.set(parked.row.id, parked.row); // what was read meanwhile was read before it was kept so
    parked.giveUp();
  },

  /**
   * Goes on with another sentence; the one in hand is parked.
   * @param {string} id
   * @param {{force?: boolean}} [options] `force` takes it over from the window that writes it
   * @returns {Promise<boolean>} `false` when another window writes it, or it is there no more
   */
  async open(id, { force = false } = {}) {
    const before = mine?.row.id;
    if (before === id) return true;
    await sentences.park();
    if (await take(id, { steal: force, wait_ms: GIVEN_BACK_WAIT_MS })) return true;
    if (before && !mine) await take(before, { wait_ms: GIVEN_BACK_WAIT_MS }); // what stands on the screen is still this window's
    return false;
  },

  /** Starts over: the sentence is gone, its units are free. */
  async drop() {
    if (!mine) return;
    const { row, giveUp } = leave();
    known.sentences.delete(row.id);
    saving = saving.then(async () => {
      // what was read meanwhile was read before it went: there it would hold its units for nobody
      if ((await dropSentence(row.id)) && known.sentences.delete(row.id)) change({});
      tellOthers("sentences");
    });
    await saving;
    giveUp();
  },

  /** It is an order now. */
  ended() {
    if (!mine) return;
    const { row, giveUp } = leave();
    known.sentences.delete(row.id);
    giveUp();
  },
};

/** @type {(draft: Sentence['draft']) => Mine} */
function begin(draft) {
  const id = newId();
  /** @type {Mine} */
  const made = { row: { id, owner: WINDOW, changed_at: "", draft }, kept: false, unsaved: false, giveUp: () => {} };
  sameTab.note(id);
  keepForWindow(`sentence-${id}`, () => lose(id)).then((giveUp) => {
    if (mine === made && giveUp) made.giveUp = giveUp;
    else giveUp?.();
  });
  return made;
}

/** @returns {Mine} what this window had and has no more */
function leave() {
  const left = /** @type {Mine} */ (mine);
  mine = null;
  sameTab.note(null);
  change({});
  return left;
}

/**
 * @param {string} id
 * @param {{steal?: boolean, wait_ms?: number}} how
 */
async function take(id, how) {
  const giveUp = await keepForWindow(`sentence-${id}`, () => lose(id), how);
  const row = giveUp && (await takeSentence(id));
  if (row) {
    mine = { row, kept: true, unsaved: false, giveUp };
    known.sentences.set(id, row);
    sentences.taken_away = false;
    sameTab.note(id);
  } else giveUp?.();
  tellOthers("sentences");
  await hearOfSentences();
  return Boolean(row);
}

async function takeUpLeft() {
  const earlier = earlierDraft();
  if (earlier && !mine) sentences.write(earlier);
  if (mine) return;
  const before = sameTab.noted();
  if (before && (known.sentences.get(before)?.owner ?? null) !== null && (await take(before, { wait_ms: GIVEN_BACK_WAIT_MS }))) return;
  for (const id of await leftBehind()) if (mine || (await take(id, {}))) return;
}

/** Keeps it; several changes at once are kept as one. @param {Mine} now */
function save(now) {
  now.unsaved = true;
  saving = saving.then(async () => {
    if (!now.unsaved) return;
    now.unsaved = false;
    try {
      await putSentence(structuredClone(now.row), now.kept);
      now.kept = true;
      tell(false);
    } catch (error) {
      if (error instanceof HouseError && error.kind === "taken") lose(now.row.id);
      else tell(true);
    }
    tellOthers("sentences");
  });
  return saving;
}

/** @type {(unkept: boolean) => void} */
function tell(unkept) {
  if (sentences.unkept !== unkept) change({});
  sentences.unkept = unkept;
}

/** @param {string} id another window has it now */
function lose(id) {
  if (mine?.row.id !== id) return;
  leave();
  sentences.taken_away = true;
  hearOfSentences();
}
/** What is whose by now; called when another window has written, too. */
export async function hearOfSentences() {
  await loadSentences().catch(() => {}); // the trouble is told by the database
  overlay();
  elsewhere = await writtenElsewhere();
  change({});
}

/** After any reading of the database: what this window writes is newer than what it read. */
function overlay() {
  if (!mine) return;
  const read = known.sentences.get(mine.row.id);
  if (read && read.owner !== WINDOW) lose(mine.row.id);
  else known.sentences.set(mine.row.id, mine.row);
}
listeners.add(overlay);
