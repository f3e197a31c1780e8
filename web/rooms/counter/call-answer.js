import { work } from "../../kernel/work.js";

const PAUSE_MS = 180;

/**
 * Asks `answers.call` about the sentence as it stands, after a short pause in the touching.
 * Never holds the order up: what is not known is said to be not known.
 */
export class CallAnswer {
  /** `half`: the parcel is known, heat is still being worked out. @type {"none" | "working" | "half" | "known" | "unknown" | "refused"} */
  state = "none";
  answer = null;
  why = "";
  #asked = "";
  #timer = 0;

  /** @param {() => void} changed called when there is something new to show */
  constructor(changed) {
    this.changed = changed;
  }

  /** @param {object | null} request null when there is nothing to ask yet */
  about(request) {
    const asked = request ? JSON.stringify(request) : "";
    if (asked === this.#asked) return;
    this.#asked = asked;
    clearTimeout(this.#timer);
    if (!request) {
      Object.assign(this, { state: "none", answer: null, why: "" });
      return;
    }
    this.state = "working";
    this.#timer = setTimeout(() => this.#ask(request, asked), PAUSE_MS);
  }

  async #ask(request, asked) {
    let result;
    try {
      const half = await work("answers.parcel", request);
      if (asked !== this.#asked) return;
      Object.assign(this, { state: "half", answer: half, why: "" });
      this.changed();
      result = { state: "known", answer: await work("answers.call", request), why: "" };
    } catch (error) {
      result = { state: error.unknown ? "unknown" : "refused", answer: null, why: error.message };
    }
    if (asked !== this.#asked) return; // the sentence has changed since
    Object.assign(this, result);
    this.changed();
  }
}
