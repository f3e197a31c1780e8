import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { given, Part } from "../../parts/part.js";
import { canScan, scanned } from "../../parts/scan.js";
import { track, trackingLink } from "../../store/acts.js";
import { house } from "../../store/house.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Parcel } from "../../store/shapes.d.ts" */

/** The number under which a carrier follows a box; a link where the owner has said how one looks. Property `parcel`: a row. */
class TrackingForm extends Part {
  static properties = { parcel: {}, looking: { state: true }, said: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    /** @type {Parcel} */
    this.parcel = given;
    this.looking = false;
    this.said = "";
    /** @type {AbortController | null} */
    this.stop = null;
  }

  willUpdate() {
    this.#act.about(this.parcel.id);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.stop?.abort();
  }

  /** The camera puts it into the field; it is kept by the same key as one that was typed. */
  async #scan() {
    Object.assign(this, { looking: true, said: "" });
    await this.updateComplete;
    this.stop = new AbortController();
    try {
      const number = await scanned(/** @type {HTMLVideoElement} */ (this.querySelector("video")), this.stop.signal);
      /** @type {HTMLInputElement} */ (this.querySelector("input")).value = number;
    } catch (error) {
      this.said = /** @type {Error} */ (error).message;
    }
    this.looking = false;
  }

  /** @param {Submitted} event */
  #save(event) {
    event.preventDefault();
    const number = String(new FormData(event.target).get("tracking") ?? "");
    return this.#act.run(() => track(this.parcel.id, number), number.trim() ? "Written down." : "Taken away.");
  }

  render() {
    const { tracking = "", part } = this.parcel;
    const link = trackingLink(house.view.setting("tracking_link", ""), tracking);
    const several = house.view.parcelsOf(this.parcel.order).length > 1;
    return html`<form class="fields" @submit=${this.#save} novalidate>
      <label class="write"><span>tracking number${several ? `, box ${part}` : ""}: type it, or scan it</span>
        <input name="tracking" autocomplete="off" autocapitalize="characters" spellcheck="false" maxlength="60" .value=${tracking} /></label>
      ${this.said ? html`<p role="status">${this.said}</p>` : nothing}${this.looking ? html`<video class="scan" playsinline muted></video>` : nothing}
      <div class="keyrow two"><button class="key tight">keep the number</button>${canScan() && !this.looking ? html`<button type="button" class="key tight quiet" @click=${() => this.#scan()}>scan it</button>` : nothing}${link ? html`<a class="key tight quiet" href=${link} target="_blank" rel="noopener noreferrer">where is it?</a>` : nothing}</div>
      ${this.#act.outcome()}</form>`;
  }
}
customElements.define("tracking-form", TrackingForm);
