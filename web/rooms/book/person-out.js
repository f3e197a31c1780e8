import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { saveFile } from "../../parts/save-file.js";
import { house } from "../../store/house.js";

/** @import { Person } from "../../store/shapes.d.ts" */

/** What a person may ask for: all that is kept of them as a file, or to be forgotten. Property `person`: the row. */
class PersonOut extends Part {
  static properties = { person: {}, asked: { state: true } };

  #act = new Act(this, { asks: true });

  constructor() {
    super();
    /** @type {Person | null} */
    this.person = null;
    this.asked = false;
  }

  willUpdate() {
    this.#act.about(this.person?.id ?? "");
  }

  #save = () =>
    this.#act.run(async () => {
      saveFile(await house.call(`/api/people/${encodeURIComponent(this.person?.id ?? "")}/export.zip`), "person.zip");
      return {};
    }, "Saved. Look among this device's downloads.");

  #forget = async () => {
    const forget = () => house.call(`/api/people/${encodeURIComponent(this.person?.id ?? "")}/forget`, { method: "POST" }).then(() => ({}));
    if (!(await this.#act.run(forget, "Forgotten."))) return;
    this.asked = false;
    await house.exchange();
  };

  render() {
    if (!this.person || house.status.device?.role !== "keeper") return nothing;
    return html`<details class="person-out"><summary class="key tight quiet">if they ask what you keep, or to be forgotten</summary>
      <div class="keyrow two">
        <button type="button" class="key tight" @click=${this.#save}>save all that is kept of them</button>
        ${
          this.asked
            ? html`<button type="button" class="key tight undo" ?disabled=${this.#act.busy} @click=${this.#forget}>forget them now</button>`
            : html`<button type="button" class="key tight" @click=${() => {
                this.asked = true;
              }}>forget them …</button>`
        }
      </div>
      ${this.asked ? html`<p>Name, number, address and notes are emptied here, on the main computer and on every device that has signal. Orders keep their sums. It cannot be undone. Backups made before still hold them until they age out, after a year. So does a file you saved, and paper.</p>` : nothing}
      ${this.#act.outcome()}
    </details>`;
  }
}
customElements.define("person-out", PersonOut);
