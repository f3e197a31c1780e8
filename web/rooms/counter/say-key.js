import { html, nothing } from "lit";
import { isEmpty, lacking } from "./draft.js";
import { stillOut } from "./frozen.js";
import { honeyOff, surenessOf } from "../../store/sureness.js";
import { choiceKeys, honeyKeys } from "./under.js";

/** @import { Now } from "./now.d.ts" */

/** @type {Record<"who" | "what" | "where", string>} */
const ASKS = { who: "Who is it?", what: "What do they want?", where: "Where does it go?" };

/**
 * The step that counts. While something lacks, it says what, and opens it; while an answer is out, it says which, and does not wait for it.
 * @param {Now} now @param {string | null} opened @param {(blank: string) => void} touch @param {() => void} read
 */
export function sayKey(now, opened, touch, read) {
  const { draft, view, share } = now;
  const lacks = lacking(draft, view);
  if (lacks) {
    if (opened === lacks || isEmpty(draft)) return nothing;
    return html`<button type="button" class="key" @click=${() => touch(lacks)}>${ASKS[lacks]}</button>`;
  }
  const undecided = draft.lines.find((line) => !line.settled && surenessOf(line, draft, view, share(line.good)).rest);
  if (undecided && !now.asking.size) return html`<p class="where">Not all of it is sure: choose how many.</p>${choiceKeys(undecided, now)}`;
  if (honeyOff(draft, view) && !draft.ask_state)
    return html`<p class="where">Mailing honey is off: they pick it up, or it waits.</p>${honeyKeys(now)}`;
  const words = draft.way === "walk_in" ? "Say it, then sell" : draft.amends ? "Read back, then change" : "Read back, then promise";
  const without = draft.way === "post" ? stillOut(now.call) : "";
  return html`<button type="button" class="key say" @click=${read}>${words}${without ? html`<small>without ${without}, still being worked out</small>` : nothing}</button>`;
}
