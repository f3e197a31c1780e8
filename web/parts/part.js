import { LitElement } from "lit";
import { house } from "../store/house.js";

/**
 * Stands for a property in its element's constructor: whoever draws the element gives it, before it is drawn itself. A field of the class
 * would hide lit's own accessor, so every property is declared in the constructor, with its type.
 * @type {any}
 */
export const given = undefined;

/**
 * What every element here is: drawn into the page itself (one set of styles, and it prints),
 * and drawn again whenever the house's view changes.
 */
export class Part extends LitElement {
  /** @type {(() => void) | null} */
  #leave = null;

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    this.#leave = house.subscribe(() => this.requestUpdate());
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#leave?.();
    this.#leave = null;
  }

  /** Puts the keyboard on the first thing inside that matches. @param {string} selector */
  focusOn(selector) {
    return this.updateComplete.then(() => /** @type {HTMLElement | null} */ (this.querySelector(selector))?.focus());
  }
}
