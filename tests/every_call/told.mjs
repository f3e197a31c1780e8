/** @file Anything in words, the same each time: ids that are new by which of them it is, and nothing that hangs on the version of Node. */

const DEEPEST = 7;
const NEW_ID = /[0-9a-f]{8}-[0-9a-f]{4}-[47][0-9a-f]{3}-8000-\d{12}/g;
const HASH = /\b[0-9a-f]{64}\b/g;
const OF_JAVASCRIPT = ["TypeError", "RangeError", "ReferenceError", "SyntaxError"];

/** What JavaScript itself says where it breaks hangs on its version; what this app says is told. @param {any} error */
export function troubled(error) {
  if (OF_JAVASCRIPT.includes(error?.name)) return `! ${error.name}`;
  const { message = String(error), remedy = "", kind = "" } = error ?? {};
  return `! ${[kind, message, remedy].filter(Boolean).join(" ")}`;
}

/** @param {any} value @param {number} [deep] @returns {string} */
export function inWords(value, deep = 0) {
  if (typeof value === "function" || value?.toBeHeard) return "()";
  if (typeof value === "symbol") return "nothing";
  if (typeof value === "number" && !Number.isInteger(value)) return value.toPrecision(10);
  if (Object(value) !== value) return JSON.stringify(value) ?? "undefined";
  if (value instanceof Date) return Number.isNaN(value.getTime()) ? "no date" : value.toISOString();
  if (value instanceof Error) return troubled(value);
  if (value.constructor?.name === "View") return "the view";
  if (deep > DEEPEST) return "…";
  if (Array.isArray(value.strings) && value.values) return `<${value.strings.join("…")}>${inWords(value.values, deep + 1)}`;
  if (typeof value[Symbol.iterator] === "function") {
    const what = value instanceof Map ? "Map " : value instanceof Set ? "Set " : "";
    return `${what}[${[...value].map((one) => inWords(one, deep + 1)).join(", ")}]`;
  }
  const fields = Object.entries(value).map(([name, one]) => `${name}: ${inWords(one, deep + 1)}`);
  return `{${fields.join(", ")}}`;
}

/** New ids by which of them it is, within these lines; of what is summed up to a hash the lines tell themselves. @param {string[]} lines */
export function plain(lines) {
  const met = new Map();
  const which = (/** @type {string} */ id) => {
    if (!met.has(id)) met.set(id, `new ${met.size + 1}`);
    return met.get(id);
  };
  return lines.map((line) => line.replace(NEW_ID, which).replace(HASH, "hash"));
}
