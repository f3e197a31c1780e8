import { html, nothing } from "lit";
import { Part } from "./part.js";
import { printSheet } from "./print-sheet.js";
import { work } from "../kernel/work.js";
import "./picture.js";

/** @import { Opened } from "./events.d.ts" */
/** @import { Trouble } from "../store/shapes.d.ts" */

/**
 * Heat on the way as it can be looked at: the days by packing, the trip by the hour, and one key for both on paper.
 * Properties: `request` (of quoting.call), `who`, `number`. Drawn only when it is opened.
 */
class HeatPictures extends Part {
  static properties = { request: {}, who: {}, number: {}, open: { state: true }, why: { state: true } };

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.request = null;
    /** @type {string | undefined} */
    this.who = "";
    /** @type {string | undefined} */
    this.number = "";
    this.open = false;
    this.why = "";
  }

  async #print() {
    try {
      const paper = await work("documents.heat", { ...this.request, who: this.who ?? "", number: this.number ?? "" }, { wait_s: 20 });
      this.why = "";
      await printSheet(paper.html);
    } catch (error) {
      this.why = /** @type {Trouble} */ (error).message;
    }
  }

  render() {
    if (!this.request) return nothing;
    return html`<details @toggle=${(/** @type {Opened} */ event) => {
      this.open = event.target.open;
    }}><summary>every day and packing, and the trip</summary>
      ${
        this.open
          ? html`
        <kernel-picture name="quoting.days_picture" .request=${this.request} missing="No drawing now."></kernel-picture>
        <kernel-picture name="quoting.trip_picture" .request=${this.request} missing="No drawing now."></kernel-picture>
        <button type="button" class="key tight" @click=${() => this.#print()}>print both</button>
        ${this.why ? html`<p class="heed" role="alert">${this.why}</p>` : nothing}`
          : nothing
      }</details>`;
  }
}
customElements.define("heat-pictures", HeatPictures);
