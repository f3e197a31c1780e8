/** @file Anything in words that are the same every time; nothing is asked of it that might do something. */

const DEEPEST = 5;
const PARTS_MOST = 300;
const NEW = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}|\b[0-9a-f]{64}\b|127\.0\.0\.1:\d+/g;
const OF_JAVASCRIPT = ["TypeError", "RangeError", "ReferenceError", "SyntaxError"];

/** @param {any} value */
export function inWords(value) {
  /** @type {string[]} */
  const parts = [];
  write(value, parts, 0);
  return parts.join(" ").replace(NEW, "(new)");
}

/** @param {any} value @param {string[]} parts @param {number} deep */
function write(value, parts, deep) {
  if (parts.length > PARTS_MOST || deep > DEEPEST) return;
  if (typeof value === "function") parts.push("()");
  else if (typeof value === "symbol") parts.push("symbol");
  else if (typeof value === "number" && !Number.isInteger(value)) parts.push(value.toPrecision(10));
  else if (typeof value === "bigint") parts.push(`${value}n`);
  else if (Object(value) !== value) parts.push(JSON.stringify(value) ?? "undefined");
  else writeThing(value, parts, deep);
}

/** @param {any} thing @param {string[]} parts @param {number} deep */
function writeThing(thing, parts, deep) {
  const kind = Object.getPrototypeOf(thing)?.constructor?.name ?? "Object";
  if (thing instanceof Error) parts.push(kind, OF_JAVASCRIPT.includes(kind) ? "" : thing.message);
  else if (kind === "Date") parts.push(String(Number(thing)));
  else if (Array.isArray(thing)) writeAll("[", thing, parts, deep);
  else if (kind === "Set" || kind === "Map") writeAll(kind, [...thing], parts, deep);
  else if (kind === "Object") writeFields(thing, parts, deep);
  else parts.push(kind);
}

/** @param {string} what @param {any[]} all @param {string[]} parts @param {number} deep */
function writeAll(what, all, parts, deep) {
  parts.push(what, String(all.length));
  for (const one of all) {
    if (parts.length > PARTS_MOST) return;
    write(one, parts, deep + 1);
  }
}

/** @param {any} thing @param {string[]} parts @param {number} deep */
function writeFields(thing, parts, deep) {
  for (const [name, field] of Object.entries(Object.getOwnPropertyDescriptors(thing))) {
    if (parts.length > PARTS_MOST) return;
    parts.push(`${name}:`);
    if ("value" in field) write(field.value, parts, deep + 1);
  }
}
