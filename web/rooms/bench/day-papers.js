import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { counted } from "../../parts/words.js";
import { printDay } from "./day-pile.js";

/** @import { Order } from "../../store/shapes.d.ts" */
/** @import { Progress } from "./day-pile.js" */

/** A day's papers in one go, with how far it is and a key that stops it. Properties: `day`, `orders` (of that day). */
class DayPapers extends Part {
  static properties = { day: {}, orders: {}, progress: { state: true } };

  constructor() {
    super();
    this.day = "";
    /** @type {Order[]} */
    this.orders = [];
    /** @type {Progress | null} */
    this.progress = null;
  }

  #act = new Act(this, { asks: true });
  #stop = new AbortController();

  willUpdate() {
    this.#act.about(this.day);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#stop.abort();
  }

  #print = async () => {
    this.#stop = new AbortController();
    const { signal } = this.#stop;
    const orders = this.orders.filter(({ state }) => state === "promised" || state === "packed");
    await this.#act.run(
      () =>
        printDay(
          this.day,
          orders,
          (progress) => {
            this.progress = progress;
          },
          signal,
        ),
      ({ printed, without }) =>
        [
          signal.aborted
            ? `Stopped after ${counted(printed, "order")}; they are printed.`
            : `${counted(printed, "order")} printed from this device.`,
          ...without.map((why) => `No label for ${why}`),
        ].join(" "),
    );
    this.progress = null;
  };

  render() {
    const { progress } = this;
    return html`${
      this.#act.busy
        ? html`<p role="status">${progress ? `${progress.done} of ${counted(progress.of, "order")}` : "working out every parcel …"}</p>
          ${progress ? html`<progress aria-label="How far it is" max=${progress.of} value=${progress.done}></progress>` : nothing}
          <button type="button" class="key tight" @click=${() => this.#stop.abort()}>stop</button>`
        : html`<button type="button" class="key tight quiet gather" @click=${this.#print}>print all papers of the day</button>`
    }${this.#act.outcome()}`;
  }
}
customElements.define("day-papers", DayPapers);
