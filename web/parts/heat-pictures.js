import { html, nothing } from "lit";
import { Act } from "./act.js";
import { Part } from "./part.js";
import { printPaper } from "./papers.js";
import "./picture.js";

/** @import { Opened } from "./events.d.ts" */

/**
 * Heat on the way as it can be looked at: the days by packing, the trip by the hour, and one key for both on paper.
 * Properties: `request` (of quoting.call), `who`, `number`. Drawn only when it is opened.
 */
class HeatPictures extends Part {
  static properties = { request: {}, who: {}, number: {}, open: { state: true } };

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.request = null;
    /** @type {string | undefined} */
    this.who = "";
    /** @type {string | undefined} */
    this.number = "";
    this.open = false;
  }

  #act = new Act(this, { asks: true });

  #print() {
    const request = { ...this.request, who: this.who ?? "", number: this.number ?? "" };
    return this.#act.run(() => printPaper("documents.heat", request), "");
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
        <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#print()}>print both</button>
        ${this.#act.outcome()}`
          : nothing
      }</details>`;
  }
}
customElements.define("heat-pictures", HeatPictures);
