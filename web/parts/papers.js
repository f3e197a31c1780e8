/** Papers printed from this device, with or without signal: what all of them are asked with, and the way to the printer. */
import { wakeKernel, work } from "../kernel/work.js";
import { house } from "../store/house.js";
import { printSheet } from "./print-sheet.js";

const LONGEST_WAIT_S = 30; // for some a parcel is worked out anew
/** @type {["letter" | "a4" | "a5", string][]} */
export const SIZES = [
  ["letter", "letter"],
  ["a4", "A4"],
  ["a5", "A5"],
];

/** The paper that lies in the printer. @returns {"letter" | "a4" | "a5"} */
export function paperSize() {
  const kept = house.view.setting("paper", "letter");
  return kept === "a4" || kept === "a5" ? kept : "letter";
}

/** What a paper says of the sender, and its size. */
export function paperFacts() {
  const settings = Object.fromEntries([...house.view.settings.values()].map(({ id, value }) => [id, value]));
  return { house: settings, size: paperSize(), today: house.today(), day: house.today() };
}

/**
 * What a paper needs worked out; a key touched as soon as the app is open waits until this device can.
 * @param {string} name
 * @param {Record<string, any>} request
 * @param {{wait_s: number}} options
 * @returns {Promise<any>}
 */
export function workForPaper(name, request, options) {
  wakeKernel(); // nothing happens where it is awake or on its way
  return work(name, request, options);
}

/**
 * @param {string} name of the work
 * @param {Record<string, any>} request
 * @returns {Promise<{notes: string[]}>} what whoever prints it should know
 */
export async function printPaper(name, request, { wait_s = LONGEST_WAIT_S } = {}) {
  const { html, notes = [] } = await workForPaper(name, request, { wait_s });
  await printSheet(html);
  return { notes };
}
