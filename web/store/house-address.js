/** @file Where a main computer may be: an address within a house. Pure. */

import { badDraft } from "./trouble.js";

/** This machine, a name of the house's own network, private and link-local networks (RFC 1918, 3927). */
const NEAR =
  /^(localhost|([a-z0-9-]+\.)+local|127(\.\d+){3}|10(\.\d+){3}|192\.168(\.\d+){2}|172\.(1[6-9]|2\d|3[01])(\.\d+){2}|169\.254(\.\d+){2})$/;

/**
 * Where a code or an address leads. An address of the internet is none: a link from anywhere must not fetch a device's entries.
 * @param {string} text as it was typed, pasted or read off a picture
 * @param {string} own the name under which this page was opened, which may be one that the owner gave
 * @returns {{address: string, link: string}} the address alone, and all of it
 */
export function addressIn(text, own) {
  const url = urlOf(text.trim());
  if (!url || !["http:", "https:"].includes(url.protocol) || !(NEAR.test(url.hostname) || url.hostname === own)) {
    throw badDraft(
      "address",
      "This is no address of a main computer on your own network.",
      "It begins with https:// and stands under the code, on an owner's device.",
    );
  }
  return { address: url.origin, link: /^#enrol=/.test(url.hash) ? `${url.origin}/${url.hash}` : `${url.origin}/` };
}

/** @param {string} text @returns {URL | null} */
function urlOf(text) {
  try {
    return new URL(/^[a-z]+:\/\//i.test(text) ? text : `https://${text}`);
  } catch {
    return null;
  }
}
