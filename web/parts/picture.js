import { html, nothing } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import { showOver } from "./over.js";
import { Part } from "./part.js";
import { Question } from "../kernel/question.js";
import { work } from "../kernel/work.js";

/** @param {string} svg */
const titleOf = (svg) => /<title>([^<]*)/.exec(svg)?.[1] ?? "the drawing";

/** The drawing as large as the screen. @param {string} svg */
function showLarge(svg) {
  const words = (/** @type {() => void} */ close) =>
    html`<button type="button" class="key" @click=${close}>close</button><figure class="picture">${unsafeHTML(svg)}</figure>`;
  showOver("large-picture", words).ariaLabel = "The drawing, large";
}

/**
 * A drawing made by the pure Python: from the kernel here, else from the house.
 * Properties: `name` and `request` of the work; `waiting` and `missing` are the words shown meanwhile and without it. Says `drawn` when it
 * waits no longer.
 * The text comes from our own kernel only, so it may be put in the page as it stands.
 */
export class KernelPicture extends Part {
  static properties = { name: {}, request: {}, waiting: {}, missing: {} };

  #drawing = new Question(this, ({ request: [name, request], signal }) => work(name, request, { signal }));
  #waited = false;

  constructor() {
    super();
    this.name = "";
    /** @type {Record<string, any> | null} */
    this.request = null;
    this.waiting = "drawing …";
    this.missing = "";
  }

  /** Whether the drawing is still to come. */
  get waits() {
    return this.#drawing.waits || (this.request !== null && !this.hasUpdated);
  }

  willUpdate() {
    this.#drawing.about(this.request ? [this.name, this.request] : null);
  }

  updated() {
    const came = this.#waited && !this.waits;
    this.#waited = this.waits;
    if (came) this.dispatchEvent(new Event("drawn", { bubbles: true }));
  }

  render() {
    const { answer, waits } = this.#drawing;
    const svgs = answer?.svgs ?? (answer?.svg ? [answer.svg] : []);
    if (svgs.length) {
      return svgs.map(
        (/** @type {string} */ svg) => html`<figure class="picture">${unsafeHTML(svg)}
          <button type="button" class="enlarge" aria-label="See it large: ${titleOf(svg)}" @click=${() => showLarge(svg)}></button></figure>`,
      );
    }
    const words = waits ? this.waiting : this.missing;
    return words ? html`<p class="faint picture-words">${words}</p>` : nothing;
  }
}
customElements.define("kernel-picture", KernelPicture);
