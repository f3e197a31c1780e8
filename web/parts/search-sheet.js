import { html, nothing } from "lit";
import { CodeCamera } from "./code-camera.js";
import { Part } from "./part.js";
import { go } from "./route.js";
import { findAll, findScanned, isOurs } from "../store/find-all.js";

/** @import { Typed } from "./events.d.ts" */
/** @import { Hit } from "../store/find-all.js" */

const SHOWN = 12;
const NOTHING = "Nothing here goes by that. Orders settled long ago stay on the main computer: open the person.";

/** Anything, from every screen: a person, an order's number, a lot, a word of a note; typed, or read by the camera. */
class SearchSheet extends Part {
  static properties = { text: { state: true }, hits: { state: true }, said: { state: true } };

  constructor() {
    super();
    this.text = "";
    /** @type {Hit[]} */
    this.hits = [];
    this.said = "";
  }

  #camera = new CodeCamera(this, (code) => this.#scanned(code));

  firstUpdated() {
    const sheet = /** @type {HTMLDialogElement} */ (this.querySelector("dialog"));
    sheet.showModal();
    this.querySelector("input")?.focus();
  }

  connectedCallback() {
    super.connectedCallback();
    addEventListener("hashchange", this.#left);
  }

  #left = () => this.remove();

  disconnectedCallback() {
    super.disconnectedCallback();
    removeEventListener("hashchange", this.#left);
  }

  /** @param {Hit} hit */
  #open({ kind, id }) {
    this.remove();
    go("book", kind, id);
  }

  /** @param {string} text */
  #typed(text) {
    Object.assign(this, { text, hits: findAll(text), said: "" });
  }

  /** A code of our own papers is no words to read: the field stays empty. @param {string} code */
  #scanned(code) {
    const hits = findScanned(code);
    const text = isOurs(code) ? "" : code;
    if (hits.length === 1) this.#open(hits[0]);
    else Object.assign(this, { text, hits, said: hits.length ? "" : NOTHING });
  }

  render() {
    const { hits, text } = this;
    return html`<dialog class="sheet" aria-labelledby="search-title" @close=${() => this.remove()}>
      <h1 id="search-title">Search</h1>
      <label class="write"><span>a name, a number, an order, a lot, a word of a note</span>
        <input enterkeyhint="search" autocomplete="off" spellcheck="false" .value=${text} @input=${(/** @type {Typed} */ { target }) => this.#typed(target.value)}
          @keydown=${(/** @type {KeyboardEvent} */ event) => event.key === "Enter" && hits.length && this.#open(hits[0])} /></label>
      <div class="keylist" role="group" aria-label="Found">${hits.slice(0, SHOWN).map(
        (hit) => html`
        <button type="button" class="key left" @click=${() => this.#open(hit)}><span>${hit.words}</span>${hit.more ? html`<small>${hit.more}</small>` : nothing}</button>`,
      )}</div>
      ${this.said || (text && !hits.length) ? html`<p role="status">${this.said || NOTHING}</p>` : nothing}
      ${this.#camera.picture()}
      <div class="keyrow two">
        ${this.#camera.key("scan a code")}
        <button type="button" class="key tight quiet" @click=${() => this.remove()}>close</button></div>
    </dialog>`;
  }
}
customElements.define("search-sheet", SearchSheet);

/** Once, whatever else is on the screen. */
export function showSearch() {
  if (!document.querySelector("dialog[open]")) document.body.append(document.createElement("search-sheet"));
}
