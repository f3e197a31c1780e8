import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { dayShort } from "../../parts/words.js";
import { placeOf } from "../../parts/route.js";
import { house } from "../../store/house.js";

/** @import { Trust } from "./answers.d.ts" */

/**
 * The next certificate, in the last year of the one that devices trust: from which day on, its letters, where it is loaded. Asked once it is
 * shown. Property `brief`: one line that leads there. Nothing where there is none, or the main computer is out of reach.
 */
class TrustSaid extends Part {
  static properties = { brief: { type: Boolean }, next: { state: true } };

  constructor() {
    super();
    this.brief = false;
    /** @type {Trust["next"]} */
    this.next = null;
  }

  connectedCallback() {
    super.connectedCallback();
    house.call("/api/trust").then(
      (/** @type {Trust} */ { next }) => {
        this.next = next;
      },
      () => {},
    );
  }

  render() {
    if (!this.next) return nothing;
    const { day, letters, address } = this.next;
    const who = location.protocol === "https:" ? "this device has" : "phones and tablets have";
    const from = `${dayShort(day)}, ${day.slice(0, 4)}`;
    const lead = `From ${from} on ${who} to trust another certificate of the main computer.`;
    if (this.brief)
      return html`<p><a class="key" href=${placeOf("settings", "device")}>a new certificate<small>load it before ${from}</small></a></p>`;
    return html`<h2 class="where">The next certificate</h2>
      <p class="heed">${lead} Load it before that day and keep the present one until then: open <strong>${address}</strong>, <em>load the next certificate</em>, once these letters are the same there.</p>
      <p class="figures">${letters}</p>`;
  }
}
customElements.define("trust-said", TrustSaid);
