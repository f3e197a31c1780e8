/** @file Long lists by the hundred: of thousands of rows nobody looks at all, and drawing them takes seconds. */

import { html, nothing } from "lit";

/** @import { Drawn } from "./events.d.ts" */

const FIRST = 100;
const MORE = 500;

/** How far each list of an element is shown; kept while the element stands. */
export class Many {
  /** By the list's name. @type {Map<string, number>} */
  #shown = new Map();
  #host;

  /** @param {import("lit").ReactiveControllerHost} host */
  constructor(host) {
    this.#host = host;
  }

  /**
   * The first of the rows, and a key for more of them.
   * @template T
   * @param {string} list @param {T[]} rows @param {(row: T) => Drawn} draw
   * @returns {Drawn}
   */
  of(list, rows, draw) {
    const shown = this.#shown.get(list) ?? FIRST;
    const left = rows.length - shown;
    const show = async (/** @type {Event} */ { currentTarget }) => {
      const rows_ul = /** @type {HTMLElement} */ (currentTarget).closest("ul, ol");
      this.#shown.set(list, shown + MORE);
      this.#host.requestUpdate();
      await this.#host.updateComplete;
      // the key is gone or further down: whoever goes by keyboard stands at the first of the rows that came
      /** @type {HTMLElement | null | undefined} */ (rows_ul?.children[shown]?.querySelector("a, button"))?.focus();
    };
    const said = left > MORE ? `show ${MORE} more of ${left.toLocaleString("en-US")}` : `show the other ${left}`;
    const key = html`<li><button type="button" class="key tight quiet" @click=${show}>${said}</button></li>`;
    return html`${rows.slice(0, shown).map(draw)}${left > 0 ? key : nothing}`;
  }
}
