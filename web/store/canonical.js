/** @file Canonical JSON and the hash that chains this device's entries: both sides must write the same bytes. */

import { HouseError } from "./trouble.js";

/**
 * The canonical JSON of the contract: keys sorted, no white space, whole numbers only, well-formed text.
 * Fields that are `undefined` are left out.
 * @param {any} value
 * @param {string} [where] named in the error
 * @returns {string}
 */
export function canonical(value, where = "operation") {
  if (value === null || typeof value === "boolean") return JSON.stringify(value);
  if (typeof value === "number") {
    if (!Number.isSafeInteger(value)) throw unfit(where, value, "whole numbers only");
    return String(value === 0 ? 0 : value);
  }
  if (typeof value === "string") {
    if (!wellFormed(value)) throw unfit(where, value, "text with half a character in it");
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map((item, i) => canonical(item, `${where}[${i}]`)).join(",")}]`;
  if (typeof value === "object") {
    const keys = Object.keys(value)
      .filter((key) => value[key] !== undefined)
      .sort();
    // beyond the basic plane JavaScript and Python would sort differently
    if (keys.some((key) => /[\ud800-\udfff]/.test(key))) throw unfit(where, keys, "a name that cannot be sorted alike everywhere");
    return `{${keys.map((key) => `${JSON.stringify(key)}:${canonical(value[key], `${where}.${key}`)}`).join(",")}}`;
  }
  throw unfit(where, value, `a ${typeof value} cannot be written down`);
}

/** @param {string} text */
export function wellFormed(text) {
  return !/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/.test(text);
}

/**
 * Lower-case hex SHA-256 of text in UTF-8.
 * @param {string} text
 */
export async function sha256(text) {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * @param {string} where
 * @param {unknown} value
 * @param {string} rule
 */
function unfit(where, value, rule) {
  return new HouseError("draft", `${where} is ${String(value)}: ${rule}.`, "Correct that value.", { field: where });
}
