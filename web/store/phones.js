/**
 * @file Telephone numbers as people say them, kept by ITU-T E.164 ("+17155550123"). A number of the North American plan has to be
 * valid by the library's own full list of area codes and exchanges; one from abroad has to be possible (its length), since that
 * country's plan may be newer than the list. server/honeyhold/importing/phones.py reads by the same rule; both are held to one list of cases.
 */

import { known } from "./known.js";
import { badDraft } from "./trouble.js";

/** @typedef {import('./shapes.d.ts').DraftPerson} DraftPerson */
/** @typedef {(said: string) => {number: string, countryCallingCode: string, valid: boolean, possible: boolean} | undefined} Reader */

const HOME = "US";
const KEPT = /^\+[1-9]\d{6,14}$/;
const SAID = /^\s*(?:tel:)?\+?[\d\s().\-/]{1,40}$/;
const NEIGHBOR_DIGITS = 7;

/** @type {Promise<Reader> | null} */
let reading = null;

/** The library is fetched when it is first needed, and ahead of need once the page is idle. */
export function phonesReady() {
  reading ??= load().catch((error) => {
    reading = null; // a file that did not come is asked for again
    throw error;
  });
  return reading;
}

async function load() {
  const [{ default: parse }, { default: plans }] = await Promise.all([
    import("libphonenumber-js/es6/parsePhoneNumber.js"),
    import("libphonenumber-js/metadata.max.json.js"),
  ]);
  return (/** @type {string} */ said) => {
    const found = parse(said, { defaultCountry: HOME, extract: false }, plans);
    return (
      found && { number: found.number, countryCallingCode: found.countryCallingCode, valid: found.isValid(), possible: found.isPossible() }
    );
  };
}

/**
 * @param {string} text as typed; seven digits get the setting `area_code` first
 * @returns {Promise<string | null>} E.164, `''` for no text, `null` when nobody can be reached at it
 */
export async function phoneOf(text) {
  const said = text.trim();
  if (said === "") return "";
  if (!SAID.test(said)) return null;
  const found = (await phonesReady())(withArea(said.replace(/^tel:/, "")));
  if (!found || !KEPT.test(found.number)) return null;
  return (found.countryCallingCode === "1" ? found.valid : found.possible) ? found.number : null;
}

/** @param {string} said */
function withArea(said) {
  const digits = said.replace(/\D/g, "");
  const area = String(known.view.setting("area_code", ""));
  return digits.length === NEIGHBOR_DIGITS && !said.includes("+") && /^\d{3}$/.test(area) ? area + digits : said;
}

/**
 * A number as it was typed into a form; never rejects.
 * @param {string} text
 * @param {string} [kept] the number that stood there: left as it is, it is not judged again
 * @returns {Promise<{phone: string, trouble: string}>} `trouble`: what to say when nobody can be reached at it
 */
export async function readPhone(text, kept = "") {
  const said = text.trim();
  if (kept && said.replace(/\D/g, "") && `+1${said.replace(/\D/g, "")}` === kept) return { phone: kept, trouble: "" };
  if (said === kept) return { phone: kept, trouble: "" };
  const { phone, message, remedy } = await judged(said);
  return { phone, trouble: `${message} ${remedy}`.trim() };
}

/** @param {string} said */
async function judged(said) {
  try {
    const phone = await phoneOf(said);
    if (phone !== null) return { phone, message: "", remedy: "" };
    return {
      phone: "",
      message: `“${said}” is no number that anyone can be reached at.`,
      remedy: "Ask for it again with its area code, or leave it empty; an extension goes into the note.",
    };
  } catch {
    return {
      phone: "",
      message: `“${said}” cannot be checked: a file of this app is not on this device yet.`,
      remedy: "Put the number into the note for now.",
    };
  }
}

/**
 * A person whose number is as it is kept. What is kept already is never judged again: it was read where it was typed.
 * @template {DraftPerson | null | undefined} P
 * @param {P} person
 * @returns {Promise<P>} throws a `draft` error when the number is none
 */
export async function withPhoneRead(person) {
  const said = person?.phone?.trim();
  if (!said || KEPT.test(said)) return person;
  const { phone, message, remedy } = await judged(said);
  if (message) throw badDraft("phone", message, remedy);
  return { ...person, phone };
}
