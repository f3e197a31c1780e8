import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { go, placeOf } from "../../parts/route.js";
import { dayShort } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Status } from "../../store/shapes.d.ts" */

/** How a browser becomes a device of the house: a name and a one-time code. Property `code`: from the address. */
class EnrolBoard extends Part {
  static properties = { code: {} };

  #act = new Act(this, { asks: true });

  constructor() {
    super();
    this.code = "";
  }

  /** @param {Submitted} event */
  async #enrol(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    const code = String(form.get("code")).trim();
    const name = String(form.get("name")).trim();
    if (!code) this.#act.failed({ message: "The code is missing.", remedy: "An owner's device makes one under Settings." });
    else if (!name) this.#act.failed({ message: "Give this device a name.", remedy: "Such as: shed phone." });
    else if (await this.#act.run(() => house.enrol(code, name).then(() => ({})), `${name} is added.`)) go("counter");
  }

  render() {
    return html`<div class="board"><div class="column">
      <h1>Add this device</h1>
      <p class="faint">It then takes orders by itself, with or without signal, from what is set aside for it.</p>
      ${house.status.removed ? this.#removed(house.status.removed) : nothing}
      ${house.status.emptied ? html`<p class="heed" role="alert">${house.status.emptied}</p>` : nothing}
      <form class="fields enrol" @submit=${this.#enrol} novalidate>
        <label class="write"><span>what it is called</span><input name="name" autocomplete="off" autocapitalize="sentences" placeholder="shed phone" /></label>
        <label class="write"><span>the code, good once and for ten minutes</span><input name="code" class="figures" autocomplete="off" autocapitalize="characters" spellcheck="false" placeholder="ABCD-EFGH" .value=${this.code} /></label>
        ${this.#act.outcome()}
        <button class="key say" ?disabled=${this.#act.busy}>${this.#act.busy ? "asking the main computer …" : "add this device"}</button>
      </form>
      <p class="faint">The first code stands in the window in which the main computer was started. Later ones are made on an owner's device: Settings, other devices.</p>
      <p class="faint">Was this device here before, at another address? Open it there first, by its icon: Settings, <em>the main computer moved</em>. So nothing that was written there is left behind.</p>
      <p><a class="key tight quiet" href=${placeOf("settings", "lost")}>no code, or no owner's device any more?</a></p>
    </div></div>`;
  }

  /** @param {NonNullable<Status["removed"]>} removed */
  #removed({ at, left }) {
    return html`<div class="state" role="alert"><p class="heed">This device was removed on ${dayShort(house.dayOf(at))}.</p>
      <p>Names, addresses, orders and half-written sentences were wiped from it.${left ? ` ${left} ${left === 1 ? "entry" : "entries"} it had not sent yet ${left === 1 ? "is" : "are"} handed in by ${left === 1 ? "itself" : "themselves"}; the owner settles ${left === 1 ? "it" : "them"}.` : ""}</p>
      <p>Is it yours again? Add it with a new code.</p></div>`;
  }
}
customElements.define("enrol-board", EnrolBoard);
