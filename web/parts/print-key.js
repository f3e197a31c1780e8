import { html } from "lit";
import { Act } from "./act.js";
import { printPaper } from "./papers.js";
import { Part } from "./part.js";

/** What is printed: the name of the work, and what it is asked with. @typedef {[string, Record<string, any>]} Asked */

/**
 * A key that prints one paper from this device. Properties: `words` (on the key), `asked` (a function that gives name and request, perhaps
 * after it asked the main computer), `of` (whom or what it is about: of another, what became of the one before is not told any more).
 */
class PrintKey extends Part {
  static properties = { words: {}, asked: {}, of: {} };

  constructor() {
    super();
    this.words = "";
    this.of = "";
    /** @type {() => Asked | Promise<Asked>} */
    this.asked = () => ["", {}];
  }

  #act = new Act(this, { asks: true });

  willUpdate() {
    this.#act.about(this.of);
  }

  #print = () =>
    this.#act.run(
      async () => printPaper(...(await this.asked())),
      ({ notes }) => ["Printed from this device.", ...notes].join(" "),
    );

  render() {
    return html`<button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${this.#print}>${this.words}</button>${this.#act.outcome()}`;
  }
}
customElements.define("print-key", PrintKey);
