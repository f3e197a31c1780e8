/**
 * @file The main computer moved to another address. A browser keeps a device's entries under the address at which it was added, so from there
 * all that was not sent is handed over to the new one, in the ordinary exchange and under this device's own name; what was set aside for it is
 * given back, and it writes nothing here any more. Another business's records are known by their first entry and get nothing.
 */

import { read, write } from "./database.js";
import { addressIn } from "./house-address.js";
import { askingAt, knockJson } from "./doors.js";
import { allRounds } from "./exchange.js";
import { known, load, readKeep, shareOf } from "./known.js";
import { EARLIER } from "./late.js";
import { append } from "./log.js";
import { inTurn, tellOthers } from "./turn.js";
import { badDraft, HouseError } from "./trouble.js";

const TURN_WAIT_MS = 25_000;
const NOTHING_WISHED = () => ({ wants: {}, callers: {} });

/**
 * Hands over all that this device has not sent. Resolves once none is left behind; rejects with what stands in the way.
 * @param {string} text the new address
 * @returns {Promise<{address: string, link: string, sent: number}>}
 */
export async function handOver(text) {
  const { address, link } = addressIn(text, location.hostname);
  mayGo(address);
  const sent = await inTurn("exchange", TURN_WAIT_MS, () => askingAt(address, () => handedOver(address)));
  await load();
  tellOthers();
  return { address, link, sent };
}

/** @param {string} address */
function mayGo(address) {
  if (address === location.origin) throw badDraft("address", "This device is at that address already.", "Give the new address.");
  if (!known.identity)
    throw new HouseError("refused", "This device is not added yet.", "Open the new address and add it there with a code.");
  if ([...known.sentences.values()].some(({ draft }) => draft.lines.length > 0)) {
    throw badDraft("sentence", "An order is half written on this device.", "Finish it at the Counter, or start over; then come back here.");
  }
  if (!known.marks.house) {
    throw new HouseError(
      "refused",
      "This device does not know yet which records are its own.",
      "Let it hear the main computer once at this address.",
    );
  }
}

/**
 * @param {string} address
 * @returns {Promise<number>} how many entries went
 */
async function handedOver(address) {
  const { house } = await knockJson("/api/health");
  if (house !== known.marks.house) {
    throw new HouseError(
      "refused",
      `At ${address} are the records of another business. Nothing was sent.`,
      "Look at the address again: it stands under the code, on an owner's device of yours.",
    );
  }
  const before = await leftHere();
  await allRounds(NOTHING_WISHED);
  await shareBack();
  await allRounds(NOTHING_WISHED);
  const left = await leftHere();
  if (left)
    throw new HouseError(
      "no answer",
      `${left} ${left === 1 ? "entry is" : "entries are"} still only here.`,
      "Do it again; nothing is lost.",
    );
  await write(["keep"], async (tx) => {
    const { marks } = await readKeep(tx);
    await tx.objectStore("keep").put({ ...marks, moved_to: address }, "marks");
  });
  return before;
}

/** What was set aside for this device goes back: nobody opens it at this address any more. */
async function shareBack() {
  const held = () =>
    Object.fromEntries(Object.keys(known.share.granted).flatMap((good) => (shareOf(good) > 0 ? [[good, shareOf(good)]] : [])));
  if (known.marks.frozen || Object.keys(held()).length === 0) return;
  await append(() => ({ kind: "give_back", rows: [], spent: held() }));
}

/** Entries that the main computer has not read, and those of an earlier name that it has not taken. */
async function leftHere() {
  return read(["keep", "log"], async (tx) => {
    const { identity, marks } = await readKeep(tx);
    const index = tx.objectStore("log").index("by_state");
    const [inHand, earlier] = await Promise.all([index.getAll("in_hand"), index.count(EARLIER)]);
    return inHand.filter(({ device, seq }) => device === identity?.device && seq > marks.read_to).length + earlier;
  });
}
