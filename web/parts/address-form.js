import { html, nothing } from "lit";
import { placeOfZip } from "../store/zip.js";

/** @import { FormOf, Typed } from "./events.d.ts" */
/** @import { DraftPerson } from "../store/shapes.d.ts" */

/** @typedef {{mode?: "numeric", capitals?: "characters" | "words", most?: number}} How */
/** @typedef {"zip" | "state" | "city" | "street" | "unit"} Name */

/** Name, words, width, how it is typed. @type {[Name, string, "" | "whole", How][]} */
const FIELDS = [
  ["zip", "ZIP", "", { mode: "numeric", most: 10 }],
  ["state", "state, two letters", "", { capitals: "characters", most: 2 }],
  ["city", "city", "whole", { capitals: "words" }],
  ["street", "street or PO box", "whole", {}],
  ["unit", "apartment or unit", "whole", {}],
];
const FOLLOWS = /** @type {const} */ (["city", "state"]);
const ZIP_DIGITS = 5;

/**
 * The places of an address to write into: the ZIP first, town and state follow it; what a person typed there stays.
 * @param {DraftPerson | null | undefined} person
 */
export const addressFields = (person) =>
  FIELDS.map(
    ([name, words, width, { mode, capitals, most }]) => html`
  <label class="write ${width}"><span>${words}</span><input name=${name} autocomplete="off" inputmode=${mode ?? "text"}
    autocapitalize=${capitals ?? "words"} maxlength=${most ?? 80} .value=${person?.[name] ?? ""}
    @input=${
      name === "zip"
        ? (/** @type {Typed} */ { target }) => follow(target, person?.zip ?? "")
        : (/** @type {Typed} */ { target }) => {
            target.dataset.typed = "yes";
          }
    } /></label>`,
  );

/** @param {HTMLInputElement} input the ZIP @param {string} before as it stood when the form opened: more digits of the same place change nothing */
async function follow(input, before) {
  const zip = input.value;
  const fields = FOLLOWS.map((name) => /** @type {FormOf<Name>} */ (input.form).elements[name]);
  if (zip.slice(0, ZIP_DIGITS) === before.slice(0, ZIP_DIGITS) && fields.every(({ value }) => value)) return;
  const place = await placeOfZip(zip);
  if (!place || input.value !== zip) return;
  FOLLOWS.forEach((name, at) => {
    if (!(fields[at].dataset.typed && fields[at].value)) fields[at].value = place[name];
  });
}

/** What was written, tidied: the state in capitals, the ZIP kept as text with its first zero. @param {HTMLFormElement} form */
export function addressWritten(form) {
  const written = new FormData(form);
  const tidy = (/** @type {Name} */ name) => String(written.get(name) ?? "").trim();
  return { zip: tidy("zip"), state: tidy("state").toUpperCase(), city: tidy("city"), street: tidy("street"), unit: tidy("unit") };
}

/** @param {Record<"street" | "city" | "state" | "zip", string>} address @returns {string} what is not right with it, or "" */
export function addressTrouble({ street, city, state, zip }) {
  if (!street && !city) return "Write a street or a PO box, and the city.";
  if (state && !/^[A-Z]{2}$/.test(state)) return `“${state}” is no state: two letters, such as MN.`;
  if (zip && !/^\d{5}(-\d{4})?$/.test(zip)) return `“${zip}” is no ZIP: five digits, or nine with a dash.`;
  return "";
}

/** @param {string} words */
export const troubleSaid = (words) => (words ? html`<p class="heed" role="alert">${words}</p>` : nothing);
