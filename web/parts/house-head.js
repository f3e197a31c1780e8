import { html, nothing } from "lit";
import { Part } from "./part.js";
import { house } from "../store/house.js";
import { agoSaid, dayShort, timeSaid } from "./words.js";
import { isDemo } from "./demo.js";
import { placeOf } from "./route.js";

const MINUTE_MS = 60_000;

/** Always on the screen: is the house in reach, how many entries are only here, what day it is, what needs you. */
class HouseHead extends Part {
  #tick = 0;

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), MINUTE_MS / 4);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  render() {
    const { status } = house;
    const needs = status.needsYou?.length ?? 0;
    return html`<header class="head">
      <p>${this.#demo()}${statusSaid(status)}</p>
      ${this.#heed(status, needs)}
      <p>${status.started ? dayShort(house.today()) : nothing}</p>
    </header>`;
  }

  #demo() {
    return isDemo(() => this.requestUpdate()) ? html`<a class="demo" href=${placeOf("settings", "own")} title="Everything here is invented. Start your own.">demo</a> ` : nothing;
  }

  #heed(status, needs) {
    if (status.storage?.trouble) return html`<a class="needs key" href=${placeOf("settings", "device")}>storage trouble</a>`;
    if (status.frozen) return html`<a class="needs key" href=${placeOf("settings", "device")}>this device is stopped</a>`;
    if (status.turnedAway && !status.removed) return html`<a class="needs key" href=${placeOf("settings", "device")}>turned away</a>`;
    if (needs) return html`<a class="needs key" href=${placeOf("settings", "needs")}>${needs} ${needs === 1 ? "needs" : "need"} you</a>`;
    return status.update ? html`<a class="key tight quiet" href=${placeOf("settings", "device")}>new version</a>` : nothing;
  }
}
customElements.define("house-head", HouseHead);

/** @param {object} status @returns {unknown} "no signal since 7:40 am · 3 in hand" */
export function statusSaid(status) {
  if (!status.started) return "opening the book …";
  if (status.removed) return "this device was removed";
  if (!status.enrolled) return "not yet a device of a house";
  const hand = status.inHand ? html` · <strong>${status.inHand} in hand</strong>` : nothing;
  if (status.signal === "working") return html`sharing …${hand}`;
  if (status.signal === "none") return html`no signal${status.since ? ` since ${sinceSaid(status.since)}` : ""}${hand}`;
  return html`shared, ${status.since ? agoSaid(Date.now() - new Date(status.since).getTime()) : "just now"}${hand}`;
}

function sinceSaid(since) {
  const old = Date.now() - new Date(since).getTime() > 20 * 60 * MINUTE_MS;
  return old ? `${new Date(since).toLocaleDateString("en-US", { weekday: "short" })} ${timeSaid(since)}` : timeSaid(since);
}
