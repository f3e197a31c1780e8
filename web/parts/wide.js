const WIDE = matchMedia("(min-width: 48rem)");

/** Is there room for a list beside what it opens? */
export const isWide = () => WIDE.matches;

/** Draws its element again when the screen is turned or grows. As a controller: `new WideWatch(this)`. */
export class WideWatch {
  /** @param {import("lit").ReactiveControllerHost} host */
  constructor(host) {
    this.turned = () => host.requestUpdate();
    host.addController(this);
  }

  hostConnected() {
    WIDE.addEventListener("change", this.turned);
  }

  hostDisconnected() {
    WIDE.removeEventListener("change", this.turned);
  }
}
