import { html, nothing } from "lit";
import { canScan, scanned } from "./scan.js";

/**
 * The camera of an element, looking for one code: its picture, the key that starts and stops it, and why it does not look. It goes dark when the
 * element leaves the screen.
 */
export class CodeCamera {
  looking = false;
  /** Why it does not look. */
  said = "";
  #stop = new AbortController();

  /**
   * @param {import("lit").ReactiveControllerHost & HTMLElement} host
   * @param {(code: string) => void} found
   * @param {(code: string) => boolean} [wanted] codes that it passes over say no
   */
  constructor(host, found, wanted) {
    this.host = host;
    this.found = found;
    this.wanted = wanted;
    host.addController(this);
  }

  hostDisconnected() {
    this.stop();
  }

  async look() {
    const stop = new AbortController();
    this.#stop = stop;
    this.#now(true, "");
    await this.host.updateComplete;
    let said = "";
    try {
      const video = /** @type {HTMLVideoElement} */ (this.host.querySelector("video"));
      const code = await scanned(video, stop.signal, this.wanted);
      if (!stop.signal.aborted) this.found(code);
    } catch (error) {
      said = /** @type {Error} */ (error).message;
    }
    if (!stop.signal.aborted) this.#now(false, said);
  }

  stop() {
    this.#stop.abort();
    if (this.looking) this.#now(false, "");
  }

  /** @param {boolean} looking @param {string} said */
  #now(looking, said) {
    Object.assign(this, { looking, said });
    this.host.requestUpdate();
  }

  /** What it sees, or why it does not. */
  picture() {
    if (this.looking) return html`<video class="scan" playsinline muted aria-label="What the camera sees"></video>`;
    return this.said ? html`<p role="status">${this.said}</p>` : nothing;
  }

  /** @param {string} words what starts it @param {string} [manner] of the key */
  key(words, manner = "key tight") {
    if (!canScan()) return nothing;
    const { looking } = this;
    return html`<button type="button" class=${manner} @click=${() => (looking ? this.stop() : this.look())}>${looking ? "stop the camera" : words}</button>`;
  }
}
