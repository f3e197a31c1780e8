/**
 * @file The log: what happened here, written down at once and for good. One transaction per operation; the share is read and
 * `spent` raised in the transaction that adds the entry, so no two tabs can promise the same bar.
 */

import { canonical, sha256 } from "./canonical.js";
import { Raced, read, write } from "./database.js";
import { known, load, now, readKeep, relay, shareOf } from "./known.js";
import { tellOthers, inTurn, WINDOW } from "./turn.js";
import { HouseError } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {import('./shapes.d.ts').Entry} Entry */
/**
 * What an act wants written, built from what is known: pure, and called again when another tab came first.
 * `orders` is 1 when it uses up one of this device's order numbers. `sentence`: the sentence that becomes an order by it, once and never again.
 * @typedef {{kind: string, rows: Row[], spent?: import('./shapes.d.ts').Units, orders?: 0 | 1, sentence?: string}} Intent
 */

const TRIES_MAX = 6;
const TURN_WAIT_MS = 1500;
const BODY_LETTERS_MAX = 1_000_000; // the house takes four megabytes at once, and a letter may be four bytes

/** Told after every entry that was written; set by the house. */
export const after = { append() {} };

/**
 * Writes one operation down; resolves with its entry after the commit.
 * @param {() => Intent} build reads `known`; must not change it
 * @returns {Promise<Entry>}
 */
export async function append(build) {
  return (await appendAll(() => [build()]))[0];
}

/**
 * Writes several operations down, all of them or none; resolves with their entries after the commit.
 * @param {() => Intent[]} build
 * @returns {Promise<Entry[]>}
 */
export async function appendAll(build) {
  const entries = await inTurn("log", TURN_WAIT_MS, async () => {
    for (let tried = 1; ; tried += 1) {
      const intents = build();
      const made = await sealAll(intents);
      try {
        await commit(
          made,
          intents.reduce((sum, { orders = 0 }) => sum + orders, 0),
        );
        return made;
      } catch (error) {
        if (!(error instanceof Raced)) throw error;
        if (tried === TRIES_MAX) {
          throw new HouseError("storage", "Another window kept writing at the same time.", "Close the other windows, then do it again.");
        }
        await load();
      }
    }
  });
  tellOthers();
  after.append();
  return entries;
}

/** @param {Intent[]} intents each goes on from the one before it in the chain */
async function sealAll(intents) {
  /** @type {Entry[]} */
  const made = [];
  let { seq, hash } = known.head;
  for (const intent of intents) {
    const entry = await seal(intent, { seq, hash });
    ({ seq, hash } = entry.operation);
    made.push(entry);
  }
  return made;
}

/**
 * @param {Intent} intent
 * @param {{seq: number, hash: string}} head
 * @returns {Promise<Entry>}
 */
async function seal({ kind, rows, spent = {}, sentence }, head) {
  const { identity } = known;
  if (!identity || known.marks.removed_at) {
    throw new HouseError("not enrolled", "This device is not added yet.", "Add it with a code from an owner's device.");
  }
  if (known.marks.moved_to) {
    throw new HouseError(
      "moved",
      `This device goes on at ${known.marks.moved_to}: the main computer moved there.`,
      "Open it there and write it down again.",
    );
  }
  if (known.marks.frozen) {
    throw new HouseError("frozen", known.marks.frozen, "Add this device again with a new code, then do it again.");
  }
  // as it goes over the wire: no undefined fields, nothing shared with the caller's own objects
  const plain = JSON.parse(
    canonical({
      id: crypto.randomUUID(),
      device: identity.device,
      seq: head.seq + 1,
      kind,
      version: 1,
      made_at: `${now().toISOString().slice(0, 19)}Z`,
      before: head.hash,
      spent,
      rows,
    }),
  );
  const operation = { ...plain, hash: await sha256(canonical(plain)) };
  return {
    device: identity.device,
    seq: operation.seq,
    id: operation.id,
    operation,
    state: "in_hand",
    position: null,
    why: "",
    remedy: "",
    prior: priorOf(operation.rows),
    undone: false,
    ...(sentence ? { sentence } : {}),
  };
}

/**
 * @param {Entry[]} entries one after the other in the chain
 * @param {number} orders
 */
async function commit(entries, orders) {
  const [first, last] = [entries[0], entries[entries.length - 1]];
  const written = await write(["keep", "log", "sentences"], async (tx) => {
    const keep = await readKeep(tx);
    for (const entry of entries) await spoken(tx, entry);
    if (keep.identity?.device !== first.device || keep.head.seq + 1 !== first.seq || keep.head.hash !== first.operation.before) {
      throw new Raced();
    }
    const share = { granted: keep.share.granted, spent: { ...keep.share.spent } };
    for (const [good, units] of entries.flatMap(({ operation }) => Object.entries(operation.spent))) {
      if (units < 1 || units > shareOf(good, share)) throw new Raced();
      share.spent[good] = (share.spent[good] ?? 0) + units;
    }
    const undone = (await Promise.all(entries.map(({ operation }) => undoneBy(tx, operation)))).filter(
      (entry) => entry !== null && entry !== undefined,
    );
    const head = { seq: last.seq, hash: last.operation.hash, orders: keep.head.orders + orders };
    await Promise.all([
      ...entries.map((entry) => tx.objectStore("log").add(entry)),
      ...undone.map((entry) => tx.objectStore("log").put(entry)),
      tx.objectStore("keep").put(share, "share"),
      tx.objectStore("keep").put(head, "head"),
    ]);
    return { share, head, undone };
  });
  Object.assign(known, { share: written.share, head: written.head });
  written.undone.forEach((entry) => known.entries.set(entry.id, entry));
  entries.forEach((entry) => {
    known.entries.set(entry.id, entry);
    if (entry.sentence) known.sentences.delete(entry.sentence);
  });
  relay();
}

/**
 * A sentence becomes an order in the transaction that ends it: of two windows only one can.
 * @param {import('./database.js').Writing} tx
 * @param {Entry} entry
 */
async function spoken(tx, { sentence }) {
  if (!sentence) return;
  const sentences = tx.objectStore("sentences");
  const [before, row] = await Promise.all([tx.objectStore("log").index("by_sentence").get(sentence), sentences.get(sentence)]);
  if (before) throw new HouseError("taken", "This order is written down already.", "Look for it in the Book, or start over.");
  if (row && row.owner !== null && row.owner !== WINDOW) {
    throw new HouseError("taken", "This order is being written in another window.", "Go on there, or take it over here.");
  }
  await sentences.delete(sentence);
}

/**
 * The entry that this one undoes, marked so in the very transaction that writes the undoing.
 * @param {import('./database.js').Writing} tx
 * @param {import('./shapes.d.ts').Operation} operation
 * @returns {Promise<Entry | null>}
 */
async function undoneBy(tx, operation) {
  const named = operation.rows.find((row) => row.table === "undoing");
  if (!named) return null;
  const entry = /** @type {Entry | undefined} */ (await tx.objectStore("log").index("by_id").get(named.id));
  if (!entry || entry.undone) throw new Raced(); // another window was first: built again, it is told so
  return { ...entry, undone: true };
}

/**
 * The upsert rows as they stand now, for an undo.
 * @param {Row[]} rows
 * @returns {Row[]}
 */
function priorOf(rows) {
  return rows.flatMap(({ table, id }) => {
    const row = known.view.board.tables[table]?.get(id);
    return row ? [{ table, ...row }] : [];
  });
}

/**
 * Changes fields of entries already in the log.
 * @param {string[]} ids
 * @param {Partial<Entry>} fields
 */
export async function mark(ids, fields) {
  const marked = await write(["log"], async (tx) => {
    const log = tx.objectStore("log");
    const found = await Promise.all(ids.map((id) => log.index("by_id").get(id)));
    const entries = found.filter(Boolean).map((entry) => ({ ...entry, ...fields }));
    await Promise.all(entries.map((entry) => log.put(entry)));
    return entries;
  });
  marked.forEach((entry) => known.entries.set(entry.id, entry));
  tellOthers();
}

/**
 * Entries in hand as they go over the wire: the oldest that the house has not read, then those that it keeps until their cause has come.
 * @param {number} most
 */
export async function inHandOperations(most) {
  return read(["keep", "log"], async (tx) => {
    const keep = await readKeep(tx);
    const entries = /** @type {Entry[]} */ (await tx.objectStore("log").index("by_state").getAll("in_hand"));
    const isRead = (/** @type {Entry} */ { seq }) => Number(seq <= keep.marks.read_to);
    const mine = entries.filter((entry) => entry.device === keep.identity?.device).sort((a, b) => isRead(a) - isRead(b) || a.seq - b.seq);
    const next = mine.slice(0, Math.min(most, manyWithin(mine, BODY_LETTERS_MAX)));
    // what the house said before it was put back from a backup: its answer stands
    const refused = next.filter((entry) => entry.why).map(({ id, why, remedy }) => ({ id, why, remedy }));
    const places = Object.fromEntries(next.flatMap(({ id, place }) => (place ? [[id, place]] : [])));
    const unread = mine.filter((entry) => !isRead(entry)).length - next.filter((entry) => !isRead(entry)).length;
    const left = mine.length - next.length;
    return { ...keep, operations: next.map((entry) => entry.operation), refused, places, written: keep.head.seq, left, unread };
  });
}

/**
 * How many of the first entries go over the wire together; one at least.
 * @param {Entry[]} entries
 * @param {number} letters_max
 */
function manyWithin(entries, letters_max) {
  let letters = 0;
  const beyond = entries.findIndex(({ operation }) => {
    letters += JSON.stringify(operation).length;
    return letters > letters_max;
  });
  return beyond < 0 ? entries.length : Math.max(1, beyond);
}
