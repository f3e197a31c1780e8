import { work } from "../../kernel/work.js";
import { house } from "../../store/house.js";

const PAUSE_MS = 180;
const WHOLE_WAIT_S = 20;
const AGAIN_AFTER_MS = [4_000, 8_000, 16_000, 32_000, 64_000]; // the kernel may wake meanwhile, the house come into reach

/**
 * Asks `answers.call` about the sentence as it stands, after a short pause in the touching.
 * Never holds the order up: what is not known is said to be not known.
 */
export class CallAnswer {
  /** `half`: the parcel is known, heat is still being worked out. @type {"none" | "working" | "half" | "known" | "unknown" | "refused"} */
  state = "none";
  answer = null;
  why = "";
  /** The request of the whole answer, for the drawings that belong to it. */
  asked = null;
  #asked = "";
  #means = "";
  #timer = 0;

  /** @param {() => void} changed called when there is something new to show */
  constructor(changed) {
    this.changed = changed;
  }

  /** @param {object | null} request null when there is nothing to ask yet */
  about(request) {
    const asked = request ? JSON.stringify(request) : "";
    const means = `${house.status.kernel.state === "awake"} ${house.status.signal !== "none"}`;
    const again = this.state === "unknown" && means !== this.#means; // the kernel woke, or the house came into reach
    if (asked === this.#asked && !again) return;
    this.#asked = asked;
    this.asked = request;
    this.#means = means;
    clearTimeout(this.#timer);
    if (!request) {
      Object.assign(this, { state: "none", answer: null, why: "" });
      return;
    }
    this.state = "working";
    this.#timer = setTimeout(() => this.#ask(request, asked, 0), PAUSE_MS);
  }

  /** What came of it stays: a parcel that is known is not forgotten because heat takes too long. */
  async #ask(request, asked, times) {
    let result;
    let half = null;
    try {
      half = await work("answers.parcel", request);
      if (asked !== this.#asked) return;
      Object.assign(this, { state: "half", answer: half, why: "" });
      this.changed();
      if (request.way === "post" && half.parcel?.ok) {
        half = await work("answers.call", { ...request, only: "asked" }); // the verdict first, while days and dressings are compared
        if (asked !== this.#asked) return;
        Object.assign(this, { state: half.heat ? "known" : "half", answer: half });
        this.changed();
      }
      result = { state: "known", answer: await work("answers.call", request, { wait_s: WHOLE_WAIT_S }), why: "" };
    } catch (error) {
      const told = error.unknown && half?.heat; // the verdict stands though the comparing took too long
      result = { state: told ? "known" : error.unknown ? "unknown" : "refused", answer: half, why: error.message };
    }
    if (asked !== this.#asked) return; // the sentence has changed since
    Object.assign(this, result);
    if (this.state === "unknown" && times < AGAIN_AFTER_MS.length) {
      this.#timer = setTimeout(() => this.#ask(request, asked, times + 1), AGAIN_AFTER_MS[times]);
    }
    this.changed();
  }
}
