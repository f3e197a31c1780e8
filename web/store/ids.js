/**
 * @file Ids of new rows. Of one device the later sorts after the earlier, so that wherever rows of one day or one entry are told apart by
 * their ids, what was said or written down first stands first.
 */

const COUNT_MAX = 0xfff;

let last_ms = 0;
let count = 0;

/**
 * A UUID of version 7 (RFC 9562, 5.7): milliseconds, then a counter within one of them (6.2, method 1), then chance. A clock that is put back
 * goes on from where it was.
 * @param {number} [now_ms]
 */
export function newId(now_ms = Date.now()) {
  if (now_ms > last_ms) [last_ms, count] = [now_ms, 0];
  else if (count < COUNT_MAX) count += 1;
  else [last_ms, count] = [last_ms + 1, 0];
  const time = hex(last_ms, 12);
  return `${time.slice(0, 8)}-${time.slice(8)}-7${hex(count, 3)}-${crypto.randomUUID().slice(19)}`;
}

/** @param {number} number @param {number} digits */
const hex = (number, digits) => number.toString(16).padStart(digits, "0");
