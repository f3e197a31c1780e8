import { sayAloud } from "../../parts/aloud.js";
import { unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { heldOf } from "../../store/known.js";
import { surenessOf } from "../../store/sureness.js";

/** @import { Now } from "./now.d.ts" */

/** More than this device's share: the house is asked once for so many, and how many are sure is said. */
export class MoreAsked {
  /** Goods being asked for right now. @type {Set<string>} */
  asking = new Set();
  #asked = new Map();

  /** @param {() => void} changed @param {() => Pick<Now, "draft" | "share"> & {id: string | null}} now */
  constructor(changed, now) {
    this.changed = changed;
    this.now = now;
  }

  look() {
    const { draft, share, id } = this.now();
    for (const line of draft.lines) {
      const { rest, wanted, kept } = surenessOf(line, draft, house.view, share(line.good));
      const needed = wanted - kept + heldOf(line.good, id);
      if (!rest || this.#asked.get(line.good) === needed || house.status.signal === "none") continue;
      this.#asked.set(line.good, needed);
      this.asking.add(line.good);
      house.ask(line.good, needed).finally(() => {
        this.asking.delete(line.good);
        if (this.now().id === id) this.saySure();
        this.changed();
      });
    }
  }

  saySure() {
    const { draft, share } = this.now();
    const words = draft.lines.map((line) => {
      const { sure, rest } = surenessOf(line, draft, house.view, share(line.good));
      const said = unitsSaid(house.view.goods.get(line.good) ?? { name: line.good }, sure);
      return rest ? `${said} sure, ${rest} not` : `${said} sure`;
    });
    sayAloud(words.join("; "));
  }

  /** Another sentence: everything is asked anew. */
  forget() {
    this.#asked.clear();
  }
}
