import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { house } from "../../store/house.js";

/** Mailing days, pick-ups and melt-by days for the calendar one has already: its address, and another one when it came into wrong hands. */
class CalendarBoard extends Part {
  static properties = { address: { state: true }, asked: { state: true } };

  #act = new Act(this, { asks: true });

  constructor() {
    super();
    this.address = "";
    this.asked = false;
  }

  /** @param {boolean} renew */
  async #ask(renew) {
    const words = renew ? "Renewed. The old address opens nothing any more: give your calendar this one." : "";
    const told = await this.#act.run(
      () => house.call(renew ? "/api/calendar/renew" : "/api/calendar", { method: renew ? "POST" : "GET" }),
      words,
    );
    if (told) Object.assign(this, { address: told.address, asked: false });
  }

  #copy = () => this.#act.run(() => navigator.clipboard.writeText(this.address), "Copied.");

  render() {
    const owner = house.status.device?.role === "keeper";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Calendar</h1>
      <p>Your mailing days, pick-ups and the days to melt by, in the calendar you have already. It shows how many parcels and which order numbers: no names, no addresses.</p>
      ${owner ? this.#shown() : stateSaid({ what: "This is a helper's device.", todo: "The address stands on an owner's device." })}
      ${this.#act.outcome()}
    </div></div>`;
  }

  #shown() {
    if (!this.address)
      return html`<button type="button" class="key say" ?disabled=${this.#act.busy} @click=${() => this.#ask(false)}>show the address</button>`;
    return html`<label class="write whole"><span>subscribe to this address in your calendar</span><input readonly .value=${this.address} @focus=${(
      /** @type {{target: HTMLInputElement}} */ { target },
    ) => target.select()} /></label>
      <p class="faint">Whoever has this address can read that calendar. It answers where this main computer can be reached.</p>
      <div class="keyrow two">
        ${navigator.clipboard ? html`<button type="button" class="key tight" @click=${this.#copy}>copy it</button>` : nothing}
        ${
          this.asked
            ? html`<button type="button" class="key tight undo" ?disabled=${this.#act.busy} @click=${() => this.#ask(true)}>yes, a new address</button>`
            : html`<button type="button" class="key tight quiet" @click=${() => {
                this.asked = true;
              }}>a new address …</button>`
        }</div>`;
  }
}
customElements.define("calendar-board", CalendarBoard);
