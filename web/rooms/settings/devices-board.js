import { html, nothing } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { timeSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";

/** @import { MadeCode } from "./answers.d.ts" */
/** @import { DeviceRow } from "../../store/shapes.d.ts" */

/** The other devices: one more by a one-time code, or one that a person says is lost. */
class DevicesBoard extends Part {
  static properties = { made: { state: true }, losing: { state: true } };

  #act = new Act(this, { asks: true });

  constructor() {
    super();
    /** @type {MadeCode | null} */
    this.made = null;
    /** The device that is about to be removed. @type {string | null} */
    this.losing = null;
  }

  /** @param {"keeper" | "helper"} role */
  async #make(role) {
    this.made = (await this.#act.run(() => house.call("/api/codes", { body: { role } }), "")) ?? this.made;
  }

  /** @param {DeviceRow} device */
  async #lose(device) {
    const lose = () => house.call(`/api/devices/${encodeURIComponent(device.id)}/lost`, { method: "POST" }).then(() => ({}));
    if (!(await this.#act.run(lose, `${device.name} is removed.`))) return;
    this.losing = null;
    await house.exchange();
  }

  render() {
    const { status, view } = house;
    const keeper = status.device?.role === "keeper";
    const others = [...view.devices.values()].filter(({ id }) => id !== status.device?.id).sort((a, b) => a.mark.localeCompare(b.mark));
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Other devices</h1>
      ${this.made ? this.#code(this.made) : nothing}
      ${others.length ? html`<dl class="under">${others.map((device) => this.#device(device, keeper))}</dl>` : html`<p class="faint">There are none yet.</p>`}
      ${this.#act.outcome()}
    </div></div>
    <div class="deck">${
      keeper
        ? html`<h2 class="where">One more device</h2>
      <div class="keyrow two">
        <button type="button" class="key" @click=${() => this.#make("keeper")}>a code for an owner<small>may do everything</small></button>
        <button type="button" class="key" @click=${() => this.#make("helper")}>a code for a helper<small>orders, packing, melting</small></button>
      </div>`
        : stateSaid({ what: "This is a helper's device.", todo: "Codes are made on an owner's device." })
    }</div>`;
  }

  /** @param {DeviceRow} device @param {boolean} keeper */
  #device(device, keeper) {
    return html`<div><dt>${device.mark}</dt><dd>
      <p><strong>${device.name}</strong>${device.role === "helper" ? ", a helper's" : ""}${device.lost ? html`, <span class="heed">removed</span>` : nothing}</p>
      ${
        device.lost || !keeper
          ? nothing
          : this.losing === device.id
            ? html`
        <p>It may have promised what was set aside for it since it was last heard. What it still sends is kept apart for you. Its key stops working for good, and it wipes names, addresses and drafts from itself when it hears of it.</p>
        <div class="keyrow two"><button type="button" class="key" @click=${() => {
          this.losing = null;
        }}>keep it</button>
          <button type="button" class="key undo" ?disabled=${this.#act.busy} @click=${() => this.#lose(device)}>remove it</button></div>`
            : html`<button type="button" class="key tight quiet" @click=${() => {
                this.losing = device.id;
              }}>remove it: lost or sold …</button>`
      }
    </dd></div>`;
  }

  /** @param {MadeCode} made */
  #code({ code, expires_at: until, address, introduction, letters, qr_svg: picture, earlier = [] }) {
    return html`<div class="state code">
      <p>Type this on the other device, or point its camera at the picture. Good once, until ${timeSaid(until)}.</p>
      <p class="numeral" aria-label="the code">${code}</p>
      <div class="qr">${unsafeHTML(picture)}</div>
      <p class="faint">${address}</p>
      ${introduction ? html`<p>A device that was never here first opens <strong>${introduction}</strong>: there it learns to trust the main computer, once these letters are the same on both: <span class="figures">${letters}</span></p>` : nothing}
      ${earlier.map(
        ({ address: before, qr_svg: way }) => html`<details><summary>a device that was added at ${before}</summary>
        <p>It points its camera at this instead: it opens where it was, and brings along what it has not sent.</p>
        <div class="qr">${unsafeHTML(way)}</div></details>`,
      )}
    </div>`;
  }
}
customElements.define("devices-board", DevicesBoard);
