import { html, nothing } from "lit";
import { Part } from "./part.js";
import { house } from "../store/house.js";
import { reach, standing } from "../store/standing.js";
import { MOLDS_READY, readySets } from "./mold-timer.js";
import { agoSaid, dayShort, listed, timeSaid } from "./words.js";
import { isDemo } from "./demo.js";
import { howManyNeedYou } from "./needs-you.js";
import { placeOf } from "./route.js";
import { showSearch } from "./search-sheet.js";

/** @import { Status } from "../store/shapes.d.ts" */

const MINUTE_MS = 60_000;

/** Always on the screen: is the house in reach, how many entries are only here, what day it is, what needs you. */
class HouseHead extends Part {
  #tick = 0;
  #badge = 0;
  #again = () => this.requestUpdate();

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), MINUTE_MS / 4);
    addEventListener(MOLDS_READY, this.#again);
    addEventListener("hashchange", this.#again); // the pour shows its own
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
    removeEventListener(MOLDS_READY, this.#again);
    removeEventListener("hashchange", this.#again);
  }

  /** On the app's icon stands how much needs a person. */
  updated() {
    const needs = howManyNeedYou();
    if (needs === this.#badge) return;
    this.#badge = needs;
    const app = /** @type {{setAppBadge?: (count: number) => Promise<void>, clearAppBadge?: () => Promise<void>}} */ (navigator);
    (needs ? app.setAppBadge?.(needs) : app.clearAppBadge?.())?.catch(() => {});
  }

  /** Molds that have cooled, wherever one is; the pour itself shows its own. */
  #molds() {
    const ready = readySets();
    const there = location.hash.startsWith(placeOf("melt", "pour"));
    return ready.length && !there
      ? html`<a class="needs key" role="status" href=${placeOf("melt", "pour")}>set ${listed(ready.map(String))}: knock out</a>`
      : nothing;
  }

  render() {
    const { status } = house;
    return html`<header class="head">
      <p>${this.#demo()}${statusSaid(status)}</p>
      ${this.#molds()}${this.#heed(status)}
      <p>${status.started && status.enrolled ? html`<button type="button" class="search" @click=${showSearch}>search</button> ` : nothing}${status.started ? dayShort(house.today()) : nothing}</p>
    </header>`;
  }

  #demo() {
    return isDemo(() => this.requestUpdate())
      ? html`<a class="demo" href=${placeOf("settings", "own")} title="Everything here is invented. Start your own.">demo</a> `
      : nothing;
  }

  /** @param {Status} status */
  #heed(status) {
    const needs = howManyNeedYou();
    /** @param {string} words @param {...string} place */
    const grave = (words, ...place) => html`<a class="needs key" href=${placeOf("settings", ...place)}>${words}</a>`;
    switch (standing({ ...status, needsYou: { length: needs } })) {
      case "storage":
        return grave("storage trouble", "device");
      case "stopped":
        return grave("this device is stopped", "device");
      case "signed out":
        return grave("signed out", "device");
      case "too old":
        return grave("this app is too old: close and open it", "device");
      case "needs you":
        return grave(`${needs} ${needs === 1 ? "needs" : "need"} you`, "needs");
      default:
        return status.update ? html`<a class="key tight quiet" href=${placeOf("settings", "device")}>new version</a>` : nothing;
    }
  }
}
customElements.define("house-head", HouseHead);

/** @param {number} count */
const NOT_SENT = (count) => html`<strong>${count} not sent yet</strong>`;

/** @param {Status} status @returns {unknown} "no signal since 7:40 am · 3 not sent yet" */
export function statusSaid(status) {
  if (!status.started) return "opening the book …";
  if (status.removed) return "this device was removed";
  if (!status.enrolled) return "this device is not added yet";
  if (status.movedTo) return "the main computer moved: so did this device";
  const { inHand, since } = status;
  const said = {
    "no signal": () => html`no signal${since ? ` since ${sinceSaid(since)}` : ""}${inHand ? html` · ${NOT_SENT(inHand)}` : nothing}`,
    "sending": () => (inHand ? html`sending … ${NOT_SENT(inHand)}` : "sending …"),
    "not sent": () => NOT_SENT(inHand),
    "all sent": () => `all sent, ${agoSaid(Date.now() - new Date(since).getTime())}`,
  };
  // what is the matter besides has a key of its own beside this
  return status.turnedAway || status.tooOld ? (inHand ? NOT_SENT(inHand) : "all sent") : said[reach(status)]();
}

/** @param {Date} since */
function sinceSaid(since) {
  const old = Date.now() - new Date(since).getTime() > 20 * 60 * MINUTE_MS;
  return old ? `${new Date(since).toLocaleDateString("en-US", { weekday: "short" })} ${timeSaid(since)}` : timeSaid(since);
}
