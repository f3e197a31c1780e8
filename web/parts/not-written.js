import { html, nothing } from "lit";

/** @import { Touched } from "./events.d.ts" */

/**
 * The order is not taken. The words stay, to be copied or printed; what to do is said.
 * @param {{message: string, remedy?: string, kind?: string, text?: string}} error
 */
export function notWritten({ message, remedy = "", kind, text }) {
  const head = kind === "draft" ? "Not yet" : "Not taken";
  return html`<div class="state" role="alert">
    <h2 class="heed">${head}</h2>
    <p><strong>${message}</strong> ${remedy}</p>
    ${
      text && kind !== "draft"
        ? html`
      <p class="todo">These are its words. Keep them until they are written down:</p>
      <pre class="kept-words">${text}</pre>
      <div class="keyrow two">
        <button type="button" class="key" @click=${(/** @type {Touched} */ event) => copy(event.currentTarget, text)}>copy the words</button>
        <button type="button" class="key" @click=${() => window.print()}>print the words</button>
      </div>`
        : nothing
    }
  </div>`;
}

/**
 * What the main computer was asked to do and did not: nothing was to be written here.
 * @param {{message: string, remedy?: string}} error
 */
export const notDone = (error) => html`<p class="heed" role="alert">${error.message} ${error.remedy ?? ""}</p>`;

/** @param {HTMLElement} key @param {string} text */
async function copy(key, text) {
  try {
    await navigator.clipboard.writeText(text);
    key.textContent = "copied";
  } catch {
    key.textContent = "not allowed: select the words by hand";
  }
}
