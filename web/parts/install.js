/** @file Put on the home screen by one touch, where the browser offers that; elsewhere its own menu does it. */

/** @typedef {Event & {prompt: () => Promise<unknown>}} Offer */

export const INSTALL_OFFERED = "honeyhold-install";

/** @type {Offer | null} */
let offer = null;

/** @param {Offer | null} now */
function offered(now) {
  offer = now;
  dispatchEvent(new Event(INSTALL_OFFERED));
}

/** The browser offers once, soon after the start: the offer is kept until somebody looks for it. */
export function listenForInstall() {
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    offered(/** @type {Offer} */ (event));
  });
  addEventListener("appinstalled", () => offered(null));
}

export const mayInstall = () => offer !== null;

/** An offer is good for one asking. */
export async function install() {
  const asked = offer;
  offered(null);
  await asked?.prompt();
}
