import { LitElement } from "lit";
import { house } from "../store/house.js";

/**
 * What every element here is: drawn into the page itself (one set of styles, and it prints),
 * and drawn again whenever the house's view changes.
 */
export class Part extends LitElement {
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
    return this.updateComplete.then(() => this.querySelector(selector)?.focus());
  }
}
