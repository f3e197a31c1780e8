import { html } from "lit";
import { Part } from "../parts/part.js";
import { wearKeptDress } from "../parts/dress.js";
import { walkDue, walkPlace } from "../parts/first-questions.js";
import { watchMolds } from "../parts/mold-timer.js";
import { listenForInstall } from "../parts/install.js";
import { listenForShortcuts } from "../parts/shortcuts.js";
import { arrived, nameThePage, titleIn } from "../parts/moving.js";
import { go, placeOf, ROOMS, whereNow } from "../parts/route.js";
import { stateSaid } from "../parts/state.js";
import { house } from "../store/house.js";
import "../parts/house-head.js";
import "./counter/counter-room.js";

/** @import { Drawn } from "../parts/events.d.ts" */
/** @import { Room } from "../parts/route.js" */

/** @type {Record<Room, string>} */
const NAMES = { counter: "Counter", shelf: "Shelf", bench: "Bench", melt: "Melt", book: "Book", settings: "Settings" };

/**
 * Rooms beyond the first are fetched when they are first entered, and ahead of need once the first stands.
 * @type {Record<Room, () => Promise<unknown>>}
 */
const OPENERS = {
  counter: () => Promise.resolve(),
  shelf: () => import("./shelf/shelf-room.js"),
  bench: () => import("./bench/bench-room.js"),
  melt: () => import("./melt/melt-room.js"),
  book: () => import("./book/book-room.js"),
  settings: () => import("./settings/settings-room.js"),
};

/** @type {Record<Room, (path: string[]) => Drawn>} */
const VIEWS = {
  counter: (path) => html`<counter-room .path=${path}></counter-room>`,
  shelf: (path) => html`<shelf-room .path=${path}></shelf-room>`,
  bench: (path) => html`<bench-room .path=${path}></bench-room>`,
  melt: (path) => html`<melt-room .path=${path}></melt-room>`,
  book: (path) => html`<book-room .path=${path}></book-room>`,
  settings: (path) => html`<settings-room .path=${path}></settings-room>`,
};

const RETRY_MS = 2000;
const RELOADED = "honeyhold.reloaded";
const RELOADED_LEAST_MS = 60_000;

const reached = () =>
  fetch("/shell-list.js", { method: "HEAD", cache: "no-store" }).then(
    ({ ok }) => ok,
    () => false,
  );

/** What cannot be shown, and what a touch does about it. @typedef {{what: string, again: () => void}} NotShown */

/** The whole of what is on the screen: a header, one room, and the way to the others. */
class HoneyHouse extends Part {
  static properties = { at: { state: true }, trouble: { state: true } };

  #led = false;
  #place = location.hash || placeOf("counter");

  constructor() {
    super();
    this.at = whereNow();
    /** @type {NotShown | null} */
    this.trouble = null;
  }

  connectedCallback() {
    this.replaceChildren();
    super.connectedCallback();
    addEventListener("hashchange", this.#moved);
    this.#open(this.at.room);
    this.#start();
    this.#fetchAhead();
  }

  #moved = () => {
    const before = this.#place;
    this.#place = location.hash || placeOf("counter");
    const { room } = this.at;
    this.at = whereNow();
    const opened = room === this.at.room ? this.updateComplete : this.#open(this.at.room);
    opened.then(() => {
      const main = document.getElementById("room");
      if (main) arrived(before, this.#place, NAMES[this.at.room], main);
    });
  };

  updated() {
    const main = document.getElementById("room");
    if (main) requestAnimationFrame(() => nameThePage(titleIn(main), NAMES[this.at.room]));
    this.#lead();
  }

  /** A new honey house is asked its first questions, once after each start: who leaves them is not sent back. */
  #lead() {
    const { status, view } = house;
    if (this.#led || !status.enrolled || this.at.room !== "counter" || this.at.path.length) return;
    if (!walkDue(view) || (location.hash && view.goods.size)) return;
    this.#led = true;
    location.replace(walkPlace(view));
  }

  async #start() {
    this.trouble = null;
    try {
      await house.start();
      if (house.status.removed && this.at.room !== "settings") go("settings", "enrol");
      if (!house.status.enrolled) location.hash ||= "#settings/enrol";
    } catch (error) {
      this.trouble = {
        what: `The book on this device cannot be opened: ${/** @type {Error} */ (error).message}`,
        again: () => this.#start(),
      };
    }
  }

  /** Out of what the service worker keeps, not before it serves this page: a module that failed to come once fails until the page is loaded anew. */
  async #fetchAhead() {
    const workers = navigator.serviceWorker;
    if (workers && !workers.controller)
      await new Promise((served) => {
        workers.addEventListener("controllerchange", served, { once: true });
      });
    (globalThis.requestIdleCallback ?? setTimeout)(() => Object.values(OPENERS).forEach((open) => open().catch(() => {})));
  }

  /** @param {Room} room */
  async #open(room) {
    document.title = `${NAMES[room]} · Honeyhold`;
    try {
      await OPENERS[room]();
      if (room === this.at.room) this.trouble = null;
    } catch {
      if (room !== this.at.room) return;
      this.trouble = {
        what: `${NAMES[room]} is not on this device yet, and the main computer is out of reach.`,
        again: () => location.reload(),
      };
      this.#reloadOnceReached();
    }
  }

  /** The page is loaded anew as soon as the house answers; once only, lest a file that is truly broken makes it go round. */
  async #reloadOnceReached() {
    const before = Number(sessionStorage.getItem(RELOADED) ?? 0);
    if (Date.now() - before < RELOADED_LEAST_MS) return;
    while (this.trouble && !(await reached()))
      await new Promise((resolve) => {
        setTimeout(resolve, RETRY_MS);
      });
    if (!this.trouble) return;
    sessionStorage.setItem(RELOADED, String(Date.now()));
    location.reload();
  }

  /** @param {NotShown} trouble */
  #troubleSaid = ({ what, again }) => html`<div class="room" data-lone><div class="board">
    ${stateSaid({ what, heed: true, todo: html`<button type="button" class="key" @click=${again}>try again</button>` })}</div></div>`;

  render() {
    const { room, path } = this.at;
    return html`
      <house-head></house-head>
      <main id="room" tabindex="-1">${this.trouble ? this.#troubleSaid(this.trouble) : VIEWS[room](path)}</main>
      <nav class="places" aria-label="Rooms">
        ${ROOMS.map(
          (name) => html`
          <a href=${placeOf(name)} aria-current=${name === room ? "page" : "false"}>${NAMES[name]}</a>`,
        )}
      </nav>`;
  }
}

wearKeptDress();
watchMolds();
listenForShortcuts();
listenForInstall();
customElements.define("honey-house", HoneyHouse);
