import { html, nothing } from "lit";

/**
 * A state that says what it is and what to do: empty, working, needs you, failed.
 * @param {{what: string, todo?: unknown, heed?: boolean}} state
 */
export const stateSaid = ({ what, todo = nothing, heed = false }) => html`
  <div class="state" role=${heed ? "alert" : nothing}>
    <p class=${heed ? "heed" : ""}>${what}</p>
    ${todo === nothing ? nothing : html`<div class="todo">${todo}</div>`}
  </div>`;
