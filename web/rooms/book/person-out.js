import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { saveFile } from "../../parts/save-file.js";
import { house } from "../../store/house.js";

/** @import { Person, Trouble } from "../../store/shapes.d.ts" */

/** What a person may ask for: all that is kept of them as a file, or to be forgotten. Property `person`: the row. */
class PersonOut extends Part {
  static properties = { person: {}, asked: { state: true }, error: { state: true } };

  constructor() {
    super();
    /** @type {Person | null} */
    this.person = null;
    this.asked = false;
    /** @type {Trouble | null} */
    this.error = null;
  }

  /** @param {() => Promise<void>} work */
  async #try(work) {
    try {
      await work();
      this.error = null;
    } catch (error) {
      this.error = /** @type {Trouble} */ (error);
    }
  }

  #save = () =>
    this.#try(async () => saveFile(await house.call(`/api/people/${encodeURIComponent(this.person?.id ?? "")}/export.zip`), "person.zip"));

  #forget = () =>
    this.#try(async () => {
      await house.call(`/api/people/${encodeURIComponent(this.person?.id ?? "")}/forget`, { method: "POST" });
      this.asked = false;
      await house.exchange();
    });

  render() {
    if (!this.person || house.status.device?.role !== "keeper") return nothing;
    return html`<details class="person-out"><summary class="key tight quiet">if they ask what you keep, or to be forgotten</summary>
      <div class="keyrow two">
        <button type="button" class="key tight" @click=${this.#save}>save all that is kept of them</button>
        ${
          this.asked
            ? html`<button type="button" class="key tight undo" @click=${this.#forget}>forget them now</button>`
            : html`<button type="button" class="key tight" @click=${() => {
                this.asked = true;
              }}>forget them …</button>`
        }
      </div>
      ${this.asked ? html`<p>Name, number, address and notes are emptied here, on the main computer and on every device that has signal. Orders keep their sums. It cannot be undone. Backups made before still hold them until they age out, after eight weeks; so does paper.</p>` : nothing}
      ${this.error ? html`<p class="heed" role="alert">${this.error.message} ${this.error.remedy ?? ""}</p>` : nothing}
    </details>`;
  }
}
customElements.define("person-out", PersonOut);
