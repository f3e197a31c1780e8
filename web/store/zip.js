/**
 * @file Town and state of a ZIP, without signal: a packed list of all of them (scripts/zip_places.js makes it), kept beside the
 * kernel's files and unpacked when it is first asked.
 */

const BUILT = new URL("../kernel/built/", import.meta.url);
const CACHE = "kernel";
const WIDTH = 5;
/** What the list of the fifty states lacks. USPS Publication 28, appendix B; the prefixes as in heat/data/places.csv. @type {Record<string, string>} */
const ISLANDS = { "006": "PR", "007": "PR", "008": "VI", "009": "PR" };

/** @typedef {{city: string, state: string}} Place */
/** @type {Promise<Map<string, Place>> | null} */
let reading = null;

/**
 * The usual town of a ZIP: a place to begin with, since several towns may share one.
 * @param {string} zip five digits, or nine with a dash
 * @returns {Promise<Place | null>} null when there is no such ZIP, or the list is not on this device yet; `city` may be empty
 */
export async function placeOfZip(zip) {
  const five = /^\s*(\d{5})(?:-\d{4})?\s*$/.exec(zip)?.[1];
  if (!five) return null;
  reading ??= readAll();
  try {
    const place = (await reading).get(five);
    if (place) return { ...place };
  } catch {
    reading = null; // a list that did not come is asked for again
  }
  const state = ISLANDS[five.slice(0, 3)];
  return state ? { city: "", state } : null;
}

async function readAll() {
  const manifest = await (await fetched(new URL("manifest.json", BUILT).href)).json();
  const packed = await keptOrFetched(new URL(manifest.zips, BUILT).href);
  const body = /** @type {ReadableStream<Uint8Array<ArrayBuffer>>} */ (packed.body);
  return unpacked(await new Response(body.pipeThrough(new DecompressionStream("gzip"))).text());
}

/** @param {string} address */
async function keptOrFetched(address) {
  const cache = await globalThis.caches?.open(CACHE);
  const kept = await cache?.match(address, { ignoreVary: true });
  if (kept) return kept;
  const answer = await fetched(address);
  await cache?.put(address, answer.clone());
  return answer;
}

/** @param {string} address */
async function fetched(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address} could not be fetched (status ${answer.status})`);
  return answer;
}

/**
 * @param {string} text a ZIP a line: how far from the one before, town and state where they are others
 * @returns {Map<string, Place>}
 */
export function unpacked(text) {
  let zip = 0;
  let place = { city: "", state: "" };
  return new Map(
    text.split("\n").map((line) => {
      const [gap, city, state] = line.split("\t");
      zip += Number(gap);
      if (city || state) place = { city: city || place.city, state: state || place.state };
      return [String(zip).padStart(WIDTH, "0"), place];
    }),
  );
}
