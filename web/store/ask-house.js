/** @file The house as the one that works out what the kernel in this browser cannot, as long as it is in reach. */

import { WorkError } from "../kernel/work.js";
import { knockJson } from "./doors.js";
import { known } from "./known.js";
import { current } from "./status.js";

/** @type {import('../kernel/work.js').Elsewhere} */
export const askHouse = {
  inReach: () => current.signal !== "none",

  async ask(name, request, wait_s, signal) {
    try {
      return { answer: await knockJson(`/api/work/${name}`, { body: request, token: known.identity?.token, wait_s, signal }) };
    } catch (error) {
      const { kind, message, remedy, status } = /** @type {import('./trouble.js').HouseError} */ (error);
      if (kind === "refused" && status >= 400 && status < 500 && status !== 401) throw new WorkError(false, message, remedy);
      return null; // out of reach: the kernel here may be awake by then
    }
  },
};
