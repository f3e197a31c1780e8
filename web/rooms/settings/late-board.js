import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { stateSaid } from "../../parts/state.js";
import { counted, hourSaid, listed, money, phoneSaid, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { KINDS } from "./kinds.js";

/** @import { LateEntry } from "./answers.d.ts" */
/** @import { Trouble } from "../../store/shapes.d.ts" */

/** What lost, copied and renamed devices still sent: read here and settled by a keeper, one by one or all in their order. */
class LateBoard extends Part {
  static properties = {
    entries: { state: true },
    waiting: { state: true },
    silent: { state: true },
    refused: { state: true },
  };

  #act = new Act(this, { asks: true });

  constructor() {
    super();
    /** @type {LateEntry[] | null} */
    this.entries = null;
    this.waiting = 0;
    /** Devices that a main computer put back from a backup has not heard yet. @type {string[]} */
    this.silent = [];
    /** Why one was not taken in, by its hash. @type {Record<string, string>} */
    this.refused = {};
  }

  connectedCallback() {
    super.connectedCallback();
    this.#ask();
  }

  #ask() {
    return this.#act.run(() => this.#look(), "", { touched: false });
  }

  async #look() {
    const { entries, waiting, silent = [] } = await house.call("/api/late");
    Object.assign(this, { entries, waiting, silent });
  }

  /**
   * One after the other; what is refused is told at its place, anything else stops it there.
   * @param {LateEntry[]} entries
   * @param {"take_in" | "put_aside"} how
   * @param {string} [note]
   */
  #settle(entries, how, note = "") {
    const settle = async () => {
      let refused = 0;
      for (const { device, seq, hash } of entries) {
        try {
          await house.call("/api/late/settle", { body: { device, seq, hash, how, note } });
        } catch (error) {
          const { kind, message, remedy } = /** @type {Trouble} */ (error);
          if (kind !== "refused") throw error;
          refused += 1;
          this.refused = { ...this.refused, [hash]: `${message} ${remedy}` };
        }
      }
      return { refused };
    };
    /** @param {{refused: number}} done */
    const words = ({ refused }) => (refused ? `${counted(refused, "was", "were")} not taken in: each says why.` : "Done.");
    this.#act.run(() => settle().finally(() => this.#look()), words).then(() => house.exchange());
  }

  render() {
    const keeper = house.status.device?.role === "keeper";
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>Late entries</h1>
      <p class="faint">What a device that was lost, copied or renamed still sent. Nothing of it counts until you settle it.</p>
      ${this.#act.outcome()}
      ${keeper ? this.#list() : stateSaid({ what: "This is a helper's device.", todo: "Late entries are settled on an owner's device." })}
    </div></div>`;
  }

  #list() {
    if (this.entries === null)
      return this.#act.error
        ? html`<button type="button" class="key tight" @click=${() => this.#ask()}>ask again</button>`
        : html`<p class="faint">Asking the main computer …</p>`;
    if (!this.entries.length)
      return stateSaid({ what: "Nothing.", todo: "When such a device comes back with entries of its own, they stand here." });
    const open = this.entries.filter(({ nothing_to_do: idle }) => !idle);
    return html`${
      this.silent.length
        ? stateSaid({
            what: `The records were put back from a backup, and ${listed(this.silent)} did not say yet what was promised there meanwhile.`,
            todo: "Take these in when that device has been in reach; or remove it under other devices if it is lost or sold.",
          })
        : nothing
    }${
      this.entries.length > 1 && !this.silent.length
        ? html`<div class="keyrow two">
        <button type="button" class="key" ?disabled=${this.#act.busy} @click=${() => this.#settle(open, "take_in")}>take all in<small>in the order they were written; bars that are not there any more wait</small></button></div>`
        : nothing
    }
      ${this.waiting > this.entries.length ? html`<p>${this.waiting - this.entries.length} more come after these.</p>` : nothing}
      <dl class="under">${this.entries.map((entry) => this.#entry(entry))}</dl>`;
  }

  /** @param {LateEntry} entry */
  #entry(entry) {
    const { kind, name, why, number, person, phone, goods, cents, made_at: at, hash } = entry;
    const words = goods.map(({ good, units }) =>
      unitsSaid(house.view.goods.get(good) ?? { name: good, plural: good, unit: "each" }, Math.abs(units)),
    );
    return html`<div><dt>${at ? hourSaid(at, house.dayOf(new Date(at)), house.today()) : nothing}</dt><dd>
      <p><strong>${KINDS[kind] ?? "an entry that cannot be read"}</strong>${number ? html` <span class="held">${number}</span>` : nothing}${person ? html` for ${person}` : nothing}${phone ? html`, <a class="figures" href="tel:${phone}">${phoneSaid(phone)}</a>` : nothing}</p>
      ${words.length ? html`<p>${listed(words)}${cents ? html`, ${money(cents)} paid` : nothing}</p>` : cents ? html`<p>${money(cents)} paid</p>` : nothing}
      <p class="faint">from ${name}: ${why}</p>
      ${this.refused[hash] ? html`<p class="heed" role="alert">${this.refused[hash]}</p>` : nothing}
      <div class="keyrow two">
        ${entry.nothing_to_do || !KINDS[kind] || this.silent.length ? nothing : html`<button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => this.#settle([entry], "take_in")}>take it in</button>`}
        <button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${() => this.#settle([entry], "put_aside", "put aside on the screen")}>put it aside</button>
      </div></dd></div>`;
  }
}
customElements.define("late-board", LateBoard);
