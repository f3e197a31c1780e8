import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { install, INSTALL_OFFERED, mayInstall } from "../../parts/install.js";
import { placeOf } from "../../parts/route.js";
import { counted, listed, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { wakeKernel } from "../../kernel/work.js";
import "./trust-said.js";

/** @import { KernelState } from "../../kernel/work.js" */
/** @import { Status } from "../../store/shapes.d.ts" */

const MB = 1_000_000;

/** @param {number} entries @returns {string} */
const waitsSaid = (entries) =>
  entries === 1
    ? "The main computer has one entry that waits for what another device has not sent yet. Nothing to do here."
    : `The main computer has ${entries} entries that wait for what another device has not sent yet. Nothing to do here.`;

/** This device: its name, what it may promise alone, how its storage and its kernel stand. */
class DeviceBoard extends Part {
  #offered = () => this.requestUpdate();

  connectedCallback() {
    super.connectedCallback();
    addEventListener(INSTALL_OFFERED, this.#offered);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    removeEventListener(INSTALL_OFFERED, this.#offered);
  }

  render() {
    const { status, view } = house;
    const { device } = status;
    const share = [...view.goods.values()]
      .filter((good) => good.sold && house.share(good.id) > 0)
      .sort((a, b) => a.rank - b.rank)
      .map((good) => unitsSaid(good, house.share(good.id)));
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>${device?.name}</h1>
      <p class="faint">${device?.role === "keeper" ? "an owner's device" : "a helper's device"}; its orders are numbered <span class="held">${device?.mark}-1</span>, <span class="held">${device?.mark}-2</span> …</p>
      ${status.frozen ? html`<p class="heed" role="alert">${status.frozen} Nothing may be promised from here. Add it again under a new name; what it wrote is kept.</p>` : nothing}
      ${status.turnedAway ? html`<p class="heed" role="alert">${status.turnedAway}</p>` : nothing}
      ${status.tooOld ? html`<p class="heed" role="alert">The main computer does not understand this app any more: it is too old. Close it in every window and open it again; nothing that was written is lost. (${status.tooOld})</p>` : nothing}
      ${status.movedTo ? html`<p class="heed" role="alert">This device goes on at ${status.movedTo}: the main computer moved there, and all that was written here was sent. <a class="key tight" href=${placeOf("settings", "moved")}>go on there</a></p>` : nothing}
      ${status.frozen || status.turnedAway ? html`<p><a class="key" href=${placeOf("settings", "enrol")}>give it a new name</a></p>` : nothing}
      <dl class="under">
        <div><dt>set aside for it</dt><dd>${this.#setAside(share)}</dd></div>
        <div><dt>not sent yet</dt><dd>${status.inHand ? html`<strong>${counted(status.inHand, "entry is", "entries are")}</strong> only here. Keep this browser's data until ${status.inHand === 1 ? "it is" : "they are"} sent.` : "Nothing: the main computer has all of it."}</dd></div>
        ${status.waiting ? html`<div><dt>waits</dt><dd>${waitsSaid(status.waiting)}</dd></div>` : nothing}
        <div><dt>storage</dt><dd>${this.#storage(status.storage)}${mayInstall() ? html`<p><button type="button" class="key" @click=${install}>put it on the home screen</button></p>` : nothing}</dd></div>
        <div><dt>without signal</dt><dd>${this.#kernel(status.kernel)}</dd></div>
        <div><dt>version</dt><dd>${status.update ? html`A new one waits. <button type="button" class="key" @click=${() => house.takeOver()}>change to it now</button>` : "This is the newest there is."}</dd></div>
      </dl>
      <trust-said></trust-said>
    </div></div>`;
  }

  /** What is sure from here; a stopped device promises nothing, whatever was set aside for it. @param {string[]} share */
  #setAside(share) {
    if (house.status.frozen) return share.length ? `${listed(share)}, until it is added again under a new name.` : "Nothing.";
    if (!share.length) return "Nothing now. It asks the main computer when it is in reach.";
    return html`<strong>${listed(share)}</strong> are sure from here without signal.`;
  }

  /** @param {Status["storage"]} storage */
  #storage({ persisted, trouble }) {
    if (trouble) return html`<span class="heed">${trouble}</span>`;
    return persisted
      ? "Kept for good on this device."
      : "Kept, but the browser may clear it if the disk is short of room. Put Honeyhold on the home screen to have it kept for good.";
  }

  /** @param {KernelState} kernel */
  #kernel({ state, done, total, why }) {
    /** @param {number} bytes */
    const megabytes = (bytes) => Math.round(bytes / MB);
    if (state === "awake") return "Parcels and heat are worked out here.";
    if (state === "fetching") return html`Fetching what works out parcels and heat: ${megabytes(done)} of ${megabytes(total)} MB.`;
    if (state === "waking") return "Starting.";
    if (state === "unavailable")
      return html`<span class="heed">Calculations are not available here: ${why}</span> Orders can be taken; parcels and heat wait for signal. <button type="button" class="key" @click=${() => wakeKernel()}>try again</button>`;
    return html`Not started. <button type="button" class="key" @click=${() => wakeKernel()}>start it</button>`;
  }
}
customElements.define("device-board", DeviceBoard);
