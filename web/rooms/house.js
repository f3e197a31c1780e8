import { html } from "lit";
import { Part } from "../parts/part.js";
import { wearKeptDress } from "../parts/dress.js";
import { placeOf, ROOMS, whereNow } from "../parts/route.js";
import { stateSaid } from "../parts/state.js";
import { house } from "../store/house.js";
import "../parts/house-head.js";
import "./counter/counter-room.js";

const NAMES = { counter: "Counter", shelf: "Shelf", bench: "Bench", melt: "Melt", book: "Book", keys: "Keys" };

/** Rooms beyond the first are fetched when they are first entered, and ahead of need once the first stands. */
const OPENERS = {
  counter: () => Promise.resolve(),
  shelf: () => import("./shelf/shelf-room.js"),
  bench: () => import("./bench/bench-room.js"),
  melt: () => import("./melt/melt-room.js"),
  book: () => import("./book/book-room.js"),
  keys: () => import("./keys/keys-room.js"),
};

const VIEWS = {
  counter: (path) => html`<counter-room .path=${path}></counter-room>`,
  shelf: (path) => html`<shelf-room .path=${path}></shelf-room>`,
  bench: (path) => html`<bench-room .path=${path}></bench-room>`,
  melt: (path) => html`<melt-room .path=${path}></melt-room>`,
  book: (path) => html`<book-room .path=${path}></book-room>`,
  keys: (path) => html`<keys-room .path=${path}></keys-room>`,
};

/** The whole of what is on the screen: a header, one room, and the way to the others. */
class HoneyHouse extends Part {
  static properties = { at: { state: true }, trouble: { state: true } };

  constructor() {
    super();
    this.at = whereNow();
    this.trouble = null;
  }

  connectedCallback() {
    this.replaceChildren();
    super.connectedCallback();
    addEventListener("hashchange", this.#moved);
    this.#open(this.at.room);
    this.#start();
    (globalThis.requestIdleCallback ?? setTimeout)(() => Object.values(OPENERS).forEach((open) => open().catch(() => {})));
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    removeEventListener("hashchange", this.#moved);
  }

  #moved = () => {
    const before = this.at.room;
    this.at = whereNow();
    if (before === this.at.room) return;
    this.#open(this.at.room);
    this.updateComplete.then(() => document.getElementById("room")?.focus({ preventScroll: true }));
  };

  async #start() {
    this.trouble = null;
    try {
      await house.start();
      if (!house.status.enrolled) location.hash ||= "#keys/enrol";
    } catch (error) {
      this.trouble = { what: `The book on this device cannot be opened: ${error.message}`, again: () => this.#start() };
    }
  }

  async #open(room) {
    document.title = `${NAMES[room]} · Honeyhold`;
    try {
      await OPENERS[room]();
      this.trouble = null;
    } catch {
      this.trouble = { what: `${NAMES[room]} is not on this device yet, and the house is out of reach.`, again: () => this.#open(room) };
    }
  }

  #troubleSaid = ({ what, again }) => html`<div class="room" data-lone><div class="board">
    ${stateSaid({ what, heed: true, todo: html`<button type="button" class="key" @click=${again}>try again</button>` })}</div></div>`;

  render() {
    const { room, path } = this.at;
    return html`
      <house-head></house-head>
      <main id="room" tabindex="-1">${this.trouble ? this.#troubleSaid(this.trouble) : VIEWS[room](path)}</main>
      <nav class="places" aria-label="Rooms">
        ${ROOMS.map((name) => html`
          <a href=${placeOf(name)} aria-current=${name === room ? "page" : "false"}>${NAMES[name]}</a>`)}
      </nav>`;
  }
}

wearKeptDress();
customElements.define("honey-house", HoneyHouse);
