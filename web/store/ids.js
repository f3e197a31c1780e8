/**
 * @file Ids of new rows. Of one window the later sorts after the earlier, of several by the house's clock, so that wherever rows of one day or
 * one entry are told apart by their ids, what was said or written down first stands first. Lines of standing orders have names for ids
 * (recurring.js): two devices must make the same.
 */

import { now } from "./known.js";

const COUNT_MAX = 0xfff;

let last_ms = 0;
let count = 0;

/**
 * A UUID of version 7 (RFC 9562, 5.7): milliseconds, then a counter within one of them (6.2, method 1), then chance. A clock that is put back
 * while the window is open goes on from where it was.
 * @param {number} [now_ms]
 */
export function newId(now_ms = now().getTime()) {
  if (now_ms > last_ms) [last_ms, count] = [now_ms, 0];
  else if (count < COUNT_MAX) count += 1;
  else [last_ms, count] = [last_ms + 1, 0];
  const time = hex(last_ms, 12);
  return `${time.slice(0, 8)}-${time.slice(8)}-7${hex(count, 3)}-${crypto.randomUUID().slice(19)}`;
}

/** @param {number} number @param {number} digits */
const hex = (number, digits) => number.toString(16).padStart(digits, "0");
