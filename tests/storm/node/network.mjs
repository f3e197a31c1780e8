/** @file What a window asks of the house, and the pipe to the process that has it. */

import { readSync, writeSync } from "node:fs";
import { StringDecoder } from "node:string_decoder";

/** Requests that were not carried yet. @type {{realm: any, ask: Record<string, any>, settle: (answer: any) => void}[]} */
export const outgoing = [];

/**
 * What a window sees as `fetch`.
 * @param {any} realm
 * @param {string} path
 * @param {any} options
 */
export function asked(realm, path, { method, headers, body, signal }) {
  if (realm.dead) return new Promise(() => {});
  if (!realm.device.reach) return Promise.reject(new TypeError("no signal"));
  const ask = { device: realm.device.key, path, method, token: (headers.Authorization ?? "").replace("Bearer ", ""), body: body ?? null };
  return new Promise((resolve, reject) => {
    signal?.addEventListener("abort", () => reject(signal.reason));
    const settle = (answer) => {
      if (realm.dead) return;
      if (answer.lost) reject(new TypeError(answer.lost));
      else resolve(responseOf(answer));
    };
    outgoing.push({ realm, ask, settle });
  });
}

function responseOf({ status, type, body }) {
  return {
    ok: status < 400,
    status,
    headers: { get: (name) => (name === "Content-Type" ? type : null) },
    json: async () => JSON.parse(body),
  };
}

const decoder = new StringDecoder("utf8");
const piece = Buffer.alloc(65_536);
let rest = "";

/** The next message of the other process; waits for it. @returns {any} null when it is gone */
export function heard() {
  for (;;) {
    const end = rest.indexOf("\n");
    if (end >= 0) {
      const line = rest.slice(0, end);
      rest = rest.slice(end + 1);
      return JSON.parse(line);
    }
    const read = readSync(0, piece);
    if (read === 0) return null;
    rest += decoder.write(piece.subarray(0, read));
  }
}

/** @param {any} message */
export function say(message) {
  let bytes = Buffer.from(`${JSON.stringify(message)}\n`);
  while (bytes.length) bytes = bytes.subarray(writeSync(1, bytes));
}
