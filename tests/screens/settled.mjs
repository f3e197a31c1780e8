/** @file What a screen says once nothing more comes of what was done to it. */

import { isQuiet, quiet } from "./page.mjs";

/**
 * Its lines, once it said the same so often while nothing was under way; what is still changing after so many turns stands as it is.
 * @param {import("./drawn.mjs").Screen} screen
 * @param {{times?: number, turns_most?: number}} [how]
 */
export async function settled(screen, { times = 3, turns_most = 100 } = {}) {
  let last = "";
  for (let turn = 0, same = 0; turn < turns_most && same < times; turn += 1) {
    const now = screen.said().join("\n");
    same = now === last && isQuiet() ? same + 1 : 0;
    last = now;
    if (same === times) break;
    await new Promise((later) => setTimeout(later, 0));
    await quiet();
  }
  return last.split("\n");
}
