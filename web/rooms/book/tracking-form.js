import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { CodeCamera } from "../../parts/code-camera.js";
import { given, Part } from "../../parts/part.js";
import { track, trackingLink } from "../../store/acts.js";
import { isOurs } from "../../store/find-all.js";
import { house } from "../../store/house.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Parcel } from "../../store/shapes.d.ts" */

/** The number under which a carrier follows a box; a link where the owner has said how one looks. Property `parcel`: a row. */
class TrackingForm extends Part {
  static properties = { parcel: {} };

  #act = new Act(this);
  /** It puts the number into the field; it is kept by the same key as one that was typed. The code of our own slip beside it is none. */
  #camera = new CodeCamera(
    this,
    (number) => {
      /** @type {HTMLInputElement} */ (this.querySelector("input")).value = number;
    },
    (code) => Boolean(code) && !isOurs(code),
  );

  constructor() {
    super();
    /** @type {Parcel} */
    this.parcel = given;
  }

  willUpdate() {
    this.#act.about(this.parcel.id);
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
      ${this.#camera.picture()}
      <div class="keyrow two"><button class="key tight">keep the number</button>${this.#camera.key("scan it", "key tight quiet")}${link ? html`<a class="key tight quiet" href=${link} target="_blank" rel="noopener noreferrer">where is it?</a>` : nothing}</div>
      ${this.#act.outcome()}</form>`;
  }
}
customElements.define("tracking-form", TrackingForm);
