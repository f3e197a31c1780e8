/**
 * @file Keeps the place while something is worked out anew: what was drawn leaves its height behind until the new drawing is there, so that no
 * key below slides under a finger that is already on its way. Parts that do so are marked with `data-held`.
 */

/** @typedef {import("lit").ReactiveControllerHost & HTMLElement} Host */

export class HeldHeights {
  #host;
  #waits;
  /** Heights as they were last drawn whole, in pixels. @type {WeakMap<HTMLElement, number>} */
  #drawn = new WeakMap();
  #another = false;

  /**
   * @param {Host} host
   * @param {() => boolean} waits whether what the host shows is still being worked out; a picture inside says so by itself
   */
  constructor(host, waits) {
    this.#host = host;
    this.#waits = waits;
    host.addController(this);
  }

  /** Something else is shown from the next drawing on: nothing of what stands now is kept. */
  letGo() {
    this.#another = true;
  }

  /** Before a drawing: as it still stands. */
  hostUpdate() {
    for (const part of this.#parts()) {
      if (this.#another) this.#drawn.delete(part);
      else if (!part.style.minHeight) this.#drawn.set(part, part.offsetHeight);
    }
    this.#another = false;
  }

  /** After it. */
  hostUpdated() {
    for (const part of this.#parts()) {
      const waits = this.#waits() || [...part.querySelectorAll("*")].some((inner) => "waits" in inner && inner.waits);
      part.style.minHeight = waits && this.#drawn.has(part) ? `${this.#drawn.get(part)}px` : "";
    }
  }

  #parts() {
    return /** @type {HTMLElement[]} */ ([...this.#host.querySelectorAll("[data-held]")]);
  }
}
