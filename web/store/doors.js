/** @file Talking to the house: every request with this device's key, a bound on the wait, and nothing believed unchecked. */

import { HouseError } from "./trouble.js";

const PROTOCOL = 1;

/** Fields an exchange's answer must have, and what they are. @type {Record<string, string>} */
const EXCHANGE_FIELDS = {
  epoch: "string",
  landed: "array",
  refused: "array",
  changes: "array",
  cursor: "number",
  more: "boolean",
  granted: "object",
  spent: "object",
  pool: "object",
  short: "object",
  ask_back: "object",
  last_seq: "number",
  covered_to: "number",
  house_time: "string",
};
const MIRROR_FIELDS = {
  epoch: "string",
  cursor: "number",
  rows: "array",
  balances: "array",
  sure: "array",
  handed: "array",
  paid: "array",
  granted: "object",
  spent: "object",
  last_seq: "number",
  last_hash: "string",
  house_time: "string",
};

/** The exchange's own doors, which may stand at another address for a while. */
const MOVING = ["/api/health", "/api/exchange", "/api/mirror", "/api/late"];
/** Where the main computer is being looked for; empty: where this page is from. */
let place = "";

/**
 * While `work` goes on the exchange goes to another address.
 * @template T
 * @param {string} address without a slash at the end
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function askingAt(address, work) {
  place = address;
  try {
    return await work();
  } finally {
    place = "";
  }
}

/** Whether the exchange goes to where this page is from. */
export const isAtHome = () => place === "";

/**
 * One request to the house.
 * @param {string} path
 * @param {{method?: string, body?: any, token?: string, wait_s?: number, signal?: AbortSignal}} [options]
 * @returns {Promise<Response>} an answer of the house itself; rejects with `no answer` or `refused`
 */
export async function knock(path, { method, body, token, wait_s = 20, signal } = {}) {
  /** @type {Record<string, string>} */
  const headers = token ? { Authorization: `Bearer ${token}` } : {};
  if (body !== undefined) headers["Content-Type"] = "application/json";
  const bound = AbortSignal.timeout(wait_s * 1000);
  /** @type {Response} */
  let response;
  try {
    response = await fetch(MOVING.includes(path) ? place + path : path, {
      method: method ?? (body === undefined ? "GET" : "POST"),
      headers,
      redirect: "error",
      cache: "no-store",
      credentials: "same-origin",
      body: body === undefined ? undefined : JSON.stringify(body),
      signal: signal ? AbortSignal.any([signal, bound]) : bound,
    });
  } catch (error) {
    throw noAnswer(error);
  }
  if (!response.ok) throw await refusal(response);
  return response;
}

/**
 * A JSON answer.
 * @param {string} path
 * @param {Parameters<typeof knock>[1]} [options]
 */
export async function knockJson(path, options) {
  const response = await knock(path, options);
  if (kindOf(response) !== "application/json") throw noAnswer(`came as ${kindOf(response) || "nothing"}`);
  try {
    return await response.json();
  } catch (error) {
    throw noAnswer(error); // cut off in the middle
  }
}

/**
 * Sends one exchange. Anything that is not this protocol's answer to this very request is unknown, never failed.
 * @param {any} ask
 * @param {string} token
 * @returns {Promise<import('./shapes.d.ts').Answer>}
 */
export async function sendExchange(ask, token) {
  const answer = await knockJson("/api/exchange", { body: ask, token });
  if (answer?.request !== ask.request) throw noAnswer("the answer was to another request");
  return checked(answer, EXCHANGE_FIELDS);
}

/**
 * @param {string} token
 * @returns {Promise<import('./shapes.d.ts').MirrorAnswer>}
 */
export async function fetchMirror(token) {
  return checked(await knockJson("/api/mirror", { token, wait_s: 60 }), MIRROR_FIELDS);
}

/**
 * @param {any} answer
 * @param {Record<string, string>} fields
 */
function checked(answer, fields) {
  if (answer?.protocol !== PROTOCOL) throw noAnswer("not what this app understands");
  for (const [field, type] of Object.entries(fields)) {
    const value = answer[field];
    const found = Array.isArray(value) ? "array" : value === null ? "null" : typeof value;
    if (found !== type) throw noAnswer(`${field} is ${found}`);
  }
  return answer;
}

/** @param {Response} response */
function kindOf(response) {
  return (response.headers.get("Content-Type") ?? "").split(";")[0].trim().toLowerCase();
}

/** @param {unknown} cause */
function noAnswer(cause) {
  const why = cause instanceof Error ? "" : ` (${cause})`; // the browser's own words for a broken line help nobody
  return new HouseError("no answer", `The main computer is out of reach${why}.`, "Try again once there is signal.", { cause });
}

/** @param {Response} response */
async function refusal(response) {
  if (kindOf(response) !== "application/problem+json") return noAnswer(`status ${response.status}`);
  const problem = await response.json().catch(() => null);
  if (!problem) return noAnswer(`status ${response.status}`);
  return new HouseError(
    "refused",
    problem.detail || problem.title || `The main computer answered ${response.status}.`,
    problem.remedy || "",
    {
      status: response.status,
      kept: Array.isArray(problem.kept) ? problem.kept : [],
      code: String(problem.type ?? "").replace("urn:honeyhold:", ""),
      forget: problem.forget === true,
      epoch: String(problem.epoch ?? ""),
    },
  );
}
