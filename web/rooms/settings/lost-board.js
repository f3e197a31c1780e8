import { html } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { house } from "../../store/house.js";

/** What to do when a phone is lost or sold, a new one comes, a code is forgotten, or no owner's device is left. */
class LostBoard extends Part {
  render() {
    const owner = house.status.device?.role === "keeper";
    return html`<div class="board"><div class="column">
      ${house.status.enrolled ? html`<a class="key tight back" href=${placeOf("settings")}>all settings</a>` : html`<a class="key tight back" href=${placeOf("settings", "enrol")}>back to the code</a>`}
      <h1>A lost or a new phone</h1>
      <h2 class="where">a new phone, or a code that ran out</h2>
      <p>A code is good once and for ten minutes. Nobody needs to remember one: make another.</p>
      ${owner ? html`<p><a class="key" href=${placeOf("settings", "devices")}>make a code</a></p>` : html`<p>On an owner's device: Settings, other devices, <strong>a code</strong>.</p>`}
      <h2 class="where">a phone is lost or sold</h2>
      <p>On an owner's device: Settings, other devices, <strong>remove it</strong>. Its key stops working and what was set aside for it is free again. The next time it has signal it hands in what it had not sent, and wipes names, addresses and drafts from itself. A phone that never has signal again cannot be wiped from here: lock or erase it with its maker's own service.</p>
      <h2 class="where">no owner's device is left</h2>
      <p>Go to the main computer. It may go on running. In a second window, in Honeyhold's folder, type</p>
      <p><code>scripts/run code</code></p>
      <p>On Windows: <code>python scripts\\run.py code</code>. It prints a code for an owner's device, and where to open it. For a helper's: add <code>--role helper</code>. Then remove the lost device from the new one.</p>
      <p class="faint">Who can type on the main computer can open the records. Lock its screen when you leave it alone.</p>
    </div></div>`;
  }
}
customElements.define("lost-board", LostBoard);
