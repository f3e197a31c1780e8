import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { house } from "../../store/house.js";
import { handOver } from "../../store/moved.js";

/** @import { Submitted } from "../../parts/events.d.ts" */

/** The main computer has another address: what this device has not sent is handed over there. Property `link`: the new address, from a picture. */
class MovedBoard extends Part {
  static properties = { link: {}, gone: { state: true } };

  #act = new Act(this, { asks: true });

  constructor() {
    super();
    this.link = "";
    /** Where this device goes on, with the code that came with it. @type {string | null} */
    this.gone = null;
  }

  /** @param {Submitted} event */
  async #go(event) {
    event.preventDefault();
    const text = String(new FormData(event.target).get("address")).trim();
    if (!text) {
      this.#act.failed({ message: "The new address is missing.", remedy: "It stands under the code, on an owner's device." });
      return;
    }
    const done = await this.#act.run(
      () => handOver(text),
      ({ sent }) =>
        sent ? `${sent} ${sent === 1 ? "entry is" : "entries are"} handed over. None is left here.` : "Nothing was left to hand over.",
    );
    if (done) this.gone = done.link;
  }

  render() {
    const { inHand, movedTo } = house.status;
    const next = this.gone ?? (movedTo && `${movedTo}/`);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>The main computer moved</h1>
      <p>A browser keeps what a device wrote under the address at which it was added. Has the main computer another address now? Send there what is only here, then go on there.</p>
      ${inHand ? html`<p class="heed"><strong>${inHand}</strong> ${inHand === 1 ? "entry is" : "entries are"} only on this device.</p>` : nothing}
      ${next ? nothing : this.#form()}
      ${this.#act.outcome()}
      ${next ? this.#next(next) : nothing}
    </div></div>`;
  }

  #form() {
    return html`<form class="fields" @submit=${this.#go} novalidate>
        <label class="write"><span>its new address, as it stands under the code on an owner's device</span><input name="address" inputmode="url" autocomplete="off" autocapitalize="none" spellcheck="false" placeholder="https://192.168.1.20:8471" .value=${this.link} /></label>
        <button class="key say" ?disabled=${this.#act.busy}>${this.#act.busy ? "sending it there …" : "send it there"}</button>
      </form>
      <p class="faint">A phone that never met the main computer at that address must trust it there first, as on the first day. Records of another business get nothing.</p>`;
  }

  /** @param {string} next */
  #next(next) {
    return html`<p>This device goes on at the new address. Open it there, add it with a code, and put that page on the home screen in place of this one. An owner removes the old one under <em>other devices</em>.</p>
      <p><a class="key" href=${next}>go on there</a></p>`;
  }
}
customElements.define("moved-board", MovedBoard);
