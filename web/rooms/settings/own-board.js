import { html } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";

/** From the demo to a honey house of one's own: what is invented here, and the one command that starts the real one. */
class OwnBoard extends Part {
  render() {
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Start my own</h1>
      <p>This is the demo. Its people, orders and prices are invented, and its clock was moved. Try whatever you like: nothing here touches your own records.</p>
      <h2 class="where">your own honey house</h2>
      <ol class="steps">
        <li>Go to the main computer, to the window in which the demo was started. Press Ctrl-C there.</li>
        <li>Type <code>scripts/run</code> and press Enter. On Windows: <code>python scripts\\run.py</code></li>
        <li>A page opens by itself. It asks a few questions, one at a time, and your first order can be taken.</li>
      </ol>
      <p class="faint">Your own records lie in a folder of their own, at another address than the demo. You can look at the demo again any day with <code>scripts/run --demo</code>.</p>
    </div></div>`;
  }
}
customElements.define("own-board", OwnBoard);
