import { html } from "lit";
import { Act } from "../../parts/act.js";
import { given, Part } from "../../parts/part.js";

/** @import { Submitted } from "../../parts/events.d.ts" */

/** A note to read and to write, behind one touch. Properties: `text`, and `write(text)`, which resolves with `{op}` once it is durable. */
class NoteForm extends Part {
  static properties = { text: {}, write: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.text = "";
    /** @type {(text: string) => Promise<{op: string | null}>} */
    this.write = given;
  }

  /** @param {Submitted} event */
  #save(event) {
    event.preventDefault();
    const written = String(new FormData(event.target).get("note") ?? "").trim();
    if (written !== (this.text ?? "")) this.#act.run(() => this.write(written), "Written down.");
  }

  render() {
    return html`<details class="otherwise"><summary>${this.text ? "change the note" : "write a note"}</summary>
        <form class="fields" @submit=${(/** @type {Submitted} */ event) => this.#save(event)} novalidate>
          <label class="write"><span>note</span><textarea name="note" rows="2" .value=${this.text ?? ""}></textarea></label>
          <button class="key tight" ?disabled=${this.#act.busy}>write it down</button></form></details>
      ${this.#act.outcome()}`;
  }
}
customElements.define("note-form", NoteForm);
