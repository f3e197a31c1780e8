/** @file Ids and random numbers, decided by a number that each command brings: a step plays the same way when others are left out. */

import { createHash } from "node:crypto";

let seed = "";
let drawn = 0;
let ever = 0;

export const chance = {
  /** @param {string} given */
  begin(given) {
    seed = given;
    drawn = 0;
  },

  uuid() {
    ever += 1; // two steps of one seed are still two orders
    const hex = draw(`${ever}`).toString("hex");
    return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-4${hex.slice(13, 16)}-a${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
  },

  real: () => draw("").readUInt32BE(0) / 2 ** 32,
};

function draw(more) {
  drawn += 1;
  return createHash("sha256").update(`${seed} ${drawn} ${more}`).digest();
}
