import { html, nothing } from "lit";
import { Part } from "./part.js";
import { go } from "./route.js";
import { canScan, scanned } from "./scan.js";
import { findAll, findScanned } from "../store/find-all.js";

/** @import { Typed } from "./events.d.ts" */
/** @import { Hit } from "../store/find-all.js" */

const SHOWN = 12;

/** Anything, from every screen: a person, an order's number, a lot, a word of a note; typed, or read by the camera. */
class SearchSheet extends Part {
  static properties = { text: { state: true }, hits: { state: true }, said: { state: true }, looking: { state: true } };

  constructor() {
    super();
    this.text = "";
    /** @type {Hit[]} */
    this.hits = [];
    this.said = "";
    this.looking = false;
    /** @type {AbortController | null} */
    this.stop = null;
  }

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
    this.stop?.abort();
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

  async #scan() {
    this.looking = true;
    await this.updateComplete;
    this.stop = new AbortController();
    try {
      const text = await scanned(/** @type {HTMLVideoElement} */ (this.querySelector("video")), this.stop.signal);
      const hits = findScanned(text);
      if (hits.length === 1) return void this.#open(hits[0]);
      Object.assign(this, { text, hits, said: hits.length ? "" : "Nothing here goes by that." });
    } catch (error) {
      this.said = /** @type {Error} */ (error).message;
    }
    this.looking = false;
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
      ${this.said || (text && !hits.length) ? html`<p role="status">${this.said || "Nothing here goes by that. Orders settled long ago stay on the main computer: open the person."}</p>` : nothing}
      ${this.looking ? html`<video class="scan" playsinline muted></video>` : nothing}
      <div class="keyrow two">
        ${canScan() && !this.looking ? html`<button type="button" class="key tight" @click=${() => this.#scan()}>scan a code</button>` : nothing}
        <button type="button" class="key tight quiet" @click=${() => this.remove()}>close</button></div>
    </dialog>`;
  }
}
customElements.define("search-sheet", SearchSheet);

/** Once, whatever else is on the screen. */
export function showSearch() {
  if (!document.querySelector("dialog[open]")) document.body.append(document.createElement("search-sheet"));
}
