import { html, nothing } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import { Ask } from "./ask.js";
import { listed, timeSaid } from "../../../parts/words.js";
import { house } from "../../../store/house.js";

/** @import { MadeCode } from "../answers.d.ts" */

/** Who helps: a code for one more device, if there is somebody. It needs the main computer; without signal it is for later. */
class AskHelp extends Ask {
  static properties = { made: { state: true } };

  constructor() {
    super();
    /** @type {MadeCode | null} */
    this.made = null;
  }

  /** @param {"keeper" | "helper"} role */
  async #make(role) {
    const made = await this.meanwhile(() =>
      house.call("/api/codes", { body: { role } }).catch((error) => {
        const remedy = `Go on; it is made later under Settings, other devices. (${error.message})`;
        throw Object.assign(new Error("No code could be made: the main computer is out of reach."), { kind: "draft", remedy });
      }),
    );
    if (made) this.made = made;
  }

  question() {
    const others = [...house.view.devices.values()]
      .filter(({ id, lost }) => !lost && id !== house.status.device?.id)
      .map(({ name }) => name);
    return html`<h1>Does anybody help you?</h1>
      ${others.length ? html`<p>Here already: <strong>${listed(others)}</strong>.</p>` : nothing}
      <p class="faint">A helper takes orders, packs and pours on a device of their own; prices and settings stay with you.</p>`;
  }

  below() {
    if (!this.made) return nothing;
    const { code, expires_at: until, address, introduction, qr_svg: picture } = this.made;
    return html`<div class="state code">
      <p>Type this on their device, or point its camera at the picture. Good once, until ${timeSaid(until)}.</p>
      <p class="numeral" aria-label="the code">${code}</p>
      <div class="qr">${unsafeHTML(picture)}</div>
      <p class="faint">${address}</p>
      ${introduction ? html`<p>A device that was never here first opens <strong>${introduction}</strong>.</p>` : nothing}</div>`;
  }

  answers() {
    if (this.made) return html`<button type="button" class="key say" @click=${() => this.answer(async () => {})}>to the Counter</button>`;
    return html`<div class="keyrow two">
        <button type="button" class="key tight" @click=${() => this.#make("helper")}>a helper<small>a code for their device</small></button>
        <button type="button" class="key tight" @click=${() => this.#make("keeper")}>I have a second device<small>a code for it</small></button></div>
      <button type="button" class="key say" ?disabled=${this.working} @click=${() => this.answer(async () => {})}>nobody: to the Counter</button>`;
  }
}
customElements.define("ask-help", AskHelp);
