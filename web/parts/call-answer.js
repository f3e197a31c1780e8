import { work } from "../kernel/work.js";
import { Enough, Question } from "../kernel/question.js";

/** @import { CallAnswer } from "../kernel/answers.d.ts" */
/** @import { Trouble } from "../store/shapes.d.ts" */

/** @typedef {Question<string, CallAnswer>} Call */

const PAUSE_MS = 180;
const WHOLE_WAIT_S = 20;

/**
 * What is asked about an order, in three steps: the parcel, then heat as it stands, then days and dressings compared.
 * Never holds the order up: what is not known is said to be not known.
 * @param {import("../kernel/question.js").Host} host @param {() => void} [heard]
 */
export const callQuestion = (host, heard) => /** @type {Call} */ (new Question(host, ask, { pause_ms: PAUSE_MS, heard }));

/** @param {import("../kernel/question.js").Asking} asking */
async function ask({ request, signal, tell }) {
  const parcel = await work("quoting.parcel", request, { signal });
  tell(parcel);
  let verdict = null;
  if (request.way === "post" && parcel.parcel?.ok) {
    verdict = await work("quoting.call", { ...request, only: "asked" }, { signal }); // the verdict first, while days and dressings are compared
    tell(verdict, verdict.heat ? "known" : "half");
  }
  try {
    return await work("quoting.call", request, { wait_s: WHOLE_WAIT_S, signal });
  } catch (error) {
    const { unknown, message } = /** @type {Trouble} */ (error);
    if (unknown && verdict?.heat) throw new Enough(message); // the verdict stands though the comparing took too long
    throw error;
  }
}
