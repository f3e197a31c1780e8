import { html } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { saveFile } from "../../parts/save-file.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { house } from "../../store/house.js";
import "./backup-said.js";

/** Everything out, in one touch: tables that any spreadsheet opens, and one file that an empty house reads back. */
class OutBoard extends Part {
  #act = new Act(this, { asks: true });

  #fetch() {
    this.#act.clear();
    return this.#act.run(async () => {
      saveFile(await house.call("/api/export.zip", { wait_s: 120 }), `honeyhold-${house.today()}.zip`);
      return {};
    }, "Saved. Look among this device's downloads.");
  }

  render() {
    const owner = house.status.device?.role === "keeper";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Everything out</h1>
      <p>One file with all your records: people, goods, cartons, orders, money, lots and settings. Every table opens in a spreadsheet, and a page inside says what each column means. It is yours, any day.</p>
      <p>Names and addresses are in it. Keep it where you keep your records.</p>
      ${
        owner
          ? html`<button type="button" class="key say" ?disabled=${this.#act.busy} @click=${() => this.#fetch()}>${this.#act.busy ? "getting it together …" : "save everything"}</button>`
          : stateSaid({ what: "This is a helper's device.", todo: "Everything is saved on an owner's device." })
      }
      ${this.#act.outcome()}
      ${owner ? html`<backup-said></backup-said>` : ""}
      <p class="faint">To read it into a new honey house, type on the main computer: <code>scripts/run import FILE --data FOLDER</code></p>
    </div></div>`;
  }
}
customElements.define("out-board", OutBoard);
