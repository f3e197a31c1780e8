/** Where one is: the address after #, so that the back key and a reload keep the place. */

/** @typedef {"counter" | "shelf" | "bench" | "melt" | "book" | "settings"} Room */

/** @type {Room[]} */
export const ROOMS = ["counter", "shelf", "bench", "melt", "book", "settings"];

/** @returns {{room: Room, path: string[]}} "#book/person/7" is room "book", path ["person", "7"] */
export function whereNow(hash = location.hash) {
  if (/^#enrol=/.test(hash)) return { room: "settings", path: ["enrol", decodeURIComponent(hash.slice(7))] };
  const [name, ...path] = hash.slice(1).split("/").map(decodeURIComponent);
  const room = ROOMS.find((one) => one === name);
  return room ? { room, path } : { room: "counter", path: [] };
}

/** @param {string} room @param {...string} path @returns {string} an address for a link */
export const placeOf = (room, ...path) => `#${[room, ...path].map(encodeURIComponent).join("/")}`;

/** @param {string} room @param {...string} path */
export function go(room, ...path) {
  location.hash = placeOf(room, ...path);
}
