import { html, nothing } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import { Part } from "./part.js";
import { work } from "../kernel/work.js";

/**
 * A drawing made by the pure Python: from the kernel here, else from the house.
 * Properties: `name` and `request` of the work; `waiting` and `missing` are the words shown meanwhile and without it.
 * The text comes from our own kernel only, so it may be put in the page as it stands.
 */
export class KernelPicture extends Part {
  static properties = { name: {}, request: {}, waiting: {}, missing: {}, state: { state: true }, svgs: { state: true } };

  #asked = "";

  constructor() {
    super();
    this.waiting = "drawing …";
    this.missing = "";
    this.state = "working";
    this.svgs = [];
  }

  willUpdate() {
    const asked = JSON.stringify([this.name, this.request]);
    if (!this.request || asked === this.#asked) return;
    this.#asked = asked;
    this.#draw(asked);
  }

  async #draw(asked) {
    if (!this.svgs.length) this.state = "working";
    let svgs = [];
    let state = "drawn";
    try {
      const answer = await work(this.name, this.request);
      svgs = answer.svgs ?? (answer.svg ? [answer.svg] : []);
    } catch {
      state = "failed";
    }
    if (asked !== this.#asked) return; // a newer question is on its way
    this.svgs = svgs;
    this.state = svgs.length ? state : "failed";
  }

  render() {
    if (this.state === "drawn") {
      return this.svgs.map((svg) => html`<figure class="picture">${unsafeHTML(svg)}</figure>`);
    }
    const words = this.state === "working" ? this.waiting : this.missing;
    return words ? html`<p class="faint picture-words">${words}</p>` : nothing;
  }
}
customElements.define("kernel-picture", KernelPicture);
