/**
 * @file One round with the house: what is in hand goes up, what changed comes down. It can be cut at any byte and said again.
 * The cursor, the rows, the share and the entries' states move in one transaction.
 */

import { Raced, read, write } from "./database.js";
import { fetchMirror, isAtHome, sendExchange } from "./doors.js";
import { known, load, readKeep, relay } from "./known.js";
import { handIn } from "./late.js";
import { forget, forgotten, ordersNamed, ordersOf } from "./forget.js";
import { inHandOperations } from "./log.js";
import { behind, emptied, merged, MIRROR_SHAPE, started } from "./fresh.js";
import { turnedAway } from "./removed.js";
import { inTurn, tellOthers } from "./turn.js";
import { HouseError } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Answer} Answer */
/** @typedef {import('./shapes.d.ts').Entry} Entry */

/** How a second undo, or a standing order confirmed on two devices, is refused: nobody needs to do anything. */
const ALREADY_DONE = /^Already (undone|promised)/;
const OPERATIONS_MAX = 200;
const ROUNDS_MAX = 500;
const TURN_WAIT_MS = 25_000;

/** @typedef {{wants: import('./shapes.d.ts').Units, callers: import('./shapes.d.ts').Units}} Wishes */

/**
 * Rounds until nothing is left to say or hear.
 * @param {() => Wishes} wishes what this device would like to hold, and what a caller on the line needs; asked anew each round
 * @returns {Promise<import('./shapes.d.ts').Units>} what the house would like back
 */
export async function exchangeAll(wishes) {
  return inTurn("exchange", TURN_WAIT_MS, () => allRounds(wishes));
}

/**
 * The same for whoever has the turn already.
 * @param {() => Wishes} wishes
 */
export async function allRounds(wishes) {
  let heard = await round(wishes());
  for (let rounds = 1; heard.again && rounds < ROUNDS_MAX; rounds += 1) heard = await round(wishes());
  return heard.ask_back;
}

/** @param {Wishes} wishes */
async function round(wishes) {
  const standing = await inHandOperations(OPERATIONS_MAX);
  const { identity, marks } = standing;
  if (!identity) throw new HouseError("not enrolled", "This device is not added yet.", "Add it with a code.");
  if (marks.cursor === null || marks.shape < MIRROR_SHAPE) {
    await began(identity.token).catch(turnedAway);
    return { again: true, ask_back: {} };
  }
  const asked_at = Date.now();
  const answer = await sendExchange(
    {
      protocol: 1,
      request: crypto.randomUUID(),
      device: identity.device,
      epoch: marks.epoch,
      cursor: marks.cursor,
      operations: standing.operations,
      spent: standing.share.spent,
      granted: standing.share.granted,
      ...wishes,
      clock: new Date(asked_at).toISOString(),
      refused: standing.refused,
      places: standing.places,
      written: standing.written,
    },
    identity.token,
  ).catch(turnedAway);
  if (!answer) return { again: true, ask_back: {} };
  const offset_ms = offset(answer.house_time, asked_at);
  if (marks.epoch !== null && answer.epoch !== marks.epoch) {
    await began(identity.token);
    return { again: true, ask_back: {} };
  }
  const resent = await heed(answer, identity.device, standing.operations);
  await lay(answer, { ...marks, offset_ms });
  tellOthers();
  await handIn(identity.token);
  // a copied device's entries are refused page by page, each kept apart: the rest is to be kept too
  const heard = !answer.expects || answer.refused.length > 0;
  // what the house keeps until its cause has come is not said again and again in one breath
  const more = standing.unread > 0 || (standing.left > 0 && answer.landed.length + answer.refused.length > 0);
  return { again: answer.more || (more && heard) || resent, ask_back: answer.ask_back };
}

/**
 * Starts the mirror anew: a new device, or a house that was restored from a backup (a new epoch). What the house lacks of this
 * device's own entries is in hand again.
 * @param {string} token
 */
async function began(token) {
  const asked_at = Date.now();
  const mirror = await fetchMirror(token);
  await started(mirror, offset(mirror.house_time, asked_at));
  await load();
  tellOthers();
}

/**
 * A hole or a fork: after a hole the entries from there on are said again; where that cannot help, this device is a copy.
 * @param {Answer} answer
 * @param {string} device
 * @param {import('./shapes.d.ts').Operation[]} sent
 * @returns {Promise<boolean>} whether there is something to send again
 */
async function heed(answer, device, sent) {
  if (!answer.expects) return false;
  const { seq, why } = answer.expects;
  // what was said already and is still expected was not understood: saying it again cannot help
  const earlier = seq < (sent[0]?.seq ?? 0) && (await read(["log"], (tx) => tx.objectStore("log").get([device, seq])));
  if (!earlier) {
    await freeze(why);
    return false;
  }
  await write(["log"], async (tx) => {
    const log = tx.objectStore("log");
    const entries = /** @type {Entry[]} */ (await log.getAll(IDBKeyRange.bound([device, seq], [device, Infinity])));
    await Promise.all(entries.map((entry) => log.put({ ...entry, state: "in_hand" })));
  });
  await load();
  return true;
}

/** @param {string} why */
async function freeze(why) {
  await write(["keep"], async (tx) => {
    const { marks } = await readKeep(tx);
    await tx.objectStore("keep").put({ ...marks, frozen: why }, "marks");
  });
  known.marks = { ...known.marks, frozen: why };
}

/**
 * The day for which all orders were looked at, whether they may leave this device; after that those alone that an answer speaks of, or that entries
 * in hand kept here the last time.
 * @type {{day: string | undefined, kept: Set<string>}}
 */
let looked = { day: undefined, kept: new Set() };

/**
 * Lays an answer on the mirror.
 * @param {Answer} answer
 * @param {import('./shapes.d.ts').Marks} before as they stood when the answer was asked for
 */
async function lay(answer, before) {
  if (known.marks.cursor !== before.cursor || known.marks.epoch !== before.epoch) {
    await load();
    looked = { day: undefined, kept: new Set() }; // what another window laid, this one has not looked at
  }
  const mirror = known.mirror.copy();
  /** @type {Map<string, {store: 'rows'|'sums', key: string[], value: any}>} */
  const touched = new Map();
  for (const change of answer.changes) {
    if (change.position <= (before.cursor ?? 0)) continue;
    for (const row of change.rows) {
      mirror.apply(row, (store, key, value) => touched.set([store, ...key].join("\n"), { store, key, value }));
    }
  }
  const spoken_of = answer.changes.flatMap(({ rows }) => ordersOf(rows, mirror));
  const only = answer.keep_since === looked.day ? new Set([...spoken_of, ...looked.kept]) : null;
  const named = ordersNamed(known.entries.values(), mirror, before.cursor);
  const left = forget(mirror, answer.keep_since, named, only);
  const written = await write(["keep", "log", "rows", "sums"], async (tx) => {
    const keep = await readKeep(tx);
    if (keep.marks.cursor !== before.cursor || keep.marks.epoch !== before.epoch) throw new Raced();
    const share = merged(keep.share, answer);
    const frozen = keep.marks.frozen ?? behind(keep.head.seq, answer.last_seq);
    const { epoch, cursor, short, pool, covered_to, last_seq: read_to } = answer;
    const heard = { heard_at: new Date().toISOString(), turned_away: null, ...(isAtHome() ? { moved_to: null } : {}) };
    const marks = { ...before, frozen, epoch, cursor, short, pool, covered_to, read_to, ...heard };
    const puts = [...touched.values()].map(({ store, key, value }) => tx.objectStore(store).put(value, key));
    const entries = await settled(tx, answer, keep.identity?.device ?? "", (order) => mirror.tables.order.has(order));
    await Promise.all([
      ...puts,
      ...entries.map((entry) => tx.objectStore("log").put(entry)),
      tx.objectStore("keep").put(share, "share"),
      tx.objectStore("keep").put(marks, "marks"),
    ]);
    await forgotten(tx, left);
    if (covered_to > before.covered_to) await emptied(tx, keep.identity?.device ?? "", covered_to, answer.house_time);
    return { share, marks, entries };
  });
  looked = { day: answer.keep_since, kept: named };
  Object.assign(known, { mirror, marks: written.marks, share: written.share });
  written.entries.forEach((entry) => known.entries.set(entry.id, entry));
  relay();
}

/**
 * Own entries with what the house said of them. An own entry among the changes has landed, even if its answer was lost.
 * @param {import('./database.js').Writing} tx
 * @param {Answer} answer
 * @param {string} device
 * @param {(order: string) => boolean} there whether the house has an order
 * @returns {Promise<Entry[]>}
 */
async function settled(tx, answer, device, there) {
  /** @type {Map<string, Partial<Entry>>} */
  const told = new Map();
  for (const { id, position } of answer.changes.filter((change) => change.device === device)) {
    told.set(id, { state: "landed", position });
  }
  for (const { id, position } of answer.landed) told.set(id, { state: "landed", position });
  for (const { id, why, remedy } of answer.refused) told.set(id, { state: "refused", why, remedy });
  const log = tx.objectStore("log").index("by_id");
  const entries = await Promise.all(
    [...told].map(async ([id, fields]) => {
      const entry = /** @type {Entry | undefined} */ (await log.get(id));
      if (!entry || (entry.state === "set_aside" && fields.state === "refused")) return null;
      // the very sentence is an order there already, taken once and no more: nothing for anybody to do
      if (fields.state === "refused" && entry.sentence && there(entry.sentence))
        return { ...entry, ...fields, state: /** @type {const} */ ("set_aside") };
      const quiet = entry.dealt_with || ALREADY_DONE.test(fields.why ?? "");
      return { ...entry, ...fields, ...(quiet && fields.state === "refused" ? { state: /** @type {const} */ ("set_aside") } : {}) };
    }),
  );
  return entries.filter((entry) => entry !== null);
}

/**
 * The house's clock less this device's, taking the answer to have been written half way.
 * @param {string} house_time
 * @param {number} asked_at
 */
function offset(house_time, asked_at) {
  const heard_at = Date.now();
  return Math.round(Date.parse(house_time) - (asked_at + heard_at) / 2) || 0;
}
