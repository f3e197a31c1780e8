const WIDE = matchMedia("(min-width: 48rem) and (min-height: 30.01rem)");

/** Is there room for a list beside what it opens? A phone on its side has the width, but not the height. */
export const isWide = () => WIDE.matches;

const ROOMY = matchMedia("(min-width: 60rem) and (min-height: 40rem)");

/** Is there room under the keys as well? */
export const isRoomy = () => ROOMY.matches;

/** Draws its element again when the screen is turned or grows. As a controller: `new WideWatch(this)`. */
export class WideWatch {
  /** @param {import("lit").ReactiveControllerHost} host */
  constructor(host) {
    this.turned = () => host.requestUpdate();
    host.addController(this);
  }

  hostConnected() {
    WIDE.addEventListener("change", this.turned);
    ROOMY.addEventListener("change", this.turned);
  }

  hostDisconnected() {
    WIDE.removeEventListener("change", this.turned);
    ROOMY.removeEventListener("change", this.turned);
  }
}
